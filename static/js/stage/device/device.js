// What this device does beside showing the run: it sounds, plays the music and keeps its screen on.

import { Music } from "./music.js";
import { Sound } from "../sound.js";
import { ScreenWake } from "./wake.js";

export class Device {
  /** `onScreen` hears when the screen may sleep or no longer, `onMusic` when the music has changed. */
  constructor(data, preferences, { onScreen, onMusic }) {
    this.sound = new Sound(data.language, preferences);
    this.music = new Music(data.music, preferences, onMusic);
    this.wake = new ScreenWake(onScreen, () => preferences.isOn("clip"));
  }

  /** Browsers let a page sound, and play, only from within a press; any will do. */
  press() {
    this.sound.wake();
    this.music.wake();
    this.wake.press();
  }

  /** Follows what is shown of the run: as long as it goes on, the screen stays on. */
  follow(run) {
    this.wake.want(["waiting", "running"].includes(run.shown.status));
    this.play(run);
  }

  /** Music belongs to the device that holds the clock: another one only shows the run. */
  play(run) {
    this.music.follow(run.holds ? run.shown.status : "waiting", run.elapsedMs);
  }
}
