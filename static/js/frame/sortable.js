// Lists whose items can be dragged by their grip, or ("hold") by holding them anywhere. Buttons beside
// each item do the same without.

import Sortable from "../../vendor/sortable-1.15.7.core.esm.js";

export function connectSortables(root) {
  for (const list of root.querySelectorAll("[data-sortable]")) {
    if (!Sortable.get(list)) connect(list);
  }
}

const HOLD_MS = 250;

function connect(list) {
  const isHeld = list.dataset.sortable === "hold";
  // Holding a link would also ask for its menu.
  if (isHeld) list.addEventListener("contextmenu", (event) => holdsBack(event));
  Sortable.create(list, {
    handle: isHeld ? undefined : ".grip",
    delay: isHeld ? HOLD_MS : 0,
    delayOnTouchOnly: true,
    touchStartThreshold: 5,
    draggable: "[data-id]",
    ghostClass: "dragged",
    onEnd: ({ item, oldDraggableIndex, newDraggableIndex }) => {
      // The library leaves an empty style behind. htmx would carry it over to the new item as an
      // inline style, which our policy rightly refuses.
      item.removeAttribute("style");
      if (oldDraggableIndex !== newDraggableIndex) move(item, newDraggableIndex);
    },
  });
}

function holdsBack(event) {
  if (event.pointerType === "touch") event.preventDefault();
}

// The form of the item is sent, with another place in it.
function move(item, to) {
  const form = item.querySelector('form[action$="/move"]');
  form.elements.to.value = to;
  form.requestSubmit();
}
