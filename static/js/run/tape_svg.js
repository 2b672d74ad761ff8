// Draws the tape: the whole slot as one strip, with now wandering along it. Two looks: with numbers
// and calls as high as its place on the stage, and plain beside other things.

const SVG = "http://www.w3.org/2000/svg";
const WHOLE = { top: 0, lane: 7, bar: 3, gap: 2, lettered: false };
const CALLS_PX = 20;
// Below this there is no room for words over the strip.
const LETTERED_PX = 44;
const MOST_FOR_BARS = 0.35;
const LETTER_PX = 7.5;
const NUMBER_PX = 20;
const WEIGHT = ["slot", "target", "cutoff", "call"];

/** The strip alone, as high as it needs to be. */
export function wholeTape(svg) {
  return new Tape(svg, () => WHOLE);
}

/** The strip with numbers, calls and bars; it fills the height its sheet gives it. */
export function stageTape(svg) {
  return new Tape(svg, (tape) => lookIn(svg.clientHeight, tape.processes.length));
}

function lookIn(heightPx, bars) {
  const top = heightPx >= LETTERED_PX ? CALLS_PX : 0;
  const gap = 2;
  const barPx = Math.min(7, ((heightPx - top) * MOST_FOR_BARS) / Math.max(1, bars));
  const lane = Math.max(3, (heightPx - top - bars * barPx - 2 * gap) / 2);
  return { top, lane, bar: Math.max(1, barPx - gap), gap, lettered: top > 0, heightPx };
}

class Tape {
  #svg;
  #lookAt;
  #strip = element("g");
  #now = element("g", { class: "tape-now" });
  #pxPerS = 0;

  constructor(svg, lookAt) {
    this.#svg = svg;
    this.#lookAt = lookAt;
    svg.replaceChildren(hatch(svg.id), this.#strip, this.#now);
  }

  /** Draws the strip anew: when a mark was made, or the plan gave way to the clock. */
  draw(tape) {
    const widthPx = this.#svg.clientWidth;
    const look = this.#lookAt(tape);
    const heightPx = look.heightPx ?? heightOf(look, tape);
    this.#pxPerS = widthPx / tape.end_s;
    this.#svg.setAttribute("viewBox", `0 0 ${widthPx} ${heightPx}`);
    if (look === WHOLE) this.#svg.setAttribute("height", heightPx);
    const frame = { look, x: (s) => s * this.#pxPerS, widthPx, heightPx, hatchId: this.#svg.id };
    this.#strip.replaceChildren(
      ...tape.blocks.map((block, index) => blockShape(block, index, frame)),
      ...tape.plan.map((at_s) => planNotch(at_s, frame)),
      ...tape.processes.flatMap((bar, row) => barShapes(bar, row, frame)),
      overTime(tape, frame),
      ...tape.markers.map((marker) => markerLine(marker, frame)),
      ...markerWords(tape.markers, frame),
    );
    this.#now.replaceChildren(
      element("line", { x1: 0, x2: 0, y1: look.top / 2, y2: heightPx }),
      ...(look.lettered ? [element("path", { d: `M-7 ${look.top - 9} h14 L0 ${look.top} Z` })] : []),
    );
  }

  /** Puts now where it belongs at this moment; cheap enough for every frame. */
  moveTo(elapsedS) {
    this.#now.setAttribute("transform", `translate(${(elapsedS * this.#pxPerS).toFixed(2)} 0)`);
  }
}

function heightOf(look, tape) {
  return look.top + look.lane * 2 + tape.processes.length * (look.bar + look.gap) + look.gap * 2;
}

function bandTop(look) {
  return look.top;
}

// Hands run on the upper half, the voice on the lower; what needs both takes both.
function blockShape(block, index, { look, x }) {
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
  if (look.lettered && width >= NUMBER_PX) {
    const number = text(String(index + 1), { x: width / 2, y: height / 2 + 6 });
    number.setAttribute("text-anchor", "middle");
    shape.append(number);
  }
  return shape;
}

function planNotch(at_s, { look, x }) {
  const y = bandTop(look) + look.lane * 2 - 1;
  const size = look.lettered ? 4 : 2;
  const d = `M${x(at_s) - size} ${y + size} L${x(at_s)} ${y} L${x(at_s) + size} ${y + size} Z`;
  return element("path", { class: "tape-plan", d });
}

// A process: solid while it is surely busy, dashed while it may be ready, a dot when it was, and a
// post where it is needed.
function barShapes(bar, row, { look, x }) {
  const y = bandTop(look) + look.lane * 2 + look.gap + row * (look.bar + look.gap);
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
    y: look.top,
    width: Math.max(0, x(tape.end_s) - x(tape.slot_s)),
    height: heightPx - look.top,
    fill: `url(#${hatchId}-hatch)`,
  });
}

function markerLine(marker, { look, x, heightPx }) {
  const at = x(marker.at_s);
  return element("line", {
    class: `tape-mark tape-mark-${marker.kind}`,
    x1: at,
    x2: at,
    y1: look.top / 2,
    y2: heightPx,
  });
}

// Words stand right of their line, or left of it where the strip ends. Where they would overlap,
// those that matter less are left out.
function markerWords(markers, { look, x, widthPx }) {
  if (!look.lettered) return [];
  const taken = [];
  const byWeight = [...markers].sort((a, b) => WEIGHT.indexOf(a.kind) - WEIGHT.indexOf(b.kind));
  return byWeight.flatMap((marker) => {
    const words = marker.kind === "slot" ? minutes(marker.at_s) : marker.words;
    const at = x(marker.at_s);
    const left = marker.kind === "target" || at + 6 + words.length * LETTER_PX > widthPx;
    const from = left ? at - 6 - words.length * LETTER_PX : at + 6;
    const to = from + words.length * LETTER_PX;
    if (from < 0 || taken.some((other) => from < other.to + 8 && other.from < to + 8)) return [];
    taken.push({ from, to });
    const place = { x: left ? at - 6 : at + 6, "text-anchor": left ? "end" : "start" };
    return [text(words, { class: "tape-words", y: look.top - 6, ...place })];
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
