// Things on the plan of the bar: dragged by finger or mouse, or moved by arrow keys, a centimetre at
// a time (with Shift five). Letting go sends where it is now; by keys that is Enter, or leaving it.
// A thing that is only touched opens its form, as the link that it is. On a phone the whole bar is
// shown first; a touch shows that place larger, and there things can be taken.

import { showNarrow } from "./narrow.js";

const SLACK_PX = 5;
const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

let held = null;
let back = null;

export function connectStation(root) {
  if (back) root.getElementById(back)?.focus({ preventScroll: true });
  back = null;
  const plan = root.querySelector(".station-plan svg");
  if (!plan || plan.dataset.connected) return;
  plan.dataset.connected = "yes";
  showNarrow(root, plan.parentElement);
  held = null;
  for (const tile of plan.querySelectorAll("[data-spot]")) {
    tile.addEventListener("pointerdown", (event) => take(plan, tile, event));
    tile.addEventListener("pointermove", (event) => drag(tile, event));
    tile.addEventListener("pointerup", (event) => drop(tile, event));
    tile.addEventListener("pointercancel", () => giveBack());
    // The style sheet says so too; not every browser heeds that inside a picture.
    tile.addEventListener("touchmove", (event) => held?.pointer && event.preventDefault(), { passive: false });
    tile.addEventListener("dragstart", (event) => event.preventDefault());
    tile.addEventListener("keydown", (event) => press(plan, tile, event));
    tile.addEventListener("blur", () => held?.tile === tile && !held.pointer && save());
    // Before htmx: what was dragged does not open.
    tile.addEventListener("click", (event) => holdClick(tile, event), { capture: true });
  }
}

function grasp(plan, tile) {
  return { tile, x: 0, y: 0, scale: Number(plan.dataset.scale), pxToUnits: unitsOf(plan) };
}

// How many units of the picture a pixel of the screen is.
function unitsOf(plan) {
  return plan.viewBox.baseVal.width / plan.getBoundingClientRect().width;
}

function take(plan, tile, event) {
  if (event.button !== 0 || plan.closest(".whole")) return;
  held = grasp(plan, tile);
  held.pointer = { id: event.pointerId, x: event.clientX, y: event.clientY, moved: false };
  tile.setPointerCapture(event.pointerId);
}

function drag(tile, event) {
  if (held?.tile !== tile || held.pointer?.id !== event.pointerId) return;
  const by = [event.clientX - held.pointer.x, event.clientY - held.pointer.y];
  if (!held.pointer.moved && Math.hypot(...by) < SLACK_PX) return;
  held.pointer.moved = true;
  [held.x, held.y] = by.map((px) => Math.round((px * held.pxToUnits) / held.scale));
  show();
}

function drop(tile, event) {
  if (held?.tile !== tile || held.pointer?.id !== event.pointerId) return;
  if (held.pointer.moved) save();
  else held = null;
}

function holdClick(tile, event) {
  if (!tile.classList.contains("held")) return;
  event.preventDefault();
  event.stopImmediatePropagation();
}

function press(plan, tile, event) {
  if (held?.pointer || event.ctrlKey || event.altKey || event.metaKey) return;
  const isHeld = held?.tile === tile;
  if (event.key in STEPS) {
    event.preventDefault();
    if (!isHeld) held = grasp(plan, tile);
    const step = event.shiftKey ? 5 : 1;
    held.x += STEPS[event.key][0] * step;
    held.y += STEPS[event.key][1] * step;
    show();
  } else if (event.key === "Enter" && isHeld) {
    event.preventDefault();
    save();
  } else if (event.key === "Escape" && isHeld) {
    event.stopPropagation();
    giveBack();
  }
}

function show() {
  const { tile, x, y, scale } = held;
  tile.classList.add("held");
  tile.setAttribute("transform", `translate(${x * scale} ${y * scale})`);
  const right = x < 0 ? `${-x} cm to the left` : `${x} cm to the right`;
  const near = y < 0 ? `${-y} cm away from you` : `${y} cm towards you`;
  document.getElementById("station-said").textContent = `${right}, ${near}`;
}

function giveBack() {
  held?.tile.removeAttribute("transform");
  held?.tile.classList.remove("held");
  held = null;
}

function save() {
  const { tile, x, y } = held;
  held = null;
  const form = document.getElementById("station-move");
  form.elements.spot.value = tile.dataset.spot;
  form.elements.x.value = Number(tile.dataset.x) + x;
  form.elements.y.value = Number(tile.dataset.y) + y;
  back = tile.id;
  form.requestSubmit();
}
