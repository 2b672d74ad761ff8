// Times as people read them on stage.

import assert from "node:assert/strict";
import { test } from "node:test";

import {
  apart, counted, cue, exact, left, leftOrOver, pace, passed, planned,
} from "../../static/js/run/words.js";

test("what passed and what is left add up to the whole", () => {
  for (const ms of [0, 1, 999, 1000, 59_999, 60_000]) {
    const seconds = (text) => Number(text.split(":")[0]) * 60 + Number(text.split(":")[1]);
    assert.equal(seconds(passed(ms)) + seconds(left(60_000 - ms)), 60);
  }
});

test("nothing that passed is told as less than nothing", () => {
  assert.deepEqual([passed(-1), left(-1)], ["0:00", "0:00"]);
});

test("from a hundred minutes on hours are told", () => {
  assert.deepEqual([planned(5999), planned(6000), planned(59.5)], ["99:59", "1:40:00", "1:00"]);
});

test("time that is used up is told as over", () => {
  assert.deepEqual(leftOrOver(0), { digits: "0:00", word: "left", over: false });
  assert.deepEqual(leftOrOver(-7000), { digits: "0:07", word: "over", over: true });
});

test("half a second apart is on plan no more", () => {
  assert.deepEqual(pace(499), { digits: "on plan", word: "" });
  assert.deepEqual(pace(500), { digits: "1 s", word: "late" });
  assert.deepEqual(pace(-71_000), { digits: "1:11", word: "early" });
});

test("a difference is told in words, to the tenth up to a minute", () => {
  assert.deepEqual(
    [apart(3300), apart(-800), apart(49), apart(71_000), apart(-5000, { less: "ahead" })],
    ["3.3 s over", "0.8 s under", "on plan", "1:11 over", "5 s ahead"],
  );
});

test("from a minute on a difference is told to the nearest second, as the review tells it", () => {
  // A slot of 10:00 less a run of 1:02.2 is 8:57.8.
  assert.deepEqual([apart(-537_800), apart(536_460), apart(59_960)], ["8:58 under", "8:56 over", "1:00 over"]);
});

test("a split has its tenth and a real minus sign", () => {
  assert.deepEqual([exact(59_950), exact(-1200)], ["1:00.0", "−0:01.2"]);
});

test("a cue is cut at a word and says that more follows", () => {
  assert.deepEqual([cue(" one  two ", 2), cue("one two three", 2), cue("", 2)], ["one two", "one two …", ""]);
});

test("one mark, two marks", () => {
  assert.deepEqual([counted(1, "mark"), counted(2, "mark")], ["1 mark", "2 marks"]);
});

// The same cases as in tests/domain/base/test_apart.py.
test("half a tenth counts as a whole one, as in the review", () => {
  assert.equal(apart(3000), "3 s over");
  assert.deepEqual([3250, 41_250, 350].map((ms) => apart(ms)), ["3.3 s over", "41.3 s over", "0.4 s over"]);
  assert.deepEqual([3250, 41_250, 350].map(exact), ["0:03.3", "0:41.3", "0:00.4"]);
});
