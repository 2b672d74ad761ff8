// Marks of other runs that never reached the server (a tab was closed while the server was away)
// are sent as soon as any page that loads this module is open.

const MOST_IN_BATCH = 200;
// A run this old that was never finished is not going on in another tab.
const SETTLED_MS = 6 * 3_600_000;

/** Sends what this device holds of runs other than `runId`; deletes what is acknowledged. */
export async function rescueOthers(local, indexed, nowMs, { runId = null, urlOf = eventsUrl } = {}) {
  const entries = [...local.all(), ...(await indexed.all())];
  for (const [otherId, found] of groupByRun(entries)) {
    if (otherId === runId) continue;
    const events = [...new Map(found.map(({ event }) => [event.id, event])).values()];
    const ids = await sendAll(urlOf(otherId), events);
    if (isSettled(events, nowMs) && ids.length > 0) {
      local.remove(otherId, ids);
      await indexed.remove(otherId, ids);
    }
  }
}

function eventsUrl(runId) {
  return `/api/runs/${runId}/events`;
}

function groupByRun(entries) {
  const runs = new Map();
  for (const entry of entries) runs.set(entry.runId, [...(runs.get(entry.runId) ?? []), entry]);
  return runs;
}

function isSettled(events, nowMs) {
  const closed = events.some((event) => event.kind === "finish" || event.kind === "abandon");
  return closed || events.every((event) => event.wall_ms < nowMs - SETTLED_MS);
}

// The ids the server acknowledged; none when it cannot be reached or will not have them.
async function sendAll(url, events) {
  const ids = [];
  for (let from = 0; from < events.length; from += MOST_IN_BATCH) {
    try {
      const response = await fetch(url, {
        method: "POST",
        headers: { "Content-Type": "application/json" },
        body: JSON.stringify({ events: events.slice(from, from + MOST_IN_BATCH) }),
      });
      if (!response.ok) return ids;
      const { accepted, differing } = await response.json();
      ids.push(...accepted, ...differing);
    } catch {
      return ids;
    }
  }
  return ids;
}
