// The course of a sitting: which sentence is said next, and how much of it is shown. Pure.

import { FIRST_WORDS, NOTHING } from "./sayings.js";

// What was gone is said again at the end, with more of it in view.
const AGAIN = [2, FIRST_WORDS, NOTHING];

export class Course {
  #queue;
  #at = 0;
  #eased = 0; // steps by which more is shown of the present sentence than its saying asks for
  #looks = false;
  #past = [];

  constructor(queue) {
    this.#queue = queue.map((each) => ({ ...each }));
  }

  /** The saying there is now; null when all is said. */
  get now() {
    return this.#queue[this.#at] ?? null;
  }

  get at() {
    return this.#at;
  }

  get length() {
    return this.#queue.length;
  }

  get isOver() {
    return this.now === null;
  }

  /** Whether how it went is asked for: it was said with hardly a word in view. */
  get asks() {
    return this.now !== null && this.now.step >= FIRST_WORDS && this.#isLastOfSentence();
  }

  /** Whether the words have come back, to be looked at before it is marked. */
  get looks() {
    return this.#looks;
  }

  /** How much is shown while it is said: 0 for every word, 5 for none. */
  get step() {
    return this.now === null ? 0 : Math.max(0, this.now.step - this.#eased);
  }

  get canGoBack() {
    return this.#looks || this.#eased > 0 || this.#past.length > 0;
  }

  /** Goes on: thinner, or to the words for a look. Where it asks, `mark` goes on. */
  next() {
    if (this.now === null) return;
    if (this.asks) this.#looks = true;
    else this.#leave(null);
  }

  /** Marks how the present sentence went and goes on; returns what there is to keep. */
  mark(how) {
    const { sentence } = this.now;
    const step = this.step;
    this.#leave({ sentence, how });
    if (how === "gone") {
      const last = this.#queue.reduce((most, { pass }) => Math.max(most, pass), 0);
      this.#queue.push(...AGAIN.map((each) => ({ sentence, step: each, pass: last + 1 })));
    }
    return { sentence, how, step };
  }

  /** Shows a step more of the present sentence. */
  more() {
    if (this.now !== null && !this.#looks && this.step > 0) this.#eased += 1;
  }

  /** One back; true where a mark was taken back with it. */
  back() {
    if (this.#looks) {
      this.#looks = false;
      return false;
    }
    if (this.#eased > 0) {
      this.#eased -= 1;
      return false;
    }
    const before = this.#past.pop();
    if (!before) return false;
    this.#at = before.at;
    this.#queue.length = before.length;
    return before.marked !== null;
  }

  /** What was done so far, in order: how a sentence went, or null where one just went on. */
  get way() {
    return this.#past.map(({ marked }) => marked?.how ?? null);
  }

  /** Goes a way again that was gone before, as far as it leads. */
  follow(way) {
    for (const how of way) {
      if (this.now === null) return;
      if (how === null) this.#leave(null);
      else this.mark(how);
    }
  }

  /** What is shown of a sentence: thin while it is still to be said in this pass. */
  stepOf(sentence) {
    if (this.now === null) return 0;
    if (sentence === this.now.sentence) return this.#looks ? 0 : this.step;
    const { pass } = this.now;
    const coming = this.#queue.slice(this.#at).find((each) => each.sentence === sentence);
    return coming && coming.pass === pass ? coming.step : 0;
  }

  /** How many sentences were marked in which way. */
  get marked() {
    return this.#past.flatMap(({ marked }) => (marked ? [marked] : []));
  }

  #leave(marked) {
    this.#past.push({ at: this.#at, length: this.#queue.length, marked });
    this.#at += 1;
    this.#eased = 0;
    this.#looks = false;
  }

  #isLastOfSentence() {
    const { sentence } = this.now;
    return !this.#queue.slice(this.#at + 1).some((each) => each.sentence === sentence);
  }
}
