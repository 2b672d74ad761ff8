// The pace of a sentence: a line that moves along for as long as it takes, and a quiet tone at its
// end where that is wanted. Where motion is unwelcome there is no line, only the seconds.

import { Sound } from "../stage/sound.js";

const QUIET = { calls: "off", "count-in-sound": "tone", loudness: 20 };
const STILL = "(prefers-reduced-motion: reduce)";

export class Pace {
  #sound;
  #timer = null;
  #moving = null;

  constructor(language) {
    this.#sound = new Sound(language, { get: (name) => QUIET[name] });
  }

  /** Call it from a press: browsers let a page sound only after one. */
  wake() {
    this.#sound.wake();
  }

  /** Moves the line of a sentence along for so many seconds; then sounds, and says that it is over. */
  run(line, seconds, { withTone = false, then = () => {} } = {}) {
    this.stop();
    line.classList.add("is-paced");
    if (!matchMedia(STILL).matches) {
      const frames = [{ transform: "scaleX(0)" }, { transform: "scaleX(1)" }];
      const timing = { duration: seconds * 1000, easing: "linear", fill: "forwards" };
      this.#moving = { line, animation: line.animate(frames, timing) };
    } else {
      this.#moving = { line, animation: null };
    }
    this.#timer = setTimeout(() => {
      if (withTone) this.#sound.tick(0);
      then();
    }, seconds * 1000);
  }

  stop() {
    clearTimeout(this.#timer);
    this.#moving?.animation?.cancel();
    this.#moving?.line.classList.remove("is-paced");
    this.#moving = null;
  }
}
