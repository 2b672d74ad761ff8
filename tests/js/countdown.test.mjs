// How long until the next thing has to begin, in words.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { wordsOf } from "../../static/js/prepare/countdown.js";

test("time to the next task is told as the server tells it", () => {
  const told = JSON.parse(readFileSync(new URL("waits.json", import.meta.url)));
  for (const [leftS, words] of told) assert.equal(wordsOf(leftS * 1000), words);
});

test("what is due is told as now, and left to the headline from a minute on", () => {
  assert.deepEqual([0, -59_000, -61_000].map(wordsOf), ["Now", "Now", ""]);
});
