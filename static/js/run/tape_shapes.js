// The pieces of the tape as SVG. A frame says where things lie: x(seconds) in px, `look` (see
// `tape_svg.js`), and the width in px.

const SVG = "http://www.w3.org/2000/svg";
const BAND_PART = 0.19;
const LETTER = 0.46; // of the type size, the width of an average letter
const APART_PX = 8;
const WEIGHT = ["slot", "cutoff", "call"];

// The drink of a block by place and tint: the first at the upper edge, the second at the lower; a
// third and fourth hatched. What belongs to no drink is open.
export function blockShape(block, { look, x, nowX, hatchId }) {
  const width = Math.max(1, x(block.end_s) - x(block.start_s) - 2);
  const { height } = look;
  const shape = element("svg", {
    class: `tape-block tape-block-${block.state}`,
    x: x(block.start_s) + 1,
    y: look.top,
    width,
    height,
  });
  shape.append(element("rect", { class: "tape-ground", x: 0.5, y: 0.5, width: width - 0.5, height: height - 1 }));
  if (block.track !== null) shape.append(band(block.track, width, height, hatchId));
  const place = roomForNumber(width, block.state === "now" ? nowX - x(block.start_s) : 0);
  const size = look.numberPx;
  if (size > 0 && place.width >= String(block.number).length * size * 0.6 + 2) {
    const at = { x: place.middle, y: height / 2 + size * 0.34, "font-size": size };
    shape.append(text(String(block.number), { ...at, class: "tape-number", "text-anchor": "middle" }));
  }
  return shape;
}

// The number keeps clear of the post that marks now.
function roomForNumber(width, passedPx) {
  if (passedPx <= 0 || passedPx >= width) return { middle: width / 2, width };
  const isAhead = width - passedPx >= passedPx;
  const wide = (isAhead ? width - passedPx : passedPx) - 5;
  return { middle: isAhead ? width - wide / 2 : wide / 2, width: wide };
}

function band(track, width, height, hatchId) {
  const thick = Math.max(4, height * BAND_PART);
  const place = { x: 0, y: track % 2 === 0 ? 0 : height - thick, width, height: thick };
  const name = track % 2 === 0 ? "first" : "second";
  const node = element("rect", { class: `tape-drink tape-drink-${name}`, ...place });
  if (track > 1) node.setAttribute("fill", `url(#${hatchId}-${name})`);
  node.classList.toggle("tape-drink-hatched", track > 1);
  return node;
}

/** What lies beyond the end of the slot. */
export function overTime(tape, { x, look, hatchId }) {
  return element("rect", {
    class: "tape-over",
    x: x(tape.slot_s),
    y: look.top,
    width: tape.isOver ? x(tape.end_s) - x(tape.slot_s) : 0,
    height: look.height,
    fill: `url(#${hatchId}-hatch)`,
  });
}

/** A call cut into the upper edge, the target into the lower, the end of the slot torn off. */
export function markerShape(marker, elapsedS, { look, x }) {
  const at = x(marker.at_s);
  const { top, height, notchPx: size } = look;
  const kind = `tape-mark tape-mark-${marker.kind}`;
  if (marker.kind === "call") {
    const past = marker.at_s <= elapsedS ? " tape-mark-past" : "";
    const deep = Math.min(1.6 * size, height * 0.32);
    return element("path", { class: kind + past, d: `M${at - size} ${top - 1} h${2 * size} l${-size} ${deep} z` });
  }
  if (marker.kind === "target") {
    const y = top + height + 1;
    return element("path", { class: kind, d: `M${at - size / 2} ${y} h${size} l${-size / 2} ${-size} z` });
  }
  const points = torn(at, top - 5, height + 10);
  const edge = element("g", { class: kind });
  edge.append(...["tape-gap", "tape-edge"].map((name) => element("polyline", { class: name, points })));
  return edge;
}

function torn(x, y, height) {
  const teeth = Math.max(4, Math.round(height / 6));
  return Array.from({ length: teeth + 1 }, (_, n) => `${x + (n % 2 === 0 ? -3.5 : 3.5)},${y + (n * height) / teeth}`).join(" ");
}

// Words stand over their notch, within the strip. Where they would overlap, those that matter less
// are left out.
export function markerWords(markers, { look, x, widthPx }) {
  if (look.wordsPx === 0) return [];
  const taken = [];
  const told = markers.filter(({ words }) => words !== "");
  const byWeight = [...told].sort((a, b) => WEIGHT.indexOf(a.kind) - WEIGHT.indexOf(b.kind));
  return byWeight.flatMap(({ kind, words, at_s }) => {
    const half = (words.length * look.wordsPx * LETTER) / 2;
    const at = Math.min(Math.max(x(at_s), half), widthPx - half - 2);
    const from = at - half;
    const to = at + half;
    if (taken.some((other) => from < other.to + APART_PX && other.from < to + APART_PX)) return [];
    taken.push({ from, to });
    const place = { x: at, y: look.top - 9, "font-size": look.wordsPx, "text-anchor": "middle" };
    return [text(words, { class: `tape-words tape-words-${kind}`, ...place })];
  });
}

/** A notch beneath now, as wide as the run is off its plan, and how far that is in words. */
export function lateShape({ words, word, seconds }, nowS, { look, x, widthPx }) {
  const at = x(nowS) - 2;
  const size = Math.min(60, Math.max(1, at), Math.max(look.notchPx * 2, x(seconds)));
  const y = look.top + look.height + 2;
  const deep = look.heightPx - y;
  const group = element("g", { class: `tape-late tape-late-${word}` });
  group.append(element("path", { d: `M${at - size} ${y} h${size} v${deep} z` }));
  if (look.wordsPx > 0) {
    const isRight = at + 14 + words.length * look.wordsPx * LETTER < widthPx;
    const place = { x: isRight ? at + 12 : at - size - 8, y: look.heightPx - 3 };
    const anchor = isRight ? "start" : "end";
    group.append(text(words, { ...place, "font-size": look.wordsPx, "text-anchor": anchor }));
  }
  return group;
}

/** The patterns that shapes are filled with. */
export function patterns(id) {
  const defs = element("defs");
  for (const name of ["hatch", "first", "second"]) {
    const pattern = element("pattern", {
      id: `${id}-${name}`,
      width: 7,
      height: 7,
      patternUnits: "userSpaceOnUse",
      patternTransform: "rotate(45)",
    });
    pattern.append(element("rect", { class: `tape-pattern-${name}`, width: 3, height: 7 }));
    defs.append(pattern);
  }
  return defs;
}

function text(words, attributes) {
  const node = element("text", attributes);
  node.textContent = words;
  return node;
}

export function element(name, attributes = {}) {
  const node = document.createElementNS(SVG, name);
  for (const [key, value] of Object.entries(attributes)) node.setAttribute(key, value);
  return node;
}
