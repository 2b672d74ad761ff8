// Who holds the clock, and the times of what was marked.

import assert from "node:assert/strict";
import { test } from "node:test";

import { chains, counted, holders } from "../../static/js/run/holding.js";
import { elapsedNow, elapsedTimes, inOrder } from "../../static/js/run/times.js";

let made = 0;
const event = (device, kind, ms, more = {}) => ({
  id: `e${(made += 1)}`, device_id: device, boot_id: `${device}-boot`, seq: made, kind,
  wall_ms: 1_764_060_000_000 + ms, mono_ms: 5000 + ms, ...more,
});

const ALONE = [event("a", "start", 0), event("a", "done", 30_000, { segment_id: "s1" })];

test("one device is one chain, and holds the clock from the start", () => {
  assert.deepEqual(chains(ALONE), [ALONE]);
  assert.deepEqual(holders(ALONE, elapsedTimes(ALONE)), [{ atMs: 0, deviceId: "a" }]);
});

test("before a start nobody holds the clock", () => {
  assert.deepEqual(holders([], new Map()), []);
});

test("every mark of a device that is alone counts", () => {
  assert.deepEqual(counted(ALONE, elapsedTimes(ALONE)), ALONE);
});

test("a log is put in order however it arrives", () => {
  assert.deepEqual(inOrder([...ALONE].reverse()), ALONE);
});

test("times count from the start, and go on with the clock that does not jump", () => {
  assert.deepEqual([...elapsedTimes(ALONE).values()], [0, 30_000]);
  assert.equal(elapsedNow(ALONE, "a-boot", 5000 + 42_000), 42_000);
});
