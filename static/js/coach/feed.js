// The live stream of a run. The browser's own way of connecting again gives up for good on any
// answer but 200, so a stream that fails or falls silent is closed and made anew, from the last
// mark that was seen. A stream only goes one way: so that the server knows who is still there, the
// page says so every few seconds while it listens.

import { answerTo } from "../stage/answer.js";
import { BackOff } from "../stage/back_off.js";

const FIRST_WAIT_MS = 500;
const LONGEST_WAIT_MS = 10_000;
const WHY_WITHIN_MS = 2000;
// The server says something every 5 s.
const SILENT_MS = 12_000;
const BEAT_MS = 4000;

/**
 * `state` is "connecting", "live", "away" (the server cannot be reached), "shut" (one is not, or
 * no longer, let in), "full" or "gone" (the run was deleted).
 */
export class Feed {
  #urls;
  #deviceId;
  #handlers;
  #source = null;
  #rev = 0;
  #backOff = new BackOff(FIRST_WAIT_MS, LONGEST_WAIT_MS);
  #silence = null;
  #beating = null;
  state = "connecting";

  /** `handlers`: onMark(event, receivedMs), onPulse(pulse), onPing(ping), onState(). */
  constructor(urls, deviceId, handlers) {
    this.#urls = urls;
    this.#deviceId = deviceId;
    this.#handlers = handlers;
  }

  /** Connects, if it is not connected. */
  open() {
    this.#backOff.cancel();
    if (this.#source || this.state === "gone") return;
    const source = new EventSource(
      `${this.#urls.live}?after=${this.#rev}&device=${this.#deviceId}`,
    );
    const on = (kind, handle) =>
      source.addEventListener(kind, (event) => {
        this.#alive();
        handle(JSON.parse(event.data), event);
      });
    on("mark", ({ event, received_ms }, { lastEventId }) => {
      this.#rev = Math.max(this.#rev, Number(lastEventId));
      this.#handlers.onMark(event, received_ms);
    });
    on("pulse", this.#handlers.onPulse);
    on("ping", this.#handlers.onPing);
    source.onerror = () => this.#failed();
    this.#source = source;
    this.#listen();
    this.#beating = setInterval(() => this.#beat(), BEAT_MS);
  }

  /** Lets the connection go, until `open`. */
  close() {
    this.#backOff.cancel();
    clearTimeout(this.#silence);
    clearInterval(this.#beating);
    this.#source?.close();
    this.#source = null;
  }

  #alive() {
    this.#backOff.reset();
    this.#listen();
    this.#become("live");
  }

  // Given up when the next is due: on a slow way the server has long heard it, only not answered.
  #beat() {
    const url = `${this.#urls.watching}?device=${this.#deviceId}`;
    answerTo(url, { method: "POST" }, BEAT_MS).catch(() => {});
  }

  #listen() {
    clearTimeout(this.#silence);
    this.#silence = setTimeout(() => this.#failed(), SILENT_MS);
  }

  async #failed() {
    this.close();
    this.#backOff.later(() => this.open());
    this.#become(await whyNot(this.#urls.watching));
  }

  #become(state) {
    if (state === null || state === this.state) return;
    // While it was asked why, the stream may have come back.
    if (state !== "live" && this.#source?.readyState === EventSource.OPEN) return;
    this.state = state;
    if (state === "gone") this.close();
    this.#handlers.onState();
  }
}

const WHY_NOT = new Map([
  [403, "shut"],
  [404, "gone"],
  [410, "gone"],
  [429, "full"],
]);

// Why the stream failed, which the browser does not say.
async function whyNot(url) {
  try {
    const { ok, status } = await answerTo(url, {}, WHY_WITHIN_MS);
    return ok ? "connecting" : (WHY_NOT.get(status) ?? "away");
  } catch {
    return "away";
  }
}
