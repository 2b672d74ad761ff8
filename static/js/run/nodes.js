// Small things done to the page: write what changed, and keep the rows of a list while they are
// shown, because a button must not vanish under a finger.

const shownRows = new WeakMap();

/**
 * Shows one row for each of `views` (`key` or `id` tells them apart), in their order. `make(view)`
 * builds a new row, `paint(row, view)` brings it up to date.
 */
export function fillList(list, views, make, paint = () => {}) {
  const before = shownRows.get(list) ?? new Map();
  const now = new Map();
  for (const view of views) {
    const key = view.key ?? view.id;
    const row = before.get(key) ?? make(view);
    paint(row, view);
    now.set(key, row);
  }
  for (const [key, row] of before) if (!now.has(key)) row.remove();
  [...now.values()].forEach((row, place) => {
    if (list.children[place] !== row) list.insertBefore(row, list.children[place] ?? null);
  });
  shownRows.set(list, now);
}

export function element(tag, words, className = "") {
  const node = document.createElement(tag);
  node.textContent = words;
  if (className) node.className = className;
  return node;
}

/** Writes only what changed. */
export function write(node, words) {
  if (node.textContent !== words) node.textContent = words;
}

/** Hides or shows a node; touches it only where that changes. */
export function hide(node, isHidden) {
  if (node.hidden !== isHidden) node.hidden = isHidden;
}

/** Says something of a node to the style sheets: `value` in its data attribute `name`. */
export function flag(node, name, value) {
  if (node.dataset[name] !== value) node.dataset[name] = value;
}

/** The parts of the page by the name in their data-part attribute. */
export function partsOf(root) {
  const parts = {};
  for (const node of root.querySelectorAll("[data-part]")) parts[node.dataset.part] = node;
  return parts;
}
