// Draws the tape. One drawing at two scales: the whole slot, and the piece around now.

import { rulerMoments } from "./tape.js";

const SVG = "http://www.w3.org/2000/svg";
const PIECE = { rule: 20, lane: 22, bar: 14, gap: 4, labels: true };
const WHOLE = { rule: 0, lane: 7, bar: 3, gap: 2, labels: false };
const NARROWEST_PX_PER_S = 5;
const WIDEST_PX_PER_S = 9;
const PIECE_S = 150;
const LETTER_PX = 7.5;
const WEIGHT = ["slot", "target", "cutoff", "call"];
// Now stands left of the middle: what comes matters more than what was.
const NOW_AT = 0.28;

/** The whole slot from edge to edge; the line of now wanders along it. */
export function wholeTape(svg) {
  return new Tape(svg, WHOLE, (widthPx, tape) => ({
    pxPerS: widthPx / tape.end_s,
    place: (elapsedS, pxPerS) => ({ stripX: 0, nowX: elapsedS * pxPerS }),
  }));
}

/** The piece around now; now stands still and the tape runs through it. */
export function pieceOfTape(svg) {
  return new Tape(svg, PIECE, (widthPx) => ({
    pxPerS: Math.min(WIDEST_PX_PER_S, Math.max(NARROWEST_PX_PER_S, widthPx / PIECE_S)),
    place: (elapsedS, pxPerS) => {
      const nowX = widthPx * NOW_AT;
      return { stripX: nowX - elapsedS * pxPerS, nowX };
    },
  }));
}

class Tape {
  #svg;
  #look;
  #scaleOf;
  #strip = element("g");
  #now = element("g", { class: "tape-now" });
  #scale = null;

  constructor(svg, look, scaleOf) {
    this.#svg = svg;
    this.#look = look;
    this.#scaleOf = scaleOf;
    svg.replaceChildren(hatch(svg.id), this.#strip, this.#now);
  }

  /** Draws the strip anew: when a mark was made, or the plan gave way to the clock. */
  draw(tape) {
    const widthPx = this.#svg.clientWidth;
    const heightPx = heightOf(this.#look, tape);
    this.#scale = this.#scaleOf(widthPx, tape);
    this.#svg.setAttribute("viewBox", `0 0 ${widthPx} ${heightPx}`);
    this.#svg.setAttribute("height", heightPx);
    const { pxPerS } = this.#scale;
    const frame = { look: this.#look, x: (s) => s * pxPerS, heightPx, hatchId: this.#svg.id };
    this.#strip.replaceChildren(
      ...ruler(tape, frame),
      ...tape.blocks.map((block) => blockShape(block, frame)),
      ...tape.plan.map((at_s) => planNotch(at_s, frame)),
      ...tape.processes.flatMap((bar, row) => barShapes(bar, row, frame)),
      overTime(tape, frame),
      ...tape.markers.map((marker) => markerLine(marker, frame)),
      ...markerWords(tape.markers, frame),
    );
    this.#now.replaceChildren(
      element("line", { x1: 0, x2: 0, y1: this.#look.rule ? 4 : 0, y2: heightPx }),
      ...(this.#look.labels ? [element("path", { d: "M-7 0 L7 0 L0 9 Z" })] : []),
    );
  }

  /** Puts strip and now where they belong at this moment; cheap enough for every frame. */
  moveTo(elapsedS) {
    const { pxPerS, place } = this.#scale;
    const { stripX, nowX } = place(elapsedS, pxPerS);
    this.#strip.setAttribute("transform", `translate(${stripX.toFixed(2)} 0)`);
    this.#now.setAttribute("transform", `translate(${nowX.toFixed(2)} 0)`);
  }
}

function heightOf(look, tape) {
  return look.rule * 2 + look.lane * 2 + tape.processes.length * (look.bar + look.gap) + look.gap * 2;
}

function bandTop(look) {
  return look.rule + look.gap;
}

// Round moments, the more important ones with a number.
function ruler(tape, { look, x, heightPx }) {
  if (!look.labels) return [];
  const shapes = [];
  for (const { s, numbered } of rulerMoments(tape.end_s + 60)) {
    const y2 = heightPx - look.rule + (numbered ? 6 : 3);
    shapes.push(
      element("line", { class: "tape-tick", x1: x(s), x2: x(s), y1: heightPx - look.rule, y2 }),
    );
    if (numbered) {
      shapes.push(text(minutes(s), { class: "tape-number", x: x(s), y: heightPx - 1 }));
    }
  }
  return shapes;
}

// Hands run on the upper half, the voice on the lower; what needs both takes both.
function blockShape(block, { look, x }) {
  const width = Math.max(1, x(block.end_s) - x(block.start_s) - 1);
  const height = look.lane * (block.lane === "both" ? 2 : 1) - 1;
  const y = bandTop(look) + (block.lane === "voice" ? look.lane : 0);
  const shape = element("svg", {
    class: `tape-block tape-block-${block.state}`,
    x: x(block.start_s) + 0.5,
    y,
    width,
    height,
  });
  shape.append(element("rect", { x: 0.5, y: 0.5, width: Math.max(0, width - 1), height: height - 1 }));
  // The block of now goes without: its name stands large below, and the line of now crosses it.
  const named = look.labels && block.state !== "now";
  if (named) shape.append(text(block.name, { x: 7, y: height / 2 + 5 }));
  return shape;
}

function planNotch(at_s, { look, x }) {
  const y = bandTop(look) + look.lane * 2 - 1;
  const size = look.labels ? 5 : 2;
  const d = `M${x(at_s) - size} ${y + size} L${x(at_s)} ${y} L${x(at_s) + size} ${y + size} Z`;
  return element("path", { class: "tape-plan", d });
}

// A process: solid while it is surely busy, dashed while it may be ready, a dot when it was, and a
// post where it is needed.
function barShapes(bar, row, { look, x }) {
  const y = bandTop(look) + look.lane * 2 + look.gap * 2 + row * (look.bar + look.gap);
  const height = look.bar - 1;
  const stretch = (from, to, kind) =>
    element("rect", {
      class: `tape-${kind}`,
      x: x(from),
      y,
      width: Math.max(1, x(to) - x(from)),
      height,
    });
  const shapes = [stretch(bar.start_s, bar.low_s, "busy"), stretch(bar.low_s, bar.high_s, "unsure")];
  if (bar.due_s !== null) {
    const at = x(bar.due_s);
    shapes.push(
      element("line", { class: "tape-due", x1: at, x2: at, y1: y - 1, y2: y + height + 1 }),
    );
  }
  if (look.labels) {
    shapes.push(text(bar.name, { class: "tape-process-name", x: x(bar.start_s) + 6, y: y + 11 }));
  }
  if (bar.ready_s !== null) {
    const r = look.bar / 2;
    shapes.push(element("circle", { class: "tape-ready", cx: x(bar.ready_s), cy: y + r, r }));
  }
  return shapes;
}

function overTime(tape, { x, heightPx, look, hatchId }) {
  return element("rect", {
    class: "tape-over",
    x: x(tape.slot_s),
    y: look.rule,
    width: Math.max(0, x(tape.end_s + 600) - x(tape.slot_s)),
    height: heightPx - look.rule * 2,
    fill: `url(#${hatchId}-hatch)`,
  });
}

function markerLine(marker, { look, x, heightPx }) {
  const at = x(marker.at_s);
  return element("line", {
    class: `tape-mark tape-mark-${marker.kind}`,
    x1: at,
    x2: at,
    y1: look.rule ? 4 : 0,
    y2: heightPx - look.rule,
  });
}

// The target's words stand left of its line, all others right: target and slot lie close together.
// Where words would still overlap, those that matter less are left out.
function markerWords(markers, { look, x }) {
  if (!look.labels) return [];
  const taken = [];
  const byWeight = [...markers].sort((a, b) => WEIGHT.indexOf(a.kind) - WEIGHT.indexOf(b.kind));
  return byWeight.flatMap((marker) => {
    const left = marker.kind === "target";
    const words = marker.kind === "call" ? marker.words : `${marker.words} ${minutes(marker.at_s)}`;
    const from = x(marker.at_s) + (left ? -6 - words.length * LETTER_PX : 10);
    const to = from + words.length * LETTER_PX;
    if (taken.some((other) => from < other.to && other.from < to)) return [];
    taken.push({ from, to });
    const place = { x: x(marker.at_s) + (left ? -6 : 10), "text-anchor": left ? "end" : "start" };
    return [text(words, { class: "tape-words", y: 15, ...place })];
  });
}

function hatch(id) {
  const defs = element("defs");
  const pattern = element("pattern", {
    id: `${id}-hatch`,
    width: 8,
    height: 8,
    patternUnits: "userSpaceOnUse",
    patternTransform: "rotate(45)",
  });
  pattern.append(element("rect", { class: "tape-hatch", width: 3, height: 8 }));
  defs.append(pattern);
  return defs;
}

function minutes(seconds) {
  return `${Math.floor(seconds / 60)}:${String(Math.floor(seconds % 60)).padStart(2, "0")}`;
}

function text(words, attributes) {
  const node = element("text", attributes);
  node.textContent = words;
  return node;
}

function element(name, attributes = {}) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  return node;
}
