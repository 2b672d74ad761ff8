// A swap of the page moves nothing before the eyes: what is drawn later above, such as a picture,
// would otherwise push every row. The first row that is still there stays where it was. The browser
// holds on to nothing meanwhile: it would follow the old content, which is pushed down by the new,
// to the end of a page that is longer. A fold that was opened stays open.

const PARTS = "main :is(.row, section, article, .card, .claim)[id]";

/** Notes where the parts in view stand and which folds are open; returns what puts both back. */
export function noted(root) {
  const unfolded = [...root.querySelectorAll("main details[id][open]")].map(({ id }) => id);
  const putBack = placed(root);
  return () => {
    for (const fold of unfolded.map((id) => root.getElementById(id))) if (fold) fold.open = true;
    putBack();
  };
}

function placed(root) {
  if (!scrollY) return () => {};
  const places = [...root.querySelectorAll(PARTS)]
    .map((part) => [part.id, part.getBoundingClientRect().top])
    .filter(([, top]) => top >= 0 && top < innerHeight);
  const { style } = root.documentElement;
  style.overflowAnchor = "none";
  return () => {
    const [id, top] = places.find(([each]) => root.getElementById(each)) ?? [];
    if (id) scrollBy(0, root.getElementById(id).getBoundingClientRect().top - top);
    requestAnimationFrame(() => style.removeProperty("overflow-anchor"));
  };
}
