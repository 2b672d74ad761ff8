// What a taster answered, kept on the phone: all of it, with a number that grows with each change.
// Where storage is switched off it is held as long as the page is open.

import { readSetting, writeSetting } from "../run/local_store.js";

export class KeptCard {
  #name;
  #held = null;

  constructor(name) {
    this.#name = `taste.${name}`;
    try {
      this.#held = JSON.parse(readSetting(this.#name));
    } catch {
      // What is no JSON was not kept by this.
    }
  }

  /** The number of the last change; 0 for none. */
  get count() {
    return this.#held?.count ?? 0;
  }

  /** Whether the card was handed in. */
  get done() {
    return this.#held?.done ?? false;
  }

  /** Names and values of the fields, as they were last. */
  get fields() {
    return this.#held?.fields ?? [];
  }

  /** Whether the server has not heard of the last change. */
  get isUnsent() {
    return this.count > (this.#held?.sent ?? 0);
  }

  keep(count, fields, done) {
    this.#write({ count, fields, done, sent: this.#held?.sent ?? 0 });
  }

  /** The server has the change with this number. */
  sent(count) {
    this.#write({ ...this.#held, sent: Math.max(count, this.#held?.sent ?? 0) });
  }

  #write(held) {
    this.#held = held;
    writeSetting(this.#name, JSON.stringify(held));
  }
}
