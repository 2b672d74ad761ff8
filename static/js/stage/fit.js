// Text that shrinks before it is cut. A box with `data-fit` has a size of its own; its sheet
// multiplies the size of its type with --fit.

const SCALES = [1, 0.92, 0.84, 0.76, 0.68, 0.6, 0.54, 0.48, 0.42];
const BOX = "[data-fit]";
const fitted = new WeakMap();

/** Keeps every box on the page fitted, whenever words, sizes or the look of the page change. */
export function keepFitted() {
  const all = () => document.querySelectorAll(BOX).forEach((box) => fit(box));
  new MutationObserver((changes) => {
    if (changes.some(({ type }) => type === "attributes")) all();
    else boxesOf(changes).forEach((box) => fit(box));
  }).observe(document.body, {
    subtree: true,
    childList: true,
    characterData: true,
    attributeFilter: ["hidden"],
  });
  new MutationObserver(all).observe(document.documentElement, { attributes: true });
  addEventListener("resize", all);
  document.fonts?.ready.then(all);
  document.fonts?.addEventListener?.("loadingdone", () => forgetAnd(all));
}

function forgetAnd(all) {
  document.querySelectorAll(BOX).forEach((box) => fitted.delete(box));
  all();
}

function boxesOf(changes) {
  const nodes = changes.flatMap(({ target, addedNodes }) => [target, ...addedNodes]);
  const boxes = nodes.flatMap((node) => {
    const near = node.nodeType === Node.ELEMENT_NODE ? node : node.parentElement;
    return near ? [near.closest(BOX), ...near.querySelectorAll(`:scope ${BOX}`)] : [];
  });
  return new Set(boxes.filter(Boolean));
}

/** Gives one box the largest of our scales at which nothing of it is cut. */
export function fit(box) {
  const { clientWidth, clientHeight } = box;
  if (clientWidth === 0) return;
  // A digit is as wide as any other: counting down changes nothing.
  const { fontSize } = getComputedStyle(box.parentElement);
  const shape = [clientWidth, clientHeight, fontSize, lookOf(box), box.innerText.replace(/\d/g, "0")].join("|");
  if (fitted.get(box) === shape) return;
  fitted.set(box, shape);
  delete box.dataset.cut;
  for (const scale of SCALES) {
    box.style.setProperty("--fit", String(scale));
    if (holds(box)) return;
  }
  box.dataset.cut = "true";
}

const lookOf = () => document.documentElement.dataset.print ?? "";

function holds(box) {
  return box.scrollHeight <= box.clientHeight + 1 && box.scrollWidth <= box.clientWidth + 1;
}
