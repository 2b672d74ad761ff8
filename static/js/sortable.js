// Lists whose items can be dragged by their grip. The buttons beside each item do the same without.

import Sortable from "../vendor/sortable-1.15.7.core.esm.js";

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
      if (oldDraggableIndex === newDraggableIndex) return;
      send(list.dataset.sortable.replace("{id}", item.dataset.id), newDraggableIndex);
    },
  });
}

function send(url, to) {
  window.htmx.ajax("POST", url, { target: "#page", swap: "innerMorph", values: { to } });
}
