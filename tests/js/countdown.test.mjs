// How long until the next thing has to begin, in words.

import assert from "node:assert/strict";
import { test } from "node:test";

import { wordsOf } from "../../static/js/prepare/countdown.js";

const MINUTE = 60_000;

test("time to the next task is told in its two largest units", () => {
  const told = [90_000, 119_400, 2 * MINUTE, 85 * MINUTE, 60 * MINUTE, 25.5 * 60 * MINUTE];
  assert.deepEqual(told.map(wordsOf), [
    "In 90 s", "In 119 s", "In 2 min", "In 1 h 25 min", "In 1 h", "In 1 day 1 h",
  ]);
});

test("what is due is told as now, and left to the headline from a minute on", () => {
  assert.deepEqual([0, -59_000, -61_000].map(wordsOf), ["Now", "Now", ""]);
});
