// What is loud: a full square wave is the loudest byte, a tenth of it is 20 dB less, silence is 0.

import assert from "node:assert/strict";
import test from "node:test";

import { loudnessOf } from "../../static/js/heard/loudness.js";

const RATE = 8000;
const square = (high) => Float32Array.from({ length: 800 }, (_, n) => (n % 2 ? high : -high));

test("a frame of ten milliseconds is one byte, 2.5 to a decibel", () => {
  assert.deepEqual([...loudnessOf(square(1), RATE)], Array(10).fill(255));
  assert.deepEqual([...loudnessOf(square(0.1), RATE)], Array(10).fill(205));
});

test("silence is nothing, and what fills no frame is left out", () => {
  assert.deepEqual([...loudnessOf(new Float32Array(239), RATE)], [0, 0]);
});
