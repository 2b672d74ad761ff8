// Marks of learning on their way: kept on the device before the page goes on, sent until they have
// arrived. A mark says what is so, and so does that it was taken back: both may arrive twice.

import { answerTo, posted } from "../run/answer.js";
import { BackOff } from "../run/back_off.js";
import { uuid7 } from "../run/ids.js";
import { LocalStore } from "../run/local_store.js";

const PREFIX = "ninefifty.learn.";
const AT_ONCE = 100;
const FIRST_MS = 1000;
const LONGEST_MS = 30_000;

export class Outbox {
  #store = new LocalStore(PREFIX);
  #held = new Map(); // where storage is switched off, as long as the page is open
  #routineId;
  #url;
  #later = new BackOff(FIRST_MS, LONGEST_MS);
  #sending = null;
  #onChange;

  constructor(routineId, url, onChange = () => {}) {
    this.#routineId = routineId;
    this.#url = url;
    this.#onChange = onChange;
    for (const { runId, event } of this.#store.all()) {
      if (runId === routineId) this.#held.set(event.id, event);
    }
  }

  get unsent() {
    return this.#held.size;
  }

  /** Keeps a mark; returns it with its id. */
  keep({ text, how, step }, nowMs = Date.now()) {
    const mark = { id: uuid7(nowMs), text, how, step, said_ms: nowMs };
    this.#put(mark);
    return mark;
  }

  takeBack(mark) {
    this.#put({ ...mark, undone: true });
  }

  /** Sends what is kept; whether nothing is left. */
  send() {
    this.#sending ??= this.#sendAll().finally(() => {
      this.#sending = null;
      this.#onChange();
    });
    return this.#sending;
  }

  #put(mark) {
    this.#held.set(mark.id, mark);
    this.#store.put(this.#routineId, mark);
    this.#onChange();
    this.send();
  }

  async #sendAll() {
    this.#later.cancel();
    while (this.#held.size > 0) {
      const some = [...this.#held.values()].slice(0, AT_ONCE);
      if (!(await this.#sendSome(some))) {
        this.#later.later(() => this.send());
        return false;
      }
      this.#onChange();
    }
    this.#later.reset();
    return true;
  }

  async #sendSome(some) {
    const answer = await this.#post(some);
    if (answer === null) return false;
    if (answer.ok || some.length === 1) {
      // One that is refused by itself will be refused for ever; of a routine that is gone too.
      const isSettled = answer.ok || [404, 409, 410, 422].includes(answer.status);
      if (isSettled) this.#forget(some);
      return isSettled;
    }
    if (answer.status !== 422) return false;
    for (const one of some) {
      if (!(await this.#sendSome([one]))) return false;
    }
    return true;
  }

  async #post(some) {
    const marks = some.map(({ undone: _, ...mark }) => mark);
    const undone = some.filter((mark) => mark.undone).map(({ id }) => id);
    try {
      return await answerTo(this.#url, posted({ marks, undone }));
    } catch {
      return null;
    }
  }

  // One that was taken back meanwhile goes out again.
  #forget(some) {
    const sent = some.filter((mark) => this.#held.get(mark.id) === mark);
    for (const { id } of sent) this.#held.delete(id);
    this.#store.remove(this.#routineId, sent.map(({ id }) => id));
  }
}
