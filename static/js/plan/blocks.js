// Blocks of the plan's tape: dragged by an edge to last longer, by the block to stand elsewhere,
// and both by keyboard. While one is held the server says where everything lies and what the
// chances are; letting go sends the form. A block that is only touched opens beside the list.

import { giveBackTo, noted } from "./follow.js";
import { askWhere } from "./where.js";

const EDGE_PX = 14;
const FINGER_PX = 24;
const SLACK_PX = 4;

let held = null;
let back = null;

export function connectBlocks(root) {
  const tape = root.querySelector("svg[data-held]");
  if (back) root.getElementById(back)?.focus({ preventScroll: true });
  back = null;
  if (!tape || tape.dataset.connected) return;
  tape.dataset.connected = "yes";
  held = null;
  for (const block of tape.querySelectorAll(".block")) {
    block.addEventListener("pointerdown", (event) => take(tape, block, event));
    block.addEventListener("pointermove", (event) => drag(tape, block, event));
    block.addEventListener("pointerup", (event) => drop(tape, block, event));
    block.addEventListener("pointercancel", () => giveBack(tape));
    block.addEventListener("keydown", (event) => press(tape, block, event));
    block.addEventListener("blur", () => held?.block === block && !held.pointer && save(tape));
  }
}

function grasp(tape, block) {
  const order = [...tape.querySelectorAll(".block")];
  const place = order.indexOf(block);
  const lasts = Number(block.getAttribute("aria-valuenow"));
  return { block, order, place, to: place, seconds: 0, lasts, ...noted(tape) };
}

// By pointer

function take(tape, block, event) {
  if (event.button !== 0) return;
  held = grasp(tape, block);
  const box = block.getBoundingClientRect();
  const widest = event.pointerType === "touch" ? FINGER_PX : EDGE_PX;
  const reach = Math.min(widest, Math.max(box.width / 3, SLACK_PX));
  const byEdge = event.clientX > box.right - reach;
  held.pointer = { id: event.pointerId, from: event.clientX, byEdge, moved: false };
  block.setPointerCapture(event.pointerId);
}

function drag(tape, block, event) {
  if (held?.block !== block || held.pointer?.id !== event.pointerId) return;
  const by = event.clientX - held.pointer.from;
  if (!held.pointer.moved && Math.abs(by) < SLACK_PX) return;
  held.pointer.moved = true;
  block.classList.add("held");
  const box = tape.getBoundingClientRect();
  const secondsPerPx = Number(tape.dataset.span) / box.width;
  if (held.pointer.byEdge) {
    held.seconds = Math.max(Math.round(by * secondsPerPx), -held.lasts);
    const width = parseFloat(held.places.get(block.id)[1]);
    block.setAttribute("width", `${Math.max(width + (100 * by) / box.width, 0.2)}%`);
  } else {
    const at = (100 * (event.clientX - box.left)) / box.width;
    held.to = placeOf(at);
    show(tape.querySelector("#gap"), at);
  }
  askWhere(tape, held, (asked) => held === asked);
}

function placeOf(at) {
  const others = held.order.filter((one) => one !== held.block);
  const middles = others.map((one) => {
    const [x, width] = held.places.get(one.id).map(parseFloat);
    return x + width / 2;
  });
  return middles.filter((middle) => middle < at).length;
}

function show(gap, at) {
  gap.setAttribute("x1", `${at}%`);
  gap.setAttribute("x2", `${at}%`);
  gap.setAttribute("visibility", "visible");
}

function drop(tape, block, event) {
  if (held?.block !== block || held.pointer?.id !== event.pointerId) return;
  if (held.pointer.moved) return save(tape);
  held = null;
  look(tape, block);
}

// The line of the list leads there: what is chosen on the tape is chosen in the list.
function look(tape, block) {
  tape.ownerDocument.getElementById(`look-segment-${block.dataset.segment}`)?.click();
}

// By keyboard

const STEPS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

function press(tape, block, event) {
  if (held?.pointer || event.ctrlKey || event.altKey || event.metaKey) return;
  if (event.key in STEPS) {
    event.preventDefault();
    if (held?.block !== block) held = grasp(tape, block);
    const [longer, later] = STEPS[event.key];
    held.seconds = Math.max(held.seconds + longer * (event.shiftKey ? 5 : 1), -held.lasts);
    held.to = Math.min(Math.max(held.to + later, 0), held.order.length - 1);
    block.classList.add("held");
    askWhere(tape, held, (asked) => held === asked);
  } else if (event.key === "Enter") {
    event.preventDefault();
    if (held?.block === block) save(tape);
    else look(tape, block);
  } else if (event.key === "Escape" && held?.block === block) {
    giveBack(tape);
  }
}

function giveBack(tape) {
  if (!held) return;
  const { block } = held;
  giveBackTo(tape, held);
  held = null;
  block.classList.remove("held");
  tape.querySelector("#gap").setAttribute("visibility", "hidden");
  tape.ownerDocument.getElementById("tape-said").textContent = "Taken back.";
}

function save(tape) {
  const { block, seconds, to, place } = held;
  if (seconds === 0 && to === place) return giveBack(tape);
  const form = tape.ownerDocument.getElementById("block-form");
  form.elements.segment.value = block.dataset.segment;
  form.elements.seconds.value = seconds;
  form.elements.to.value = to;
  if (tape.ownerDocument.activeElement === block) back = block.id;
  held = null;
  form.requestSubmit();
}
