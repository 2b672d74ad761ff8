// The quiet signs: whether every mark is on the server, and whether the screen may sleep. Pure.

import { counted } from "./words.js";

const KEPT = "The marks of this run stay on this device.";

const NOTICES = {
  gone: () => `This run was deleted on the server. ${KEPT}`,
  unknown: () => `The server does not know this run. ${KEPT}`,
  refused: ({ refused, message }) =>
    `The server refused ${counted(refused, "mark")}: ${message} ${KEPT}`,
};

/** { sync, unsent, awake, canStayAwake, notice } from what journal, sender and screen report. */
export function signsOf({ unsent, sender, wake, isStored }) {
  return {
    unsent,
    sync: unsent === 0 ? "all marks on the server" : `${counted(unsent, "mark")} not yet on the server`,
    awake: wake.held,
    canStayAwake: wake.possible,
    notice: noticeOf(sender, isStored, unsent),
  };
}

function noticeOf(sender, isStored, unsent) {
  if (!isStored && unsent > 0) {
    return "This device cannot store marks. Keep this page open until all marks are on the server.";
  }
  return NOTICES[sender.trouble]?.(sender) ?? null;
}
