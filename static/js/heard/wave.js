// The waveform of a take: decoded once by the browser at a low rate, and drawn as its peaks.

import { loudnessOf } from "./loudness.js";

const RATE = 8000;
const PEAK_S = 0.02;
// Decoding wants all of it in memory; a film is mostly picture.
const MOST_BYTES = 120_000_000;

let held = { url: "", peaks: null, loudness: null };

/** The peaks of a sound, one each PEAK_S, from 0 to 1; null where it cannot be drawn here. */
export function peaksOf(url, sizeBytes) {
  hold(url, sizeBytes);
  return held.peaks;
}

/** How loud it is, frame by frame; null where it cannot be decoded here. */
export function loudnessIn(url, sizeBytes) {
  hold(url, sizeBytes);
  return held.loudness;
}

function hold(url, sizeBytes) {
  if (held.url === url) return;
  const made = decoded(url, sizeBytes).catch(() => null);
  held = {
    url,
    peaks: made.then((found) => found && found.peaks),
    loudness: made.then((found) => found && found.loudness),
  };
}

/** Draws the peaks from `fromMs` to `toMs` over the width of a canvas, in its text colour. */
export function draw(canvas, peaks, fromMs, toMs) {
  const scale = devicePixelRatio || 1;
  const width = Math.max(1, Math.round(canvas.clientWidth * scale));
  const height = Math.round(canvas.clientHeight * scale);
  canvas.width = width;
  canvas.height = height;
  const pen = canvas.getContext("2d");
  pen.fillStyle = getComputedStyle(canvas).color;
  const perPixel = (toMs - fromMs) / 1000 / PEAK_S / width;
  for (let x = 0; x < width; x += 1) {
    const first = fromMs / 1000 / PEAK_S + x * perPixel;
    const high = highest(peaks, Math.floor(first), Math.ceil(first + perPixel));
    const tall = Math.max(scale, high * height);
    pen.fillRect(x, (height - tall) / 2, 1, tall);
  }
}

function highest(peaks, first, stop) {
  let high = 0;
  for (let n = Math.max(first, 0); n < Math.min(stop, peaks.length); n += 1) {
    high = Math.max(high, peaks[n]);
  }
  return high;
}

async function decoded(url, sizeBytes) {
  if (sizeBytes > MOST_BYTES || typeof OfflineAudioContext === "undefined") return null;
  const answer = await fetch(url);
  if (!answer.ok) return null;
  // At its own rate ten minutes would take a hundred megabytes.
  const context = new OfflineAudioContext(1, RATE, RATE);
  const sound = await context.decodeAudioData(await answer.arrayBuffer());
  const samples = sound.getChannelData(0);
  return { peaks: peaks(samples, sound.sampleRate), loudness: loudnessOf(samples, sound.sampleRate) };
}

function peaks(samples, rate) {
  const size = Math.round(rate * PEAK_S);
  const found = new Float32Array(Math.ceil(samples.length / size));
  for (let n = 0; n < samples.length; n += 1) {
    const high = Math.abs(samples[n]);
    const at = Math.floor(n / size);
    if (high > found[at]) found[at] = high;
  }
  const loudest = found.reduce((a, b) => Math.max(a, b), 0.01);
  return found.map((each) => each / loudest);
}
