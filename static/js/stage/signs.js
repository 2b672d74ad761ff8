// The quiet signs: whether every mark is on the server, and whether the screen may sleep. Pure.

import { counted } from "./words.js";

const KEPT = "The marks of this run stay on this device.";

const NOTICES = {
  gone: () => `This run was deleted on the server. ${KEPT}`,
  unknown: () => `The server does not know this run. ${KEPT}`,
  refused: ({ refused, message }) =>
    `The server refused ${counted(refused, "mark")}: ${message} ${KEPT}`,
};

/**
 * { sync, unsent, sleep, canStayAwake, music, notice } from what journal, sender, screen and music
 * report; `sleep` is "" where the screen is kept awake for sure.
 */
export function signsOf({ unsent, sender, wake, isStored, musicState }) {
  return {
    unsent,
    sync: unsent === 0 ? "all marks on the server" : `${counted(unsent, "mark")} not yet on the server`,
    sleep: sleepWords(wake),
    canStayAwake: wake.possible,
    music: musicState === "blocked" ? "music waits for a press" : "",
    notice: noticeOf(sender, isStored, unsent),
  };
}

// A playing clip is no promise: the sign stays, and says what always helps.
function sleepWords(wake) {
  if (wake.held) return "";
  return wake.trying
    ? "screen may sleep though a clip plays: set its auto-lock to Never"
    : "screen may sleep: set the tablet’s auto-lock to Never";
}

function noticeOf(sender, isStored, unsent) {
  if (!isStored && unsent > 0) {
    return "This device cannot store marks. Keep this page open until all marks are on the server.";
  }
  return NOTICES[sender.trouble]?.(sender) ?? null;
}
