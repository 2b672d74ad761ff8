// Text that shrinks before it is cut, and is cut between words only. A box with `data-fit` has a
// size of its own; its sheet multiplies the size of its type with --fit.

const SCALES = [1, 0.97, 0.94, 0.91, 0.88, 0.84, 0.8, 0.76, 0.72, 0.68, 0.64, 0.6, 0.54, 0.48, 0.42];
const FEWEST_WORDS = 2;
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
  const shape = [clientWidth, clientHeight, fontSize, lookOf(), textOf(box).replace(/\d/g, "0")].join("|");
  if (fitted.get(box) === shape) return;
  fitted.set(box, shape);
  delete box.dataset.cut;
  box.style.removeProperty("--lines"); // It follows from what is found here: see spoken.js.
  for (const row of box.querySelectorAll("[data-left-out]")) delete row.dataset.leftOut;
  for (const row of rowsOf(box)) if (row.firstElementChild) row.textContent = row.textContent;
  for (const scale of SCALES) {
    box.style.setProperty("--fit", String(scale));
    if (holds(box)) return;
  }
  box.dataset.cut = "true";
  shorten(rowsOf(box), () => holds(box));
}

// The rows in sight of which words may be left out.
function rowsOf(box) {
  const rows = [...box.querySelectorAll("[data-words]:not([data-words=full] .cues-words)")];
  return rows.filter((row) => row.offsetParent || row.closest("[data-left-out]"));
}

// What a box says, with the words that were left out of it, and which of its rows are in sight.
function textOf(box) {
  const rows = rowsOf(box).map(({ dataset }) => dataset.part ?? dataset.field);
  return `${box.textContent}|${rows.join()}`;
}

// Leaves out words at the end, of whichever row shows most of them; rather than leave a stump, the
// last row. The words stay in the page, hidden: what a row says is still what was written into it.
function shorten(rows, isEnough) {
  const texts = rows.map((row) => row.textContent.split(/(?<=\s)/));
  const shown = texts.map(({ length }) => length);
  while (!isEnough() && shown.length > 0) {
    const most = shown.indexOf(Math.max(...shown));
    if (shown[most] > FEWEST_WORDS) {
      shown[most] -= 1;
      keep(rows[most], texts[most], shown[most]);
    } else if (shown.length > 1) {
      rows[shown.length - 1].closest("div").dataset.leftOut = "";
      shown.pop();
      shown.forEach((_, index) => {
        shown[index] = texts[index].length;
        rows[index].textContent = texts[index].join("");
      });
    } else {
      return;
    }
  }
}

function keep(row, words, number) {
  const kept = document.createElement("span");
  kept.className = "kept-words";
  kept.textContent = words.slice(0, number).join("").trimEnd();
  const rest = document.createElement("span");
  rest.hidden = true;
  rest.textContent = words.join("").slice(kept.textContent.length);
  row.replaceChildren(kept, rest);
}

const lookOf = () => document.documentElement.dataset.print ?? "";

// A box that fits to its width alone is as high as its lines make it.
function holds(box) {
  if (box.dataset.fit === "width") return box.scrollWidth <= box.clientWidth + 1;
  return box.scrollHeight <= box.clientHeight + 1 && box.scrollWidth <= box.clientWidth + 1;
}
