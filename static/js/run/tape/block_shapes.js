// The blocks of the tape as SVG. A frame says where things lie: x(seconds) in px, `look` (see
// `drawing.js`), and the width in px.

import { element, text } from "./svg.js";

const BAND_PART = 0.19;

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
