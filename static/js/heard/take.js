// The page of a take: its waveform, where it plays, a touch on the tape that plays from there, and
// how far the recogniser has come.

import { answerTo } from "../run/answer.js";
import { connectSending } from "./send.js";
import { connectSlide } from "./slide.js";
import { draw, loudnessIn, peaksOf } from "./wave.js";

const LOOK_AGAIN_MS = 2000;
const UNDRAWN = "This browser cannot draw this sound; the tape below shows the take.";

let looking;
let following = new AbortController();

/** Connects what there is of a take on the page. */
export function connectTake(root) {
  connectSending(root);
  clearTimeout(looking);
  const take = root.querySelector("[data-take]");
  if (!take) return;
  const tape = take.querySelector("[data-tape]");
  const peaks = tape?.dataset.sound ? peaksOf(tape.dataset.sound, Number(tape.dataset.size)) : null;
  if (tape) connectTape(tape, take.querySelector("[data-player]"), peaks);
  connectSlide(root, peaks);
  if (tape?.dataset.loudness && !root.querySelector("[data-slide]")) tellLoudness(tape);
  if (take.querySelector("[data-listening]")) followJob(take);
}

async function connectTape(tape, player, peaks) {
  const [fromMs, toMs] = [Number(tape.dataset.from), Number(tape.dataset.to)];
  // The player outlives a swap of the page, what is painted beside it does not.
  following.abort();
  following = new AbortController();
  if (player) {
    const paint = () => paintNow(tape, player.currentTime * 1000, fromMs, toMs);
    player.addEventListener("timeupdate", paint, { signal: following.signal });
    tape.addEventListener("click", (event) => {
      const { left, width } = tape.querySelector("svg").getBoundingClientRect();
      const share = Math.min(Math.max((event.clientX - left) / width, 0), 1);
      player.currentTime = (fromMs + share * (toMs - fromMs)) / 1000;
      player.play().catch(() => {});
    });
    paint();
  }
  const canvas = tape.querySelector("[data-wave]");
  if (!canvas) return;
  const found = await peaks;
  if (!canvas.isConnected) return;
  canvas.hidden = found === null;
  tape.querySelector("[data-wave-said]").textContent = found === null ? UNDRAWN : "";
  if (!found) return;
  new ResizeObserver(() => draw(canvas, found, fromMs, toMs)).observe(canvas);
}

// Starts snap to the onsets of speech: the page is shown anew where some were found.
async function tellLoudness(tape) {
  const loudness = await loudnessIn(tape.dataset.sound, Number(tape.dataset.size));
  if (!loudness?.length || !tape.isConnected) return;
  const headers = { "Content-Type": "application/octet-stream" };
  const sent = { method: "PUT", headers, body: loudness };
  const state = await answerTo(tape.dataset.loudness, sent).catch(() => null);
  if (state?.ok && state.body.kept && tape.isConnected) location.reload();
}

function paintNow(tape, atMs, fromMs, toMs) {
  const x = `${Math.min(Math.max((atMs - fromMs) / (toMs - fromMs), 0), 1) * 100}%`;
  const line = tape.querySelector("[data-now]");
  line.setAttribute("x1", x);
  line.setAttribute("x2", x);
}

// The words are found while the person is elsewhere, too: then this page shows them when it opens.
async function followJob(take) {
  looking = setTimeout(async () => {
    const state = await answerTo(take.dataset.jobUrl).catch(() => null);
    if (!take.isConnected) return;
    if (state?.ok && state.body.job !== take.dataset.job) {
      location.reload();
      return;
    }
    if (state?.ok) paintShare(take, state.body.share);
    followJob(take);
  }, LOOK_AGAIN_MS);
}

function paintShare(take, share) {
  take.querySelector("[data-listening] progress").value = share;
  const words = take.querySelector("[data-share]");
  if (words) words.textContent = `${share} %`;
}
