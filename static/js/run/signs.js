// The quiet signs: whether every mark is on the server, and whether the screen may sleep. Pure.

import { counted } from "./words.js";

const KEPT = "The marks of this run stay on this device.";

const NOTICES = {
  // The server says who is not let in: the device, or whoever is no longer signed in at it.
  shut: ({ message }) => message,
  gone: () => `This run was deleted on the server. ${KEPT}`,
  unknown: () => `The server does not know this run. ${KEPT}`,
  refused: ({ refused, message }) =>
    `The server refused ${counted(refused, "mark")}: ${message} ${KEPT}`,
};

/**
 * { sync, unsent, sleep, canStayAwake, music, notice } from what journal, sender, screen and music
 * report; `sleep` is "" unless the lock that keeps the screen awake is gone. `kept` counts the marks that the
 * server acknowledged.
 */
export function signsOf({ unsent, kept, sender, wake, isStored, musicState, isTryOut = false }) {
  return {
    unsent: isTryOut ? 0 : unsent,
    sync: isTryOut ? "try-out: nothing is kept" : syncWords(unsent, kept),
    sleep: sleepWords(wake),
    canStayAwake: wake.possible,
    music: musicState === "blocked" ? "music waits for a press" : "",
    notice: noticeOf(sender, isStored, unsent),
  };
}

const WHY = {
  gone: "it was deleted there",
  unknown: "the server does not know it",
  refused: "the server refused them",
};

/**
 * What a page of the app says of marks that lie on this device: [{ events, trouble }] -> words.
 * `person` is who is signed in there, "" for nobody; undefined where people have no accounts.
 */
export function unsentWords(unsent, person) {
  const marks = unsent.reduce((sum, { events }) => sum + events.length, 0);
  const lie = marks === 1 ? "lies" : "lie";
  const reasons = [...new Set(unsent.map(({ trouble }) => (trouble === "shut" ? whyShut(person) : WHY[trouble])).filter(Boolean))];
  const why = reasons.length > 0 ? ` (${reasons.join("; ")})` : "";
  return `${counted(marks, "mark")} of ${counted(unsent.length, "run")} ${lie} on this device, not yet on the server${why}.`;
}

function whyShut(person) {
  if (person === undefined) return "this device is not let in";
  return person === "" ? "nobody is signed in" : "the run is not open to you now";
}

// A promise: it stands only on acknowledgements, and not on there being nothing to send.
function syncWords(unsent, kept) {
  if (unsent > 0) return `${counted(unsent, "mark")} not yet on the server`;
  return kept > 0 ? "all marks on the server" : "";
}

// Where the browser gives no lock at all, that is said before the start; during the run only that
// one was lost.
function sleepWords(wake) {
  return wake.offers && !wake.held ? "the screen may sleep" : "";
}

function noticeOf(sender, isStored, unsent) {
  if (!isStored && unsent > 0) {
    return "This device cannot store marks. Keep this page open until all marks are on the server.";
  }
  return NOTICES[sender.trouble]?.(sender) ?? null;
}
