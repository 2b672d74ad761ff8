// Draws the tape: the whole slot as one strip, with now wandering along it. With numbers and words
// where its place is high enough, slim where it is not.

import { blockShape, overTime } from "./block_shapes.js";
import { lateShape, markerShape, markerWords } from "./mark_shapes.js";
import { element, patterns } from "./svg.js";

const SLIM_PX = 40;
// Below this there is no room for words over the strip and under it.
const LETTERED_PX = 64;

/** The slim strip beside other things, as high as it needs to be. */
export function slimTape(svg) {
  return new Tape(svg, () => lookIn(SLIM_PX, svg.clientWidth));
}

/** The strip that fills the height its sheet gives it. */
export function stageTape(svg) {
  return new Tape(svg, () => lookIn(svg.clientHeight, svg.clientWidth));
}

/** Where strip, words and notches lie in a place of this size, px. */
export function lookIn(heightPx, widthPx) {
  if (heightPx < LETTERED_PX) {
    const top = Math.min(8, heightPx * 0.2);
    const height = Math.max(4, heightPx - 2 * top - 2);
    const numberPx = height >= 22 ? 16 : 0;
    return { heightPx, top, height, notchPx: Math.min(5, height / 3), numberPx, wordsPx: 0 };
  }
  const wordsPx = Math.max(16, Math.min(26, heightPx * 0.21, widthPx / 40));
  const top = wordsPx + 10;
  const height = heightPx - top - wordsPx - 2;
  const numberPx = Math.max(16, Math.min(26, height * 0.5, widthPx / 44));
  return { heightPx, top, height, notchPx: 7, numberPx, wordsPx };
}

class Tape {
  #svg;
  #look;
  #strip = element("g");
  #now = element("g", { class: "tape-now" });
  #pxPerS = 0;

  constructor(svg, look) {
    this.#svg = svg;
    this.#look = look;
    svg.replaceChildren(patterns(svg.id), this.#strip, this.#now);
  }

  /** Draws the strip anew: when a mark was made, or the plan gave way to the clock. */
  draw(tape, elapsedS = 0) {
    const widthPx = this.#svg.clientWidth;
    const look = this.#look();
    this.#pxPerS = widthPx / tape.end_s;
    this.#svg.setAttribute("viewBox", `0 0 ${widthPx} ${look.heightPx}`);
    this.#svg.setAttribute("height", look.heightPx);
    const x = (seconds) => seconds * this.#pxPerS;
    const frame = { look, x, nowX: x(elapsedS), widthPx, hatchId: this.#svg.id };
    this.#strip.replaceChildren(
      ...tape.blocks.map((block) => blockShape(block, frame)),
      overTime(tape, frame),
      ...tape.markers.map((marker) => markerShape(marker, elapsedS, frame)),
      ...markerWords(tape.markers, frame),
      ...(tape.late ? [lateShape(tape.late, elapsedS, frame)] : []),
    );
    const { top, height, heightPx } = look;
    const post = { x1: 0, x2: 0, y1: Math.max(0, top - 8) };
    this.#now.replaceChildren(
      element("line", { class: "tape-halo", ...post, y2: top + height + 2 }),
      element("line", { class: "tape-post", ...post, y2: heightPx }),
    );
  }

  /** Puts now where it belongs at this moment; cheap enough for every frame. */
  moveTo(elapsedS) {
    this.#now.setAttribute("transform", `translate(${(elapsedS * this.#pxPerS).toFixed(2)} 0)`);
  }
}
