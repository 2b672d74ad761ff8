// The run's clock as one who watches can know it. Their own device may be a year off, so its wall
// clock is never asked: the server says what time it is there (`heard`), and when it was told how
// far the presenter's clock was (`sighted`). Each word travels a while, never less than no time:
// of many the one that came quickest is believed. Pure: the even clock is passed in.
//
// The even clock may stand still while the device sleeps, which its wall clock shows. Until the
// server is heard anew the run's clock is then put forward by as much: the best that can be known.

const BELIEVED_MS = 60_000;

export class RunClock {
  // Server time less the even clock of this device; too small by the way the word took.
  #offsets = [];
  // Server time at which the run started; too late by the way the word took.
  #starts = [];

  /** The server said that it is `serverMs` there, and that arrived at `monoMs` here. */
  heard(serverMs, monoMs) {
    this.#offsets = this.#offsets.filter(({ isGuess }) => !isGuess);
    this.#offsets.push({ at: monoMs, value: serverMs - monoMs });
    this.#offsets = recent(this.#offsets);
  }

  /** The server was told at `serverMs` that the presenter's clock was at `elapsedMs`. */
  sighted(elapsedMs, serverMs) {
    this.#starts.push({ at: serverMs, value: serverMs - elapsedMs });
    this.#starts = recent(this.#starts);
  }

  /** The wall clock went on by `ms` more than the even clock: this device slept until `monoMs`. */
  slept(ms, monoMs) {
    if (this.#offsets.length === 0) return;
    this.#offsets = [{ at: monoMs, value: this.#serverAt(0) + ms, isGuess: true }];
  }

  /** Ms elapsed of the run at `monoMs` here; null while it cannot be known. */
  elapsedAt(monoMs) {
    if (this.#offsets.length === 0 || this.#starts.length === 0) return null;
    return Math.max(0, this.#serverAt(monoMs) - this.#start());
  }

  /** Ms elapsed of the run when anything was last known of it; null while nothing is. */
  lastKnown() {
    return this.#starts.length === 0 ? null : Math.max(0, this.#lastSighted() - this.#start());
  }

  /** Ms since anything was known of the presenter's clock; null while nothing is. */
  silentAt(monoMs) {
    if (this.#offsets.length === 0 || this.#starts.length === 0) return null;
    return Math.max(0, this.#serverAt(monoMs) - this.#lastSighted());
  }

  #start() {
    return Math.min(...this.#starts.map(({ value }) => value));
  }

  #lastSighted() {
    return Math.max(...this.#starts.map(({ at }) => at));
  }

  #serverAt(monoMs) {
    return monoMs + Math.max(...this.#offsets.map(({ value }) => value));
  }
}

// Clocks drift apart: what is older than a minute before the latest word is no longer believed.
function recent(words) {
  const latest = Math.max(...words.map(({ at }) => at));
  return words.filter(({ at }) => at > latest - BELIEVED_MS);
}
