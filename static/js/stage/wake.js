// Keeps the screen awake where the browser lets a page do so (not on plain http).

export class ScreenWake {
  #lock = null;
  #wanted = false;
  #onChange;

  constructor(onChange) {
    this.#onChange = onChange;
    document.addEventListener("visibilitychange", () => this.#request());
  }

  get held() {
    return this.#lock !== null;
  }

  get possible() {
    return "wakeLock" in navigator;
  }

  want(wanted) {
    this.#wanted = wanted;
    if (wanted) {
      this.#request();
    } else {
      this.#lock?.release();
    }
  }

  // The browser lets go of the lock whenever the page is hidden or the battery is low.
  async #request() {
    if (!this.#wanted || this.#lock || !this.possible || document.hidden) return;
    try {
      const lock = await navigator.wakeLock.request("screen");
      lock.addEventListener("release", () => this.#set(null));
      this.#set(lock);
    } catch {
      this.#set(null);
    }
  }

  #set(lock) {
    this.#lock = lock;
    this.#onChange();
  }
}
