// The course of a sitting of learning: what is said next, and how much of it is shown.

import assert from "node:assert/strict";
import { test } from "node:test";

import { Course } from "../../static/js/learn/course.js";
import { NOTHING, sayings } from "../../static/js/learn/sayings.js";

const saying = ({ sentence, step }) => `${sentence}@${step}`;

test("a whole segment thins as one, step after step", () => {
  const found = sayings([3, 3], true).map(saying);
  assert.deepEqual(found, ["0@3", "1@3", "0@4", "1@4", "0@5", "1@5"]);
});

test("of the day's sentences a new one thins alone, a known one is said at once", () => {
  const found = sayings([0, 5], false).map(saying);
  assert.deepEqual(found, ["0@0", "0@1", "0@2", "0@3", "0@4", "0@5", "1@5"]);
});

test("how it went is asked once nothing is shown, after the words came back or before", () => {
  const course = new Course(sayings([4, 5], true));
  assert.equal(course.asks, false);
  course.next();
  course.next();
  assert.equal(course.asks, true);
  assert.equal(course.stepOf(0), NOTHING);
  course.next();
  assert.equal(course.stepOf(0), 0);
  assert.deepEqual(course.mark("sat"), { sentence: 0, how: "sat", step: NOTHING });
  assert.equal(course.now.sentence, 1);
});

test("what was gone is said again at the end with more of it shown", () => {
  const course = new Course(sayings([5, 5], false));
  course.mark("gone");
  course.mark("sat");
  assert.deepEqual([course.now.sentence, course.step, course.asks], [0, 2, false]);
});

test("showing more is told with the mark", () => {
  const course = new Course(sayings([5], false));
  course.more();
  course.more();
  assert.equal(course.stepOf(0), 3);
  assert.equal(course.mark("sat").step, 3);
  assert.equal(course.isOver, true);
});

test("back takes a mark back, with what it had added", () => {
  const course = new Course(sayings([5, 5], false));
  course.mark("gone");
  assert.equal(course.length, 5);
  assert.equal(course.back(), true);
  assert.deepEqual([course.length, course.now.sentence, course.marked.length], [2, 0, 0]);
  assert.equal(course.back(), false);
});

test("at no time does a sentence that is still to be said in this pass show more than it will", () => {
  const course = new Course(sayings([0, 0, 0], true));
  while (!course.isOver) {
    for (const sentence of [0, 1, 2].filter((each) => each > course.now.sentence)) {
      assert.equal(course.stepOf(sentence), course.now.step);
    }
    if (course.asks) course.mark("sat");
    else course.next();
  }
  assert.equal(course.marked.length, 3);
});

test("a reload goes the same way again, with what was gone, and can take a mark back", () => {
  const queue = () => sayings([4, 5], false);
  const before = new Course(queue());
  before.next();
  before.mark("gone");
  const course = new Course(queue());
  course.follow(before.way);
  assert.deepEqual([course.at, course.length], [before.at, before.length]);
  assert.deepEqual(course.marked, before.marked);
  assert.equal(course.back(), true);
});
