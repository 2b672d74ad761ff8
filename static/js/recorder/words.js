// What is said of a recording: before and during the run, and of its upload.

import { passed } from "../run/words.js";
import { limitReachedS, MB } from "./limits.js";

const STATES = {
  arming: "Opening the microphone …",
  ready: "Ready: it starts and ends with the clock.",
  recording: "Recording.",
};

/** How the recorder stands. A limit that a run may well reach is told before it starts. */
export function stateWords({ state, kind }, mostBytes, slotS) {
  if (state !== "ready") return STATES[state] ?? "";
  const endS = limitReachedS(kind, mostBytes, slotS);
  if (endS === null) return STATES.ready;
  const limit = `the limit of ${mostBytes / MB} MB`;
  return `Ready, but ${limit} is reached at about ${passed(endS * 1000)}: the recording ends there, the run goes on.`;
}

/** What is said of an upload. */
export function newsOf(state, share, message) {
  if (state === "sent") return "The recording is on the server.";
  if (state === "sending") return `Sending the recording: ${Math.floor(share * 100)} %`;
  if (state === "waiting") return `The recording is on this device and is sent later. ${message}`;
  return `The recording stays on this device. ${message}`;
}
