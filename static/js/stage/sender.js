// Sends events to the server in batches, as often as it takes. Sending twice does no harm: the
// server keeps each id once and acknowledges it every time.

import { answerTo } from "./answer.js";

const MOST_IN_BATCH = 200;
const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 10_000;

const TROUBLE = new Map([
  [404, "unknown"],
  [410, "gone"],
]);

/**
 * `state` is { trouble, message, refused }: trouble is null, "offline", "unknown" (the server does
 * not know this run), "gone" (the run was deleted) or "refused" (some events were not taken).
 */
export class Sender {
  #url;
  #journal;
  #onChange;
  #timer = null;
  #waits = 0;
  #busy = false;
  #single = false;
  #refused = new Map();
  #trouble = null;
  #deviceId;
  #serverClock;
  #asking = false;

  /** `serverClock` is that of the page that shows the run's clock; who only remarks has none. */
  constructor(url, journal, { deviceId, serverClock = null, onChange }) {
    this.#url = url;
    this.#journal = journal;
    this.#deviceId = deviceId;
    this.#serverClock = serverClock;
    this.#onChange = onChange;
  }

  get state() {
    const refused = [...this.#refused.values()];
    const trouble = this.#trouble ?? (refused.length > 0 ? "refused" : null);
    return { trouble, message: refused[0] ?? "", refused: refused.length };
  }

  /** Sends at once whatever is pending; call it on every new event and whenever hope returns. */
  kick() {
    clearTimeout(this.#timer);
    if (!this.#busy && this.#trouble !== "gone") this.#drain();
  }

  /** A last try while the page goes away. A bonus: nothing is counted as sent by it. */
  farewell() {
    const batch = this.#batch();
    if (batch.length === 0 || this.#trouble === "gone") return;
    fetch(this.#url, { ...request(batch), keepalive: true }).catch(() => {});
  }

  /** Fetches what the server holds of this run, or learns that it cannot be had. */
  async fetchKnown() {
    try {
      const askedMs = performance.now();
      const response = await answerTo(`${this.#url}?device=${this.#deviceId}`);
      this.#trouble = TROUBLE.get(response.status) ?? (response.ok ? null : "offline");
      if (response.ok) await this.#learn(response, askedMs);
    } catch {
      this.#trouble = "offline";
    }
    this.#onChange();
  }

  /** Asks whether anything came from elsewhere; what waits to be sent follows a good answer. */
  async look() {
    if (this.#asking || this.#trouble === "gone") return;
    this.#asking = true;
    await this.fetchKnown();
    this.#asking = false;
    if (this.#trouble === null && this.#batch().length > 0) this.kick();
  }

  async #learn(response, askedMs) {
    const answer = await response.json();
    this.#serverClock?.take(answer, askedMs, performance.now());
    this.#journal.takeFromServer(answer.events);
  }

  #batch() {
    const open = this.#journal.pending.filter((event) => !this.#refused.has(event.id));
    return open.slice(0, this.#single ? 1 : MOST_IN_BATCH);
  }

  async #drain() {
    this.#busy = true;
    let goOn = true;
    while (goOn && this.#batch().length > 0) {
      goOn = await this.#send(this.#batch());
      this.#onChange();
    }
    this.#busy = false;
    if (!goOn && this.#trouble !== "gone") this.#retryLater();
  }

  // True when it makes sense to send more at once.
  async #send(batch) {
    try {
      const response = await answerTo(this.#url, request(batch));
      if (response.status === 422) return await this.#sift(batch, response);
      this.#trouble = TROUBLE.get(response.status) ?? (response.ok ? null : "offline");
      return response.ok && (await this.#take(response));
    } catch {
      this.#trouble = "offline";
      return false;
    }
  }

  async #take(response) {
    const { accepted, differing, takeovers = [] } = await response.json();
    this.#journal.acknowledge([...accepted, ...differing]);
    this.#waits = 0;
    const isNews = this.#serverClock && takeovers.some((id) => !this.#journal.has(id));
    if (isNews || differing.length > 0) await this.fetchKnown();
    return accepted.length + differing.length > 0;
  }

  // One bad event must not hold up the others: send them singly and set the bad one aside.
  async #sift(batch, response) {
    this.#trouble = null;
    if (batch.length === 1) {
      const body = await response.json().catch(() => ({}));
      this.#refused.set(batch[0].id, body.error?.message ?? "");
    }
    this.#single = true;
    return true;
  }

  #retryLater() {
    const fullMs = Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** this.#waits);
    this.#waits += 1;
    this.#timer = setTimeout(() => this.kick(), fullMs * (0.5 + Math.random() / 2));
  }
}

function request(events) {
  return {
    method: "POST",
    headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ events }),
  };
}
