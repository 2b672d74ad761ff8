// Things on the plan of the bar: dragged by finger or mouse, or moved by arrow keys, a centimetre at
// a time (with Shift five). Letting go sends where it is now; by keys that is Enter, or leaving it.
// A thing that is only touched opens its form, as the link that it is. On a phone the whole bar is
// shown first; a touch shows that place larger, and there things can be taken.

import { comeBack, comeBackTo, isDragging, letHold } from "../frame/held.js";
import { showNarrow } from "./narrow.js";

const SLACK_PX = 5;

export function connectStation(root) {
  comeBack(root);
  const plan = root.querySelector(".station-plan svg");
  if (!plan || plan.dataset.connected) return;
  plan.dataset.connected = "yes";
  showNarrow(root, plan.parentElement);
  const tiles = plan.querySelectorAll("[data-spot]");
  letHold(tiles, {
    grasp: () => ({ x: 0, y: 0, scale: Number(plan.dataset.scale), pxToUnits: unitsOf(plan) }),
    isShut: () => plan.closest(".whole") !== null,
    isTouch: (by) => Math.hypot(...by) < SLACK_PX,
    drag,
    step,
    giveBack: ({ thing }) => thing.removeAttribute("transform"),
    save,
  });
  for (const tile of tiles) {
    // The style sheet says so too; not every browser heeds that inside a picture.
    tile.addEventListener("touchmove", (event) => isDragging() && event.preventDefault(), { passive: false });
    tile.addEventListener("dragstart", (event) => event.preventDefault());
    // Before htmx: what was dragged does not open.
    tile.addEventListener("click", (event) => holdClick(tile, event), { capture: true });
  }
}

// How many units of the picture a pixel of the screen is.
function unitsOf(plan) {
  return plan.viewBox.baseVal.width / plan.getBoundingClientRect().width;
}

function drag(held, by) {
  [held.x, held.y] = by.map((px) => Math.round((px * held.pxToUnits) / held.scale));
  show(held);
}

function step(held, [right, down], size) {
  held.x += right * size;
  held.y += down * size;
  show(held);
}

function holdClick(tile, event) {
  if (!tile.classList.contains("held")) return;
  event.preventDefault();
  event.stopImmediatePropagation();
}

function show({ thing, x, y, scale }) {
  thing.setAttribute("transform", `translate(${x * scale} ${y * scale})`);
  const right = x < 0 ? `${-x} cm to the left` : `${x} cm to the right`;
  const near = y < 0 ? `${-y} cm away from you` : `${y} cm towards you`;
  document.getElementById("station-said").textContent = `${right}, ${near}`;
}

function save({ thing, x, y }) {
  const form = document.getElementById("station-move");
  form.elements.spot.value = thing.dataset.spot;
  form.elements.x.value = Number(thing.dataset.x) + x;
  form.elements.y.value = Number(thing.dataset.y) + y;
  comeBackTo(thing.id);
  form.requestSubmit();
}
