// Who holds the clock of a run, where more than one device says it does. The mirror of
// server/domain/runs/holding.py, which states the rule; both are held to tests/run_cases.json.

// What is written of a run at any time and on any device: no part of its clock.
export const OUT_OF_TIME = new Set(["note", "about"]);

/** The log, from its start on, in the parts whose times follow from one another. */
export function chains(log) {
  if (!isContested(log)) return [log];
  const byDevice = new Map();
  for (const event of log) {
    byDevice.set(event.device_id, [...(byDevice.get(event.device_id) ?? []), event]);
  }
  return [...byDevice.values()];
}

/** [{ atMs, deviceId }]: when each holder took the clock, in order; empty before the start. */
export function holders(log, times) {
  const start = log.find((event) => event.kind === "start");
  if (!start) return [];
  const takeovers = log
    .filter((event) => event.kind === "hold" && times.has(event.id))
    .map((event) => ({ atMs: times.get(event.id), id: event.id, deviceId: event.device_id }))
    .sort((a, b) => a.atMs - b.atMs || (a.id < b.id ? -1 : 1));
  return [{ atMs: 0, deviceId: start.device_id }, ...takeovers];
}

/** The events that count, in the order in which they do. */
export function counted(log, times) {
  if (!isContested(log)) return log;
  const held = holders(log, times);
  const written = log.filter((event) => OUT_OF_TIME.has(event.kind));
  const notes = new Set(written.map((event) => event.id));
  const turns = [];
  for (const event of log) {
    if (notes.has(event.id) || (event.kind === "retract" && notes.has(event.target_id))) {
      turns.push([held.length, event]);
    } else if (times.has(event.id)) {
      const turn = held.findLastIndex(({ atMs }) => atMs <= times.get(event.id));
      if (held[turn]?.deviceId === event.device_id) turns.push([turn, event]);
    }
  }
  return turns.sort((a, b) => a[0] - b[0]).map(([, event]) => event);
}

// Whether a second device claims the clock.
function isContested(log) {
  const first = log.find((event) => event.kind === "start")?.device_id;
  return log.some(
    (event) =>
      event.kind === "hold" || (event.kind === "start" && event.device_id !== first),
  );
}
