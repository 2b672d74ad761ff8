// Records a run with the microphone or the camera of this device. It never stands in the way of
// the run: whatever goes wrong here ends the recording and is said, and the marks go on.

import { uuid7 } from "./ids.js";

export const KINDS = ["off", "sound", "video"];
const CHUNK_MS = 1000;
const LOOK_AT_ROOM_EVERY_MS = 10_000;
// What browsers can make, best first. The server knows a file by its first bytes, not by this.
const MEDIA_TYPES = {
  sound: ["audio/webm;codecs=opus", "audio/mp4", "audio/ogg;codecs=opus"],
  video: ["video/webm;codecs=vp8,opus", "video/mp4"],
};
const BITS_PER_S = { sound: 64_000, video: 1_000_000 };
// Marks are kept in the same storage: they must never find it full.
const KEPT_FREE_BYTES = 50_000_000;
// A run may well go over its slot.
const SPARE = 1.5;
// So long before the limit a recording ends: what is under way must still fit.
const END_BEFORE_S = 5;

/** Whether this browser lends a page its microphone at all; over plain http none does. */
export function canRecord() {
  return Boolean(navigator.mediaDevices?.getUserMedia) && typeof MediaRecorder !== "undefined";
}

/** How many bytes a recording of so many seconds comes to. */
export function expectedBytes(kind, seconds) {
  return bytesPerS(kind) * seconds;
}

/**
 * After how many seconds a recording reaches a limit; null where a run of a slot of `slotS`, gone
 * well over, does not.
 */
export function limitReachedS(kind, mostBytes, slotS) {
  const seconds = Math.max(0, mostBytes / bytesPerS(kind) - END_BEFORE_S);
  return seconds < slotS * SPARE ? seconds : null;
}

function bytesPerS(kind) {
  return Math.ceil((BITS_PER_S[kind] + (kind === "video" ? BITS_PER_S.sound : 0)) / 8);
}

/**
 * `state` is "off", "arming", "ready", "recording" or "ended"; `trouble` says in words why there
 * is no recording where one was wanted.
 */
export class Recorder {
  #store;
  #mostBytes;
  #onChange;
  #stream = null;
  #recorder = null;
  #take = null;
  #chunks = 0;
  #isCut = false;
  #writing = Promise.resolve();
  #release = null;
  #roomTimer = null;

  state = "off";
  trouble = "";
  kind = "off";

  constructor(store, mostBytes, onChange) {
    this.#store = store;
    this.#mostBytes = mostBytes;
    this.#onChange = onChange;
  }

  /** What the camera sees, to be shown; null without one. */
  get picture() {
    return this.kind === "video" ? this.#stream : null;
  }

  /** Opens the microphone (and camera), which the browser may ask the person about. */
  async arm(kind, slotS) {
    this.disarm();
    this.kind = kind;
    if (kind === "off") return;
    this.#become("arming");
    const tooFull = await roomTrouble(expectedBytes(kind, slotS * SPARE));
    if (tooFull) return this.#fail(tooFull);
    try {
      const stream = await navigator.mediaDevices.getUserMedia(wanted(kind));
      if (this.kind !== kind || this.state !== "arming") return stopTracks(stream);
      this.#stream = stream;
      this.#become("ready");
    } catch (error) {
      this.#fail(refusal(error, kind));
    }
  }

  /** Lets go of the microphone. */
  disarm() {
    if (this.#stream) stopTracks(this.#stream);
    this.#stream = null;
    this.trouble = "";
    this.kind = "off";
    this.#become("off");
  }

  /** Begins to record; `run` is { run_id, from_run }, `elapsedMs` tells the run's clock. */
  start(run, elapsedMs) {
    const mimeType = MEDIA_TYPES[this.kind].find((type) => MediaRecorder.isTypeSupported(type));
    try {
      this.#recorder = new MediaRecorder(this.#stream, {
        ...(mimeType && { mimeType }),
        audioBitsPerSecond: BITS_PER_S.sound,
        videoBitsPerSecond: BITS_PER_S.video,
      });
      this.#listen(this.#begin(run, elapsedMs), elapsedMs);
      this.#recorder.start(CHUNK_MS);
    } catch {
      return this.#fail("This device could not start to record.");
    }
    this.#become("recording");
    this.#roomTimer = setInterval(() => this.#lookAtRoom(), LOOK_AT_ROOM_EVERY_MS);
  }

  /** Ends the recording; what was recorded is kept. */
  stop() {
    if (this.#recorder?.state === "recording") this.#recorder.stop();
  }

  #begin({ run_id, from_run }, elapsedMs) {
    const id = uuid7(Date.now());
    this.#take = {
      id,
      run_id,
      from_run,
      kind: this.kind,
      media_type: this.#recorder.mimeType.split(";")[0],
      started_ms: Math.round(elapsedMs()),
      lasts_ms: 0,
      size_bytes: 0,
      closed: false,
    };
    this.#chunks = 0;
    this.#isCut = false;
    // Held as long as this page records: other pages know by it that the take is not over.
    navigator.locks?.request(lockOf(id), () => new Promise((release) => {
      this.#release = release;
    }));
    return this.#take;
  }

  #listen(take, elapsedMs) {
    let beganMs = performance.now();
    this.#recorder.addEventListener("start", () => {
      beganMs = performance.now();
      take.started_ms = Math.round(elapsedMs());
    });
    this.#recorder.addEventListener("dataavailable", ({ data }) => {
      take.lasts_ms = Math.round(performance.now() - beganMs);
      if (data.size > 0) this.#keep(take, data);
    });
    this.#recorder.addEventListener("stop", () => this.#close(take));
    this.#recorder.addEventListener("error", () => this.stop());
  }

  #keep(take, data) {
    const number = this.#chunks;
    this.#chunks += 1;
    take.size_bytes += data.size;
    const asItIs = { ...take };
    this.#writing = this.#writing.then(() => this.#write(take, asItIs, number, data));
    if (take.size_bytes > this.#mostBytes - expectedBytes(take.kind, END_BEFORE_S)) {
      this.trouble = "The recording reached the size limit and ended there.";
      this.stop();
    }
  }

  // A chunk that could not be kept is the end: what follows it would not be playable.
  async #write(take, asItIs, number, data) {
    if (this.#isCut) return;
    try {
      await this.#store.add(asItIs, number, await data.arrayBuffer());
    } catch {
      this.#isCut = true;
      this.trouble = "This device could not keep more of the recording; what it has is kept.";
      this.stop();
    }
  }

  async #close(take) {
    clearInterval(this.#roomTimer);
    this.#recorder = null;
    await this.#writing;
    try {
      await this.#store.save({ ...(await this.#asKept(take)), closed: true });
    } catch {
      this.trouble ||= "This device could not keep the recording.";
    }
    this.#release?.();
    this.#release = null;
    this.#become("ended");
  }

  // After a chunk that was lost, only what is in the store counts.
  async #asKept(take) {
    if (!this.#isCut) return take;
    const kept = (await this.#store.all()).find(({ id }) => id === take.id);
    return kept ?? take;
  }

  async #lookAtRoom() {
    const tooFull = await roomTrouble(0);
    if (!tooFull) return;
    this.trouble = "This device is nearly full: the recording ended, the run goes on.";
    this.stop();
  }

  #fail(words) {
    this.disarm();
    this.trouble = words;
    this.#onChange();
  }

  #become(state) {
    this.state = state;
    this.#onChange();
  }
}

/** The name under which a page that records a take says so to others. */
export function lockOf(takeId) {
  return `ninefifty-take-${takeId}`;
}

function wanted(kind) {
  return {
    // A room is recorded, not a call: nothing of it is to be filtered away.
    audio: { echoCancellation: false, noiseSuppression: false },
    video: kind === "video" && { width: { ideal: 1280 }, height: { ideal: 720 } },
  };
}

function stopTracks(stream) {
  for (const track of stream.getTracks()) track.stop();
}

function refusal(error, kind) {
  const what = kind === "video" ? "camera" : "microphone";
  if (error.name === "NotAllowedError") return `The browser may not use the ${what}.`;
  if (error.name === "NotFoundError") return `This device has no ${what}.`;
  return `The ${what} cannot be used just now.`;
}

// Words where the browser would not keep `bytes` more beside what marks may need; else null.
async function roomTrouble(bytes) {
  const { quota, usage } = (await navigator.storage?.estimate?.()) ?? {};
  if (quota === undefined || quota - usage >= bytes + KEPT_FREE_BYTES) return null;
  return "This device has too little room for a recording.";
}
