// What stands at a moment of the tape as SVG: calls, target, the end of the slot, and how late it is.
// A frame says where things lie, as for `block_shapes.js`.

import { element, text } from "./svg.js";

const LETTER = 0.46; // of the type size, the width of an average letter
const APART_PX = 8;
const WEIGHT = ["slot", "cutoff", "call"];

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
