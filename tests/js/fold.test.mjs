// The worked cases that the server's fold is held to as well.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";

import { doubtOf } from "../../static/js/run/counting.js";
import { fold } from "../../static/js/run/fold.js";
import { segmentAt } from "../../static/js/watching/remark_place.js";

const read = (name) => JSON.parse(readFileSync(new URL(`../${name}.json`, import.meta.url)));

for (const { name, events, outline, expected } of read("run_cases").cases) {
  test(`a run folds: ${name}`, () => assert.deepEqual(fold(events, outline), expected));
  test(`in any order and doubled: ${name}`, () => {
    assert.deepEqual(fold([...events, ...events].reverse(), outline), expected);
  });
}

test("runs are doubted as the server doubts them", () => {
  for (const each of read("doubt_cases")) assert.equal(doubtOf(each, each.planned_s), each.doubt);
});

for (const { name, elapsed_ms, ends_ms, total_ms, place } of read("segment_cases").cases) {
  test(`a remark: ${name}`, () => assert.equal(segmentAt(elapsed_ms, ends_ms, total_ms), place));
}
