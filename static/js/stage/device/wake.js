// Keeps the screen awake: by a lock where the browser gives one to a page (not on plain http), by a
// playing clip where the person wants to try that. `held` is true only for the lock, which is sure.

import { Clip } from "./clip.js";

export class ScreenWake {
  #lock = null;
  #clip = new Clip();
  #wanted = false;
  #refused = false;
  #mayTry;
  #onChange;

  /** `mayTry()` says whether the person wants the clip to be tried. */
  constructor(onChange, mayTry = () => false) {
    this.#onChange = onChange;
    this.#mayTry = mayTry;
    document.addEventListener("visibilitychange", () => this.#request());
  }

  get held() {
    return this.#lock !== null;
  }

  /** Whether the browser gives locks at all; over plain http none does. */
  get offers() {
    return "wakeLock" in navigator;
  }

  /** Whether the clip plays, which may help. */
  get trying() {
    return this.#clip.plays;
  }

  /** Whether the browser gives locks, and gave the last one that was asked for. */
  get possible() {
    return "wakeLock" in navigator && !this.#refused;
  }

  want(wanted) {
    this.#wanted = wanted;
    if (wanted) {
      this.#request();
    } else {
      this.#lock?.release();
      this.#clip.stop();
    }
  }

  /** Call it from a press: a clip with a sound, however silent, plays only after one. */
  async press() {
    if (!this.#wanted || this.possible || this.trying || !this.#mayTry()) return;
    await this.#clip.play();
    if (!this.#wanted) this.#clip.stop();
    this.#onChange();
  }

  // The browser lets go of the lock whenever the page is hidden or the battery is low.
  async #request() {
    if (!this.#wanted || this.#lock || !("wakeLock" in navigator) || document.hidden) return;
    try {
      const lock = await navigator.wakeLock.request("screen");
      lock.addEventListener("release", () => this.#set(null));
      this.#refused = false;
      this.#set(lock);
      if (!this.#wanted) lock.release();
    } catch {
      this.#refused = true;
      this.#set(null);
    }
  }

  #set(lock) {
    this.#lock = lock;
    this.#onChange();
  }
}
