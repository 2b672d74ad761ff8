// The presenter's music: fetched whole when the stage opens, so that it plays though the server is
// away; it starts with the clock, follows it, and stops with it.

const TRY_AGAIN_MS = 5000;
// Further than this from the clock (a sleep, a reload, a stall) the music is put right.
const APART_MS = 700;

/**
 * `state` is none, loading, ready, failed (it could not be fetched yet, or is no sound to this
 * browser) or blocked (the browser wants a press before it plays).
 */
export class Music {
  #track;
  #preferences;
  #onChange;
  #audio = null;
  #state;
  #isStarting = false;
  #isPrimed = false;

  constructor(track, preferences, onChange) {
    this.#track = track;
    this.#preferences = preferences;
    this.#onChange = onChange;
    this.#state = track === null ? "none" : "loading";
    preferences.onChange(() => this.#setVolume());
  }

  get state() {
    return this.#state;
  }

  get name() {
    return this.#track?.name ?? "";
  }

  /** How long it lasts, ms; null while unknown. */
  get lengthMs() {
    const lengthS = this.#audio?.duration;
    return Number.isFinite(lengthS) ? lengthS * 1000 : null;
  }

  /** Fetches the track; keeps trying while the server is away. */
  async load() {
    if (this.#track === null) return;
    try {
      const response = await fetch(this.#track.url);
      // A proxy answers for a server that is away: it is tried again, as where nothing answers.
      if (response.status >= 500) throw new Error(`the server answered ${response.status}`);
      if (!response.ok) return this.#turn("failed");
      await this.#prepare(await response.blob());
    } catch {
      this.#turn("failed");
      setTimeout(() => this.load(), TRY_AGAIN_MS);
    }
  }

  /** Call it from a press: a browser lets a page play only what was first played from one. */
  wake() {
    if (this.#state === "blocked") {
      this.#isPrimed = false;
      this.#turn("ready");
    }
    if (this.#state !== "ready" || this.#isPrimed || !this.#audio.paused) return;
    this.#isPrimed = true;
    this.#audio.muted = true;
    const pause = () => {
      if (!this.#isStarting) this.#audio.pause();
      this.#audio.muted = false;
    };
    this.#audio.play().then(pause, pause);
  }

  /** Plays at `elapsedMs` of a run under way, and is silent at any other time. */
  follow(status, elapsedMs) {
    if (this.#state !== "ready") return;
    const isWanted = status === "running" && elapsedMs < this.lengthMs;
    if (!isWanted) {
      if (!this.#audio.paused && !this.#audio.muted) this.#audio.pause();
    } else if (this.#audio.paused) {
      if (!this.#isStarting) this.#start(elapsedMs);
    } else if (Math.abs(this.#audio.currentTime * 1000 - elapsedMs) > APART_MS) {
      this.#audio.currentTime = elapsedMs / 1000;
    }
  }

  async #prepare(blob) {
    const audio = new Audio(URL.createObjectURL(blob));
    audio.preload = "auto";
    const known = new Promise((resolve) => {
      audio.addEventListener("loadedmetadata", () => resolve("ready"), { once: true });
      audio.addEventListener("error", () => resolve("failed"), { once: true });
    });
    this.#audio = audio;
    this.#setVolume();
    this.#turn(await known);
  }

  async #start(elapsedMs) {
    this.#isStarting = true;
    this.#audio.muted = false;
    this.#audio.currentTime = elapsedMs / 1000;
    try {
      await this.#audio.play();
    } catch (error) {
      // Any other: it was paused meanwhile, and the next beat starts it again.
      if (error.name === "NotAllowedError") this.#turn("blocked");
    }
    this.#isStarting = false;
  }

  #setVolume() {
    if (this.#audio !== null) this.#audio.volume = this.#preferences.get("music-loudness") / 100;
  }

  #turn(state) {
    this.#state = state;
    this.#onChange();
  }
}
