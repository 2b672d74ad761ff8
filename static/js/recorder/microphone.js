// The microphone and the camera of this device.

export const KINDS = ["off", "sound", "video"];
// What browsers can make, best first. The server knows a file by its first bytes, not by this.
const MEDIA_TYPES = {
  sound: ["audio/webm;codecs=opus", "audio/mp4", "audio/ogg;codecs=opus"],
  video: ["video/webm;codecs=vp8,opus", "video/mp4"],
};

/** Whether this browser lends a page its microphone at all; over plain http none does. */
export function canRecord() {
  return Boolean(navigator.mediaDevices?.getUserMedia) && typeof MediaRecorder !== "undefined";
}

/** Opens the microphone (and camera), which the browser may ask the person about. */
export function open(kind) {
  return navigator.mediaDevices.getUserMedia({
    // A room is recorded, not a call: nothing of it is to be filtered away.
    audio: { echoCancellation: false, noiseSuppression: false },
    video: kind === "video" && { width: { ideal: 1280 }, height: { ideal: 720 } },
  });
}

/** Lets go of what was opened. */
export function close(stream) {
  for (const track of stream.getTracks()) track.stop();
}

/** Why it could not be opened, in words. */
export function refusal(error, kind) {
  const what = kind === "video" ? "camera" : "microphone";
  if (error.name === "NotAllowedError") return `The browser may not use the ${what}.`;
  if (error.name === "NotFoundError") return `This device has no ${what}.`;
  return `The ${what} cannot be used just now.`;
}

/** A MediaRecorder of what is heard and seen, in the best form that this browser makes. */
export function recorderOf(stream, kind, rates) {
  const mimeType = MEDIA_TYPES[kind].find((type) => MediaRecorder.isTypeSupported(type));
  return new MediaRecorder(stream, { ...(mimeType && { mimeType }), ...rates });
}
