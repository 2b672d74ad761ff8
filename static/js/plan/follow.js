// What follows a change before the page is drawn anew: places on the tape and figures.

/** Notes where everything lies and what the figures say, for `giveBackTo`. */
export function noted(tape) {
  const places = new Map(shapes(tape).map((one) => [one.id, placeOf(one)]));
  const figures = [...document.querySelectorAll("[data-figure]")].map((one) => [one, one.textContent]);
  return { places, figures };
}

/** Puts everything where the server says that it lies, but for what a finger drags. */
export function follow(tape, { places, figures }, dragged = "") {
  tape.classList.add("followed");
  for (const [id, [x, width]] of Object.entries(places)) {
    if (id !== dragged) put(document.getElementById(id), x, width);
  }
  for (const one of document.querySelectorAll("[data-figure]")) {
    one.textContent = figures[one.dataset.figure] ?? one.textContent;
  }
}

/** Puts everything back where it was noted. */
export function giveBackTo(tape, { places, figures }) {
  for (const [id, [x, width]] of places) {
    if (x !== null && id !== "gap") put(document.getElementById(id), parseFloat(x), parseFloat(width));
  }
  for (const [one, text] of figures) one.textContent = text;
  tape.classList.remove("followed");
}

function shapes(tape) {
  return [...tape.closest(".plan-tape").querySelectorAll("[id]")];
}

function placeOf(one) {
  return [one.getAttribute("x") ?? one.getAttribute("x1"), one.getAttribute("width")];
}

function put(one, x, width) {
  if (!one) return;
  if (one.tagName === "line") {
    one.setAttribute("x1", `${x}%`);
    one.setAttribute("x2", `${x}%`);
  } else {
    one.setAttribute("x", `${x}%`);
    one.setAttribute("width", `${width}%`);
  }
}
