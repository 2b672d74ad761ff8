// Marks of other runs that never reached the server (a tab was closed while the server was away)
// are sent as soon as any page that loads this module is open.

import { answerTo } from "./answer.js";
import { BatchSize, sendBatch } from "./batches.js";

// A run this old that was never finished is not going on in another tab.
const SETTLED_MS = 6 * 3_600_000;

/**
 * Sends what this device holds of runs other than `runId`; deletes what is acknowledged of runs
 * that are over. Resolves to what the server still lacks: [{ runId, events, trouble }], where
 * trouble is "offline", "shut", "unknown", "gone" or "refused".
 */
export async function rescueOthers(local, indexed, nowMs, { runId = null, urlOf = eventsUrl } = {}) {
  const unsent = [];
  for (const [otherId, events] of await heldByRun(local, indexed)) {
    if (otherId === runId) continue;
    const { ids, trouble } = await sendAll(urlOf(otherId), events);
    const left = events.filter((event) => !ids.has(event.id));
    if (left.length > 0) unsent.push({ runId: otherId, events: left, trouble });
    else if (await isSettled(urlOf(otherId), events, nowMs)) {
      local.remove(otherId, [...ids]);
      await indexed.remove(otherId, [...ids]);
    }
  }
  return unsent;
}

function eventsUrl(runId) {
  return `/api/runs/${runId}/events`;
}

/** Run id -> its events on this device, each once and in the order they were made. */
export async function heldByRun(local, indexed) {
  const runs = new Map();
  for (const { runId, event } of [...local.all(), ...(await indexed.all())]) {
    if (!runs.has(runId)) runs.set(runId, new Map());
    runs.get(runId).set(event.id, event);
  }
  const inOrder = (events) => [...events.values()].sort((a, b) => a.seq - b.seq);
  return new Map([...runs].map(([runId, events]) => [runId, inOrder(events)]));
}

// Of a run that is over the device may have only a part: a browser that was killed can bring back
// what it had deleted. Then the server is asked.
async function isSettled(url, events, nowMs) {
  if (isOver(events) || events.every((event) => event.wall_ms < nowMs - SETTLED_MS)) return true;
  try {
    const { ok, body } = await answerTo(url);
    return ok && isOver(body.events);
  } catch {
    return false;
  }
}

function isOver(events) {
  const takenBack = new Set(events.map((event) => event.target_id));
  return events.some(
    ({ kind, id }) => (kind === "finish" || kind === "abandon") && !takenBack.has(id),
  );
}

// The ids the server acknowledged, and why it did not acknowledge the rest.
async function sendAll(url, events) {
  const size = new BatchSize();
  const ids = new Set();
  let open = events;
  let refused = 0;
  while (open.length > 0) {
    const batch = open.slice(0, size.most);
    const { trouble, kept } = await sendBatch(url, batch);
    if (trouble === "refused") {
      // One bad event must not hold up the others: alone, it is passed over.
      size.wasRefused(batch.length);
      if (batch.length > 1) continue;
      refused += 1;
      open = open.slice(1);
    } else if (kept.length === 0) {
      return { ids, trouble: trouble ?? "offline" };
    } else {
      size.wasTaken();
      for (const id of kept) ids.add(id);
      open = open.filter((event) => !ids.has(event.id));
    }
  }
  return { ids, trouble: refused > 0 ? "refused" : null };
}
