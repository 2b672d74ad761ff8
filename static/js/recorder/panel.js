// Recording as the stage shows it: the choice before the start, the sign during the run, and what
// becomes of it afterwards.

import { saveAs } from "../run/download.js";
import { chosen, connectChoice } from "./choice.js";
import { MB } from "./limits.js";
import { canRecord } from "./microphone.js";
import { Recorder } from "./recorder.js";
import { TakeStore } from "./store.js";
import { Uploader } from "./upload.js";
import { newsOf, stateWords } from "./words.js";

/** Connects the recorder to a run; returns { follow }, to be called whenever the run has changed. */
export function connectRecorder({ data, run, parts }) {
  // An old copy of the page may know nothing of recording.
  if (!parts.recording) return { follow: () => {} };
  const mostBytes = Number(parts.recording.dataset.mostMb) * MB;
  parts["recording-why"].hidden = canRecord();
  if (!canRecord() || mostBytes === 0) {
    parts["recording-choice"].hidden = true;
    return { follow: () => {} };
  }
  return new RecorderPanel({ data, run, parts, mostBytes });
}

class RecorderPanel {
  #data;
  #run;
  #parts;
  #mostBytes;
  #store = new TakeStore();
  #recorder;
  #uploader;
  #hasTried = false;
  #news = "";

  constructor({ data, run, parts, mostBytes }) {
    this.#data = data;
    this.#run = run;
    this.#parts = parts;
    this.#mostBytes = mostBytes;
    this.#recorder = new Recorder(this.#store, mostBytes, () => this.#onRecorder());
    this.#uploader = new Uploader(this.#store, (news) => this.#onUpload(news));
    connectChoice((kind) => this.#recorder.arm(kind, this.#data.rules.slot_s));
    addEventListener("online", () => this.#uploader.kick());
    const kind = chosen();
    if (kind !== "off" && this.#isOpen) this.#recorder.arm(kind, this.#data.rules.slot_s);
    else this.#uploader.kick();
  }

  /** Starts and stops with the clock. */
  follow() {
    const { status } = this.#run.shown;
    if (status === "running" && this.#recorder.state === "ready" && !this.#hasTried) {
      this.#hasTried = true;
      this.#recorder.start(this.#data, () => this.#run.elapsedMs);
    } else if (status !== "running" && this.#recorder.state === "recording") {
      this.#recorder.stop();
    } else if (status === "running" && this.#isTakenBack) {
      this.#rearm();
    }
    this.#paint();
  }

  get #isOpen() {
    return ["waiting", "running"].includes(this.#run.state.status);
  }

  // The finish was taken back: what goes on is a take of its own.
  get #isTakenBack() {
    const { state, trouble } = this.#recorder;
    const isOver = this.#hasTried && (state === "ended" || state === "off");
    return isOver && trouble === "" && chosen() !== "off";
  }

  #rearm() {
    this.#hasTried = false;
    this.#recorder.arm(chosen(), this.#data.rules.slot_s);
  }

  #onRecorder() {
    if (this.#recorder.state === "ended") {
      if (!this.#isOpen) this.#letGo();
      this.#uploader.kick();
    }
    if (["ready", "ended"].includes(this.#recorder.state)) this.follow();
    this.#paint();
  }

  // The microphone is on for the run, and not a moment longer.
  #letGo() {
    const { trouble } = this.#recorder;
    this.#recorder.disarm();
    this.#recorder.trouble = trouble;
  }

  #onUpload({ take, state, share, message }) {
    if (take.run_id !== this.#data.run_id) return;
    this.#news = newsOf(state, share, message);
    const isRefused = state === "refused";
    this.#parts["recording-ways"].hidden = !isRefused;
    if (isRefused) this.#offerWays(take);
    this.#paint();
  }

  #offerWays(take) {
    const [save, drop] = this.#parts["recording-ways"].querySelectorAll("button");
    save.onclick = async () => {
      const blob = await this.#store.blob(take);
      saveAs(blob, `run-${take.run_id}.${blob.type.split("/")[1] || "webm"}`);
    };
    drop.onclick = async () => {
      await this.#store.remove(take.id);
      this.#news = "The recording was deleted from this device.";
      this.#parts["recording-ways"].hidden = true;
      this.#paint();
    };
  }

  #paint() {
    const { state, trouble, kind, picture } = this.#recorder;
    const words = stateWords(this.#recorder, this.#mostBytes, this.#data.rules.slot_s);
    const preview = this.#parts["recording-preview"];
    preview.hidden = picture === null;
    if (preview.srcObject !== picture) preview.srcObject = picture;
    this.#parts["recording-now"].textContent = trouble || words;
    this.#parts["recording-sign"].hidden = state !== "recording" && trouble === "";
    this.#parts["recording-sign"].textContent =
      state === "recording" ? `● recording ${kind}` : "not recording";
    this.#parts["recording-news"].textContent = [trouble, this.#news].filter(Boolean).join(" ");
  }
}
