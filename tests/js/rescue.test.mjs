// Marks of other runs that lie on this device: sent by whatever page is open, and kept until the
// server has them.

import assert from "node:assert/strict";
import { test } from "node:test";

import { BatchSize, troubleOf } from "../../static/js/run/batches.js";
import { heldByRun, rescueOthers } from "../../static/js/run/rescue.js";

const NOW_MS = 1_764_060_000_000;
const HOUR_MS = 3_600_000;

const mark = (id, kind, agoMs = 0, more = {}) => ({ id, kind, seq: Number(id), wall_ms: NOW_MS - agoMs, ...more });

/** One of the two places on the device: what it holds, and what was removed from it. */
function placeWith(rows) {
  const removed = [];
  return { all: () => rows, remove: (runId, ids) => removed.push([runId, ids]), removed };
}

const row = (runId, event) => ({ runId, event });

/** The server: takes what `takes` says it does; `stored` is its log, null where it does not tell. */
function serveWith({ takes = () => true, stored = [], status = 200 } = {}) {
  const asked = [];
  globalThis.fetch = async (url, { method, body } = {}) => {
    if (method !== "POST") return stored === null ? answer(500, {}) : answer(200, { events: stored });
    const { events } = JSON.parse(body);
    asked.push([url, events.map(({ id }) => id)]);
    if (status !== 200) return answer(status, {});
    if (!events.every(takes)) return answer(422, { error: { message: "No." } });
    return answer(200, { accepted: events.map(({ id }) => id), differing: [] });
  };
  return asked;
}

const answer = (status, body) => ({ ok: status === 200, status, text: async () => JSON.stringify(body) });

async function rescued(rows, server, options = {}) {
  const asked = serveWith(server);
  const [local, indexed] = [placeWith(rows), placeWith([])];
  const unsent = await rescueOthers(local, indexed, NOW_MS, options);
  return { asked, unsent, removed: local.removed };
}

test("what both places hold is one log, each event once and in order", async () => {
  const [one, two] = [mark("1", "start"), mark("2", "done")];
  const held = await heldByRun(placeWith([row("r", two)]), placeWith([row("r", one), row("r", two)]));
  assert.deepEqual([...held], [["r", [one, two]]]);
});

test("the run that is open here is left to its own page", async () => {
  const { asked } = await rescued([row("here", mark("1", "start")), row("other", mark("2", "start"))], {}, { runId: "here" });
  assert.deepEqual(asked, [["/api/runs/other/events", ["2"]]]);
});

test("what the server has of a run that is over is deleted here, once", async () => {
  const over = [row("r", mark("1", "start")), row("r", mark("2", "finish"))];
  assert.deepEqual((await rescued(over)).removed, [["r", ["1", "2"]]]);
});

test("a run that may go on in another tab stays here until six hours after its last mark", async () => {
  for (const [agoMs, isRemoved] of [[6 * HOUR_MS, false], [6 * HOUR_MS + 1, true]]) {
    const { removed } = await rescued([row("r", mark("1", "start", agoMs))]);
    assert.equal(removed.length === 1, isRemoved);
  }
});

test("a finish that was taken back ends no run, on the device nor at the server", async () => {
  const back = [mark("1", "start"), mark("2", "finish"), mark("3", "retract", 0, { target_id: "2" })];
  assert.deepEqual((await rescued(back.map((each) => row("r", each)), { stored: back })).removed, []);
  const atServer = { stored: [mark("9", "abandon")] };
  assert.equal((await rescued([row("r", back[0])], atServer)).removed.length, 1);
  assert.equal((await rescued([row("r", back[0])], { stored: null })).removed.length, 0);
});

test("one bad mark holds up no other, stays here, and the run with it", async () => {
  const marks = ["1", "2", "3", "4"].map((id) => mark(id, "done"));
  const { unsent, removed } = await rescued(marks.map((each) => row("r", each)), { takes: ({ id }) => id !== "3" });
  assert.deepEqual(unsent, [{ runId: "r", events: [marks[2]], trouble: "refused" }]);
  assert.deepEqual(removed, []);
});

test("why nothing was taken is told as the server's answer says", async () => {
  for (const [status, trouble] of [[403, "shut"], [404, "unknown"], [410, "gone"], [500, "offline"]]) {
    const { unsent } = await rescued([row("r", mark("1", "start"))], { status });
    assert.deepEqual(unsent.map((each) => each.trouble), [trouble]);
  }
  assert.equal(troubleOf({ ok: true, status: 200 }), null);
  assert.equal(troubleOf({ ok: false, status: 422 }), "refused");
});

test("a refused batch is halved down to one, and doubled again up to two hundred", () => {
  const size = new BatchSize();
  assert.equal(size.most, 200);
  const halved = [5, 2, 1].map((length) => (size.wasRefused(length), size.most));
  assert.deepEqual(halved, [2, 1, 1]);
  for (let taken = 0; taken < 9; taken += 1) size.wasTaken();
  assert.equal(size.most, 200);
});
