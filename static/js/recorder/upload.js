// Sends takes to the server in parts, as often as it takes; what the server has is not sent again.
// A take leaves this device only when the server has all of it, or by the person's own hand.

import { answerTo, posted } from "../run/answer.js";
import { BackOff } from "../run/back_off.js";
import { lockOf } from "./take.js";

const FIRST_WAIT_MS = 1000;
const LONGEST_WAIT_MS = 30_000;
const GIVE_UP_MS = 20_000;
const LOCK = "ninefifty-recordings";
// Sent again it would be refused again: the person has to decide.
const FINAL = new Set([404, 410, 413, 422]);

class Refused extends Error {}
class NotNow extends Error {}

/** Calls back with { take, state, share, message }; state: "sending", "waiting", "sent", "refused". */
export class Uploader {
  #store;
  #onChange;
  #refused = new Set();
  #backOff = new BackOff(FIRST_WAIT_MS, LONGEST_WAIT_MS);
  #asked = false;
  #busy = false;

  constructor(store, onChange) {
    this.#store = store;
    this.#onChange = onChange;
  }

  /** Sends whatever is complete; call it whenever there is something or hope returns. */
  async kick() {
    this.#asked = true;
    if (this.#busy) return;
    this.#busy = true;
    this.#backOff.cancel();
    try {
      while (this.#asked) {
        this.#asked = false;
        await alone(LOCK, () => this.#sendAll());
      }
    } finally {
      this.#busy = false;
    }
  }

  async #sendAll() {
    for (const take of await this.#store.all()) {
      if (this.#refused.has(take.id) || (await isBeingRecorded(take))) continue;
      // Never closed and recorded by no page: the browser died. What was kept is worth keeping.
      if (take.size_bytes === 0) await this.#store.remove(take.id);
      else if (!(await this.#send(take))) return;
    }
  }

  // False when the server cannot be reached: the others have to wait as well.
  async #send(take) {
    try {
      await this.#sendParts(take);
      await this.#store.remove(take.id);
      this.#backOff.reset();
      this.#onChange({ take, state: "sent", share: 1, message: "" });
      return true;
    } catch (error) {
      if (error instanceof Refused) {
        this.#refused.add(take.id);
        this.#onChange({ take, state: "refused", share: 0, message: error.message });
        return true;
      }
      const message = error instanceof NotNow ? error.message : "";
      this.#onChange({ take, state: "waiting", share: 0, message });
      this.#backOff.later(() => this.kick());
      return false;
    }
  }

  async #sendParts(take) {
    let { parts: next, done } = await announce(take);
    let number = 0;
    let sent = 0;
    for await (const part of this.#store.parts(take.id)) {
      if (done) return;
      if (number >= next) ({ parts: next, done } = await sendPart(take, number, part));
      number += 1;
      sent += part.length;
      this.#onChange({ take, state: "sending", share: sent / take.size_bytes, message: "" });
    }
    if (!done) throw new Refused("Some of it is missing on this device.");
  }
}

function announce(take) {
  const { id, run_id, kind, started_ms, lasts_ms, size_bytes } = take;
  const told = { id, kind, started_ms, lasts_ms, size_bytes };
  return stateAfter(take, `/api/runs/${run_id}/recordings`, posted(told));
}

function sendPart(take, number, part) {
  return stateAfter(take, `/api/recordings/${take.id}/parts/${number}`, {
    method: "PUT",
    headers: { "Content-Type": "application/octet-stream" },
    body: part,
  });
}

// How much of the recording the server has after a request.
async function stateAfter(take, url, options) {
  const { ok, status, body } = await answerTo(url, options, GIVE_UP_MS);
  if (ok) return body;
  const message = body.error?.message ?? "";
  // Of a run that was begun on this device the server is yet to hear, from its marks.
  const isYetToCome = status === 404 && take.from_run;
  throw FINAL.has(status) && !isYetToCome ? new Refused(message) : new NotNow(message);
}

// One page at a time: two would send the same parts twice, which costs only time.
function alone(name, work) {
  if (!navigator.locks) return work();
  return navigator.locks.request(name, { ifAvailable: true }, (lock) => (lock ? work() : null));
}

async function isBeingRecorded(take) {
  if (take.closed || !navigator.locks) return false;
  return navigator.locks.request(lockOf(take.id), { ifAvailable: true }, (lock) => lock === null);
}
