// Sends events to the server in batches, as often as it takes. Sending twice does no harm: the
// server keeps each id once and acknowledges it every time.

import { answerTo } from "./answer.js";
import { BackOff } from "./back_off.js";
import { batchRequest, BatchSize, sendBatch, troubleOf } from "./batches.js";

const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 10_000;

/**
 * `state` is { trouble, message, refused }: trouble is null, "offline", "shut" (this device is not,
 * or no longer, let in; it is tried again), "unknown" (the server does not know this run), "gone"
 * (the run was deleted) or "refused" (some events were not taken).
 */
export class Sender {
  #url;
  #journal;
  #onChange;
  #backOff = new BackOff(FIRST_WAIT_MS, LONGEST_WAIT_MS);
  #size = new BatchSize();
  #busy = false;
  #refused = new Map();
  #trouble = null;
  #shut = "";
  #deviceId;
  #serverClock;
  #isMadeHere;
  #asking = false;

  /**
   * `serverClock` is that of the page that shows the run's clock; who only remarks has none. Of a
   * run that was made here (`isMadeHere`) the server knows nothing until it has its start.
   */
  constructor(url, journal, { deviceId, serverClock = null, isMadeHere = false, onChange }) {
    this.#url = url;
    this.#journal = journal;
    this.#deviceId = deviceId;
    this.#serverClock = serverClock;
    this.#isMadeHere = isMadeHere;
    this.#onChange = onChange;
  }

  get state() {
    const refused = [...this.#refused.values()];
    const trouble = this.#trouble ?? (refused.length > 0 ? "refused" : null);
    const message = trouble === "shut" ? this.#shut : (refused[0] ?? "");
    return { trouble, message, refused: refused.length };
  }

  /** Sends at once whatever is pending; call it on every new event and whenever hope returns. */
  kick() {
    this.#backOff.cancel();
    if (!this.#busy && this.#trouble !== "gone") this.#drain();
  }

  /** A last try while the page goes away. A bonus: nothing is counted as sent by it. */
  farewell() {
    const batch = this.#batch();
    if (batch.length === 0 || this.#trouble === "gone") return;
    fetch(this.#url, { ...batchRequest(batch), keepalive: true }).catch(() => {});
  }

  /** Fetches what the server holds of this run, or learns that it cannot be had. */
  async fetchKnown() {
    try {
      const askedMs = performance.now();
      const answer = await answerTo(`${this.#url}?device=${this.#deviceId}`);
      const isYetToCome = answer.status === 404 && this.#isMadeHere && !this.#journal.isKnownThere;
      this.#trouble = isYetToCome ? null : troubleOf(answer);
      this.#shut = answer.body.error?.message ?? "";
      if (answer.ok) this.#learn(answer.body, askedMs);
    } catch {
      this.#trouble = "offline";
    }
    this.#onChange();
  }

  /** Asks whether anything came from elsewhere; what waits to be sent follows a good answer. */
  async look() {
    if (this.#asking || this.#trouble === "gone") return;
    this.#asking = true;
    try {
      await this.fetchKnown();
    } finally {
      this.#asking = false;
    }
    if (this.#trouble === null && this.#batch().length > 0) this.kick();
  }

  #learn(answer, askedMs) {
    this.#serverClock?.take(answer, askedMs, performance.now());
    this.#journal.takeFromServer(answer.events);
  }

  #batch() {
    const open = this.#journal.pending.filter((event) => !this.#refused.has(event.id));
    return open.slice(0, this.#size.most);
  }

  async #drain() {
    this.#busy = true;
    let goOn = true;
    try {
      while (goOn && this.#batch().length > 0) {
        goOn = await this.#send(this.#batch());
        this.#onChange();
      }
    } finally {
      // Whoever hears of it may fail: the next mark is sent all the same.
      this.#busy = false;
    }
    if (!goOn && this.#trouble !== "gone") this.#backOff.later(() => this.kick());
  }

  // True when it makes sense to send more at once.
  async #send(batch) {
    const { trouble, message, kept, differing, takeovers } = await sendBatch(this.#url, batch);
    if (trouble === "refused") return this.#sift(batch, message);
    this.#trouble = trouble;
    this.#shut = message;
    if (trouble !== null) return false;
    this.#journal.acknowledge(kept);
    this.#size.wasTaken();
    this.#backOff.reset();
    const isNews = this.#serverClock && takeovers.some((id) => !this.#journal.has(id));
    if (isNews || differing.length > 0) await this.fetchKnown();
    return kept.length > 0;
  }

  // One bad event must not hold up the others: it is set aside once it was refused alone.
  #sift(batch, message) {
    this.#trouble = null;
    if (batch.length === 1) this.#refused.set(batch[0].id, message);
    this.#size.wasRefused(batch.length);
    return true;
  }
}
