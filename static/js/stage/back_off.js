// Trying again later, and later still: each wait is up to twice the one before, cut short by
// chance, so that many devices do not all come back in the same moment.

export class BackOff {
  #firstMs;
  #longestMs;
  #waits = 0;
  #timer = null;

  constructor(firstMs, longestMs) {
    this.#firstMs = firstMs;
    this.#longestMs = longestMs;
  }

  /** Does it once, after a wait; what was to be done before is called off. */
  later(work) {
    this.cancel();
    const fullMs = Math.min(this.#longestMs, this.#firstMs * 2 ** this.#waits);
    this.#waits += 1;
    this.#timer = setTimeout(work, fullMs * (0.5 + Math.random() / 2));
  }

  cancel() {
    clearTimeout(this.#timer);
  }

  /** It went well: the next wait is a short one again. */
  reset() {
    this.#waits = 0;
  }
}
