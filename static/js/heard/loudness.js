// How loud a sound is, frame by frame: what the server finds the onsets of speech in. It decodes no
// compressed sound itself; the browser that draws the waveform has it decoded already.

export const FRAME_S = 0.01;
// A byte is 0.4 dB: 255 is the loudest there is, 0 is 102 dB below it, or silence.
const PER_DB = 2.5;

/** The root mean square of each frame as a byte. */
export function loudnessOf(samples, rate) {
  const size = Math.round(rate * FRAME_S);
  const found = new Uint8Array(Math.floor(samples.length / size));
  for (let at = 0; at < found.length; at += 1) {
    let power = 0;
    for (let n = at * size; n < (at + 1) * size; n += 1) power += samples[n] * samples[n];
    const db = 10 * Math.log10(power / size + 1e-12);
    found[at] = Math.min(255, Math.max(0, Math.round(255 + db * PER_DB)));
  }
  return found;
}
