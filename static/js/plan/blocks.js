// Blocks of the plan's tape: dragged by an edge to last longer, by the block to stand elsewhere,
// and both by keyboard. While one is held the server says where everything lies and what the
// chances are; letting go sends the form. A block that is only touched opens beside the list.

import { comeBack, comeBackTo, isHeld, letHold } from "../frame/held.js";
import { giveBackTo, noted } from "./follow.js";
import { askWhere } from "./where.js";

const EDGE_PX = 14;
const FINGER_PX = 24;
const SLACK_PX = 4;

export function connectBlocks(root) {
  const tape = root.querySelector("svg[data-held]");
  comeBack(root);
  if (!tape || tape.dataset.connected) return;
  tape.dataset.connected = "yes";
  letHold(tape.querySelectorAll(".block"), {
    grasp: (block) => grasp(tape, block),
    isTouch: ([x]) => Math.abs(x) < SLACK_PX,
    taken,
    drag: (held, by, event) => drag(tape, held, by, event),
    step: (held, by, size) => step(tape, held, by, size),
    touched: (block) => look(tape, block),
    isUnmoved: ({ seconds, to, place }) => seconds === 0 && to === place,
    giveBack: (held) => giveBack(tape, held),
    save: (held) => save(tape, held),
  });
}

function grasp(tape, block) {
  const order = [...tape.querySelectorAll(".block")];
  const place = order.indexOf(block);
  const lasts = Number(block.getAttribute("aria-valuenow"));
  return { order, place, to: place, seconds: 0, lasts, ...noted(tape) };
}

function taken(held, event) {
  const box = held.thing.getBoundingClientRect();
  const widest = event.pointerType === "touch" ? FINGER_PX : EDGE_PX;
  const reach = Math.min(widest, Math.max(box.width / 3, SLACK_PX));
  held.byEdge = event.clientX > box.right - reach;
}

function drag(tape, held, [by], event) {
  const box = tape.getBoundingClientRect();
  const secondsPerPx = Number(tape.dataset.span) / box.width;
  if (held.byEdge) {
    held.seconds = Math.max(Math.round(by * secondsPerPx), -held.lasts);
    const width = parseFloat(held.places.get(held.thing.id)[1]);
    held.thing.setAttribute("width", `${Math.max(width + (100 * by) / box.width, 0.2)}%`);
  } else {
    const at = (100 * (event.clientX - box.left)) / box.width;
    held.to = placeOf(held, at);
    show(tape.querySelector("#gap"), at);
  }
  askWhere(tape, held, isHeld);
}

function placeOf(held, at) {
  const others = held.order.filter((one) => one !== held.thing);
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

function step(tape, held, [longer, later], size) {
  held.seconds = Math.max(held.seconds + longer * size, -held.lasts);
  held.to = Math.min(Math.max(held.to + later, 0), held.order.length - 1);
  askWhere(tape, held, isHeld);
}

// The line of the list leads there: what is chosen on the tape is chosen in the list.
function look(tape, block) {
  tape.ownerDocument.getElementById(`look-segment-${block.dataset.segment}`)?.click();
}

function giveBack(tape, held) {
  giveBackTo(tape, held);
  tape.querySelector("#gap").setAttribute("visibility", "hidden");
  tape.ownerDocument.getElementById("tape-said").textContent = "Taken back.";
}

function save(tape, { thing, seconds, to }) {
  const form = tape.ownerDocument.getElementById("block-form");
  form.elements.segment.value = thing.dataset.segment;
  form.elements.seconds.value = seconds;
  form.elements.to.value = to;
  if (tape.ownerDocument.activeElement === thing) comeBackTo(thing.id);
  form.requestSubmit();
}
