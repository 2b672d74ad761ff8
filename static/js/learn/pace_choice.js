// How the pace is kept while a script is said: not at all, by a line, or by a quiet tone as well.

import { readSetting, writeSetting } from "../run/local_store.js";

const PACES = ["off", "line", "tone"];
const KEPT_AS = "learn-pace";

/** What this device chose. */
export function chosenPace() {
  const kept = readSetting(KEPT_AS);
  return PACES.includes(kept) ? kept : PACES[0];
}

/** The next choice, kept from now on. */
export function turnedPace(pace) {
  const next = PACES[(PACES.indexOf(pace) + 1) % PACES.length];
  writeSetting(KEPT_AS, next);
  return next;
}
