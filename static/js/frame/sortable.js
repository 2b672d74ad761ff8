// Lists whose items can be dragged by their grip. The buttons beside each item do the same without.

import Sortable from "../../vendor/sortable-1.15.7.core.esm.js";

export function connectSortables(root) {
  for (const list of root.querySelectorAll("[data-sortable]")) {
    if (!Sortable.get(list)) connect(list);
  }
}

function connect(list) {
  Sortable.create(list, {
    handle: ".grip",
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

// The buttons' own form is sent, with another place in it.
function move(item, to) {
  const form = item.querySelector('form[action$="/move"]');
  form.elements.to.value = to;
  form.requestSubmit();
}
