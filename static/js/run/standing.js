// How this device stands to the clock of a run. Pure: (log, device) -> plain values.

import { elapsedTimes, isWatched } from "./times.js";
import { counted, holders } from "./holding.js";

const MARKS = new Set(["start", "done", "ready", "incident", "retract", "finish", "abandon"]);

/**
 * holderId   the device that holds the clock; null before the start
 * holds      whether marks are made on this device; before the start, on any
 * isAlone    whether no other device holds the clock or has held it
 * tookMs     when another took it from this one, ms elapsed; null where it never had it
 * uncounted  how many marks made on this device do not count, because another held the clock
 * latestMs   the moment of the latest event that counts
 */
export function standingOf(whole, deviceId) {
  const log = whole.filter((event) => !isWatched(event));
  const times = elapsedTimes(log);
  const held = holders(log, times);
  const valid = new Set(counted(log, times));
  const last = held.at(-1) ?? null;
  const holds = last === null || last.deviceId === deviceId;
  const isOwn = (event) => event.device_id === deviceId && MARKS.has(event.kind);
  const moments = [...valid].filter(({ kind }) => kind !== "note").map(({ id }) => times.get(id) ?? 0);
  return {
    holderId: last?.deviceId ?? null,
    holds,
    isAlone: held.every((holder) => holder.deviceId === deviceId),
    tookMs: !holds && held.some((holder) => holder.deviceId === deviceId) ? last.atMs : null,
    uncounted: log.filter((event) => isOwn(event) && !valid.has(event)).length,
    latestMs: Math.max(0, ...moments),
  };
}
