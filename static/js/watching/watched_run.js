// The run as one who watches knows it: what the server passed on, and what they recorded
// themselves, folded together. Their own remarks are in the journal before the screen shows them.

import { fold } from "../run/fold.js";
import { outlineOf } from "../run/run_data.js";
import { elapsedTimes, inOrder } from "../run/times.js";
import { uuid7 } from "../run/ids.js";

export class WatchedRun {
  #data;
  #journal;
  #clock;
  #ids;
  #outline;
  #events = new Map();
  #log = [];
  #state;

  /** `ids` is { deviceId, bootId }. */
  constructor(data, journal, clock, ids) {
    this.#data = data;
    this.#journal = journal;
    this.#clock = clock;
    this.#ids = ids;
    this.#outline = outlineOf(data);
    for (const event of data.events) this.#events.set(event.id, event);
    this.#takeOwn(data.events);
    this.refresh();
  }

  get state() {
    return this.#state;
  }

  /** Ms elapsed: the total of a run that is over; null while it cannot be known. */
  get elapsedMs() {
    if (this.#state.status === "waiting") return 0;
    return this.#state.total_ms ?? this.#clock.elapsedAt(performance.now());
  }

  /** Whether an event was recorded here. */
  isOwn(id) {
    return this.#journal.events.some((event) => event.id === id);
  }

  /** The last remark made here that stands, null when there is none. */
  get lastOwn() {
    const back = new Set(this.#log.map((event) => event.target_id).filter(Boolean));
    const own = this.#journal.events.filter(
      (event) => event.kind !== "retract" && !back.has(event.id),
    );
    return own.sort((a, b) => a.seq - b.seq).at(-1) ?? null;
  }

  /** Takes in an event that the server passed on. */
  take(event, receivedMs) {
    this.#events.set(event.id, event);
    this.#takeOwn([event]);
    this.refresh();
    if (event.who == null) this.#sight(event, receivedMs);
  }

  /** When a remark made now was made, ms of the run. Its segment follows from that when shown. */
  moment() {
    return Math.floor(this.elapsedMs ?? this.lastKnownMs);
  }

  /** Ms elapsed when the presenter was last heard, or at the last mark. */
  get lastKnownMs() {
    const marked = this.#state.ends_ms.filter((endMs) => endMs !== null);
    return Math.max(0, this.#clock.lastKnown() ?? 0, ...marked);
  }

  /** Records a remark, at `atMs` where that is not now. Resolves to whether it is stored. */
  record(kind, fields, atMs = this.moment()) {
    const wallMs = Date.now();
    const stored = this.#journal.append({
      id: uuid7(wallMs),
      device_id: this.#ids.deviceId,
      boot_id: this.#ids.bootId,
      seq: this.#journal.nextSeq,
      kind,
      wall_ms: wallMs,
      mono_ms: performance.now(),
      who: this.#data.who,
      at_ms: atMs,
      ...fields,
    });
    this.refresh();
    return stored;
  }

  refresh() {
    const all = new Map(this.#events);
    for (const event of this.#journal.events) all.set(event.id, event);
    this.#log = inOrder(all.values());
    this.#state = fold(this.#log, this.#outline);
  }

  // What was recorded here comes back when the server has it.
  #takeOwn(events) {
    const own = events.filter(
      (event) => event.who != null && event.device_id === this.#ids.deviceId,
    );
    this.#journal.takeFromServer(own);
  }

  #sight(event, receivedMs) {
    const elapsed = elapsedTimes(this.#log).get(event.id);
    const tells = event.kind !== "note" && elapsed !== undefined;
    if (tells) this.#clock.sighted(elapsed, receivedMs);
  }
}
