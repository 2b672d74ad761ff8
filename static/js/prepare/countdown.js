// On the day: how long until the next thing has to begin, or how late it is, told by the server's
// clock. When its moment comes, and again every minute from then on, the page is asked for anew, so
// that "now" and what is overdue stand in it; not while a form is open.

const EVERY_MS = 1000;
const AGAIN_MS = 60000;
const TWO_DAYS_MIN = 2880;

let timer = null;

export function connectCountdown(root) {
  clearInterval(timer);
  const line = root.querySelector(".prep-count[data-due]");
  if (!line) return;
  const due = Number(line.dataset.due);
  const ahead = Number(line.dataset.from) - Date.now();
  const begun = performance.now();
  const from = Date.now() + ahead;
  const wasDue = from >= due;
  const tell = () => {
    const now = from + performance.now() - begun;
    const words = wordsOf(due - now);
    if (line.textContent !== words) line.textContent = words;
    const isOver = now >= due && (!wasDue || now - from > AGAIN_MS);
    if (isOver && document.visibilityState === "visible") again(root);
  };
  tell();
  timer = setInterval(tell, EVERY_MS);
}

function again(root) {
  if (root.querySelector("[data-panel]")) return;
  clearInterval(timer);
  root.getElementById("prep-again").click();
}

/**
 * "In 1 h 25 min", "In 40 s", "Now"; below two minutes by the second, above as the server writes
 * spans: to the minute, in days from two days on.
 */
export function wordsOf(leftMs) {
  const seconds = Math.round(Math.abs(leftMs) / 1000);
  const span = seconds < 120 ? `${seconds} s` : long(Math.round(seconds / 60));
  if (leftMs > 0) return `In ${span}`;
  // From a minute on the headline says how late it is.
  return seconds < 60 ? "Now" : "";
}

function long(minutes) {
  const days = minutes >= TWO_DAYS_MIN ? Math.floor(minutes / 1440) : 0;
  const [hours, rest] = [Math.floor(minutes / 60) - 24 * days, minutes % 60];
  const parts = days ? [[days, "days"], [hours, "h"]] : [[hours, "h"], [rest, "min"]];
  return parts.filter(([count]) => count).map((part) => part.join(" ")).join(" ");
}
