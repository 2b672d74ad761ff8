// The device's two clocks and the server's, and the run's time that follows from them.

import assert from "node:assert/strict";
import { test } from "node:test";

import { ServerClock, SkewWatch, readTogether } from "../../static/js/run/clock.js";
import { RunTime } from "../../static/js/run/live/run_time.js";

const START_MS = 1_764_060_000_000;
const DAY_MS = 86_400_000;

/** Clocks that stand still until they are moved. */
function clocksAt(monoMs, wallMs) {
  return { mono: monoMs, wall: wallMs, monoMs() { return this.mono; }, wallMs() { return this.wall; } };
}

const start = { id: "e1", device_id: "a", boot_id: "first", seq: 1, kind: "start", wall_ms: START_MS, mono_ms: 5000 };

test("a step of the wall clock is told from a quarter of a second on", () => {
  for (const [stepMs, told] of [[250, null], [251, "set"], [-250, null], [-251, "set"]]) {
    const clocks = clocksAt(1000, START_MS);
    const watch = new SkewWatch(clocks);
    clocks.wall += stepMs;
    assert.equal(watch.check(false)?.cause ?? null, told, `${stepMs} ms`);
    assert.equal(watch.check(false), null);
  }
});

test("only a step forward of a page that was hidden is a sleep", () => {
  for (const [stepMs, hidden, cause] of [[60_000, true, "sleep"], [60_000, false, "set"], [-60_000, true, "set"]]) {
    const clocks = clocksAt(1000, START_MS);
    const watch = new SkewWatch(clocks);
    if (hidden) watch.noteHidden();
    clocks.wall += stepMs;
    assert.deepEqual(watch.check(false), { step_ms: stepMs, cause });
  }
});

test("time that passes on both clocks is no step", () => {
  const clocks = clocksAt(1000, START_MS);
  const watch = new SkewWatch(clocks);
  clocks.mono += 60_000;
  clocks.wall += 60_000;
  assert.equal(watch.check(false), null);
});

/** What is read where the page is halted for so long between the readings of one try and the next. */
function readHalted(haltsMs) {
  let [now, tries] = [0, 0];
  const clocks = {
    monoMs: () => now,
    wallMs: () => {
      now += haltsMs[tries];
      tries += 1;
      return START_MS + tries;
    },
  };
  return { tries: readTogether(clocks).wall_ms - START_MS, asked: tries };
}

test("of five readings that a busy machine parted the closest is taken, a close one at once", () => {
  assert.deepEqual(readHalted([50, 30, 40, 25, 60, 3]), { tries: 4, asked: 5 });
  assert.deepEqual(readHalted([2, 1.9, 0]), { tries: 2, asked: 2 });
});

test("the server's clock is tied to the middle of asking", () => {
  const server = new ServerClock();
  assert.equal(server.elapsedMs(1000), null);
  server.take({ now_ms: START_MS + 10_000, started_ms: START_MS, heard_ms: { b: START_MS + 4000 } }, 900, 1100);
  assert.equal(server.elapsedMs(1500), 10_500);
  assert.equal(server.heardAgoMs("b", 1500), 6500);
  assert.equal(server.heardAgoMs("c", 1500), null);
});

test("a sleep shows on the server's clock where both differ by no more than two seconds", () => {
  for (const [sleptMs, shows] of [[60_000, true], [62_000, true], [62_001, false], [57_999, false]]) {
    const server = new ServerClock();
    server.take({ now_ms: START_MS, started_ms: START_MS }, 1000, 1000);
    assert.equal(server.showsSleepOf(60_000), false);
    server.take({ now_ms: START_MS + 5000 + sleptMs, started_ms: START_MS }, 6000, 6000);
    assert.equal(server.showsSleepOf(60_000), shows, `${sleptMs} ms`);
  }
});

/** The run's time on a page that nothing ties to it. */
function untied(wallMs, serverMs = null) {
  const server = new ServerClock();
  if (serverMs !== null) server.take({ now_ms: START_MS + serverMs, started_ms: START_MS }, 0, 0);
  return new RunTime(clocksAt(0, START_MS + wallMs), server, "second");
}

test("a page that nothing ties to the run goes by the server, else by its wall clock", () => {
  assert.equal(untied(30_000, 20_000).elapsedMs([start], "running"), 20_000);
  assert.equal(untied(30_000).elapsedMs([start], "running"), 30_000);
  assert.equal(untied(-30_000).elapsedMs([start], "running"), 0);
  assert.equal(untied(30_000, 20_000).elapsedMs([], "waiting"), 0);
});

test("a page that an event ties to the run goes by its even clock", () => {
  const server = new ServerClock();
  server.take({ now_ms: START_MS + 99_000, started_ms: START_MS }, 0, 0);
  const time = new RunTime(clocksAt(5000 + 42_000, START_MS), server, "first");
  assert.equal(time.elapsedMs([start], "running"), 42_000);
  assert.deepEqual([time.isTied([start]), untied(0).isTied([start])], [true, false]);
});

test("what the wall clock was set by is taken off", () => {
  const set = { ...start, id: "e2", seq: 2, kind: "clock_step", cause: "set", step_ms: 3_600_000 };
  assert.equal(untied(3_630_000).elapsedMs([start, set], "running"), 30_000);
});

test("a resume names the server's moment only where the wall clock must have been reset", () => {
  const cases = [
    [30_000, 31_000, 20_000, {}],
    [10_000, 31_000, 20_000, { at_ms: 31_000 }],
    [31_000 + DAY_MS, 31_000, 20_000, {}],
    [31_001 + DAY_MS, 31_000, 20_000, { at_ms: 31_000 }],
    [10_000, 19_999, 20_000, {}],
    [10_000, null, 20_000, {}],
  ];
  for (const [wallMs, serverMs, latestMs, named] of cases) {
    assert.deepEqual(untied(wallMs, serverMs).momentOfResume([start], latestMs), named);
  }
});
