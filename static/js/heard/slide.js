// One boundary of a take under the hand: dragged, or moved with the arrow keys; saved when the
// hand rests. The field beside it stays the one that is sent.

import { clock } from "../run/words.js";
import { draw } from "./wave.js";

const AROUND_MS = 8000;
const STEP_MS = 100;
const LARGE_STEP_MS = 1000;
const REST_MS = 700;
const STEPS = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 };

let hadFocus = false;

/** Connects the slider of the boundary that is open; `peaks` are those of its sound, or null. */
export function connectSlide(root, peaks) {
  const slide = root.querySelector("[data-slide]");
  if (!slide || slide.dataset.connected) return;
  slide.dataset.connected = "true";
  new Slide(slide, peaks);
  // The page was swapped when it was saved: the hand is still on it.
  if (hadFocus) slide.focus({ preventScroll: true });
  hadFocus = false;
}

class Slide {
  #slide;
  #form;
  #field;
  #fromMs;
  #timer;

  constructor(slide, peaks) {
    this.#slide = slide;
    this.#form = slide.closest("form");
    this.#field = this.#form.elements.at;
    this.#fromMs = Math.max(0, this.#atMs - AROUND_MS);
    slide.addEventListener("keydown", (event) => this.#key(event));
    slide.addEventListener("pointerdown", (event) => this.#down(event));
    slide.addEventListener("pointermove", (event) => {
      if (slide.hasPointerCapture(event.pointerId)) this.#put(this.#under(event));
    });
    slide.addEventListener("pointerup", () => this.#rest(0));
    this.#form.addEventListener("submit", () => {
      clearTimeout(this.#timer);
      hadFocus = document.activeElement === slide;
    });
    this.#paint();
    if (peaks) peaks.then((found) => found && this.#drawNear(found));
  }

  get #atMs() {
    return Number(this.#slide.getAttribute("aria-valuenow"));
  }

  #key(event) {
    const size = event.shiftKey ? LARGE_STEP_MS : STEP_MS;
    const paged = { PageUp: LARGE_STEP_MS, PageDown: -LARGE_STEP_MS }[event.key];
    const step = paged ?? (STEPS[event.key] ?? 0) * size;
    if (step === 0 || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    event.stopPropagation();
    this.#put(this.#atMs + step);
    this.#rest(REST_MS);
  }

  #down(event) {
    event.preventDefault();
    this.#slide.focus({ preventScroll: true });
    this.#slide.setPointerCapture(event.pointerId);
    clearTimeout(this.#timer);
    this.#put(this.#under(event));
  }

  #under(event) {
    const { left, width } = this.#slide.getBoundingClientRect();
    return this.#fromMs + ((event.clientX - left) / width) * 2 * AROUND_MS;
  }

  #put(wantedMs) {
    const [least, most] = ["aria-valuemin", "aria-valuemax"].map((name) =>
      Number(this.#slide.getAttribute(name)),
    );
    const atMs = Math.round(Math.min(Math.max(wantedMs, least), most) / 10) * 10;
    this.#slide.setAttribute("aria-valuenow", String(atMs));
    this.#slide.setAttribute("aria-valuetext", toDigits(atMs - Number(this.#slide.dataset.startMs), 1));
    this.#field.value = toDigits(atMs, 2);
    this.#paint();
  }

  #paint() {
    const share = (this.#atMs - this.#fromMs) / (2 * AROUND_MS);
    const handle = this.#slide.querySelector(".take-handle");
    handle.style.left = `${Math.min(Math.max(share, 0), 1) * 100}%`;
  }

  #drawNear(peaks) {
    draw(this.#slide.querySelector("[data-near]"), peaks, this.#fromMs, this.#fromMs + 2 * AROUND_MS);
  }

  #rest(ms) {
    clearTimeout(this.#timer);
    this.#timer = setTimeout(() => {
      if (this.#form.isConnected) this.#form.requestSubmit();
    }, ms);
  }
}

// m:ss with so many decimals, none of them lost to rounding up to a minute.
function toDigits(ms, digits) {
  const unit = 10 ** (3 - digits);
  const whole = Math.round(Math.abs(ms) / unit) * unit;
  const rest = ((whole % 1000) / 1000).toFixed(digits).slice(1);
  return `${ms < 0 ? "−" : ""}${clock(Math.floor(whole / 1000))}${rest}`;
}
