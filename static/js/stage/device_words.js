// What this device will do, in words. Pure.

import { planned } from "../run/words.js";

const CALLS = {
  off: "Time calls are shown",
  tone: "Time calls are shown and sound",
  voice: "Time calls are shown and spoken",
};

/** The lines before the start; `music` is { state, name, lengthMs }. */
export function deviceWords(preferences, music, slotMs) {
  const countIn = preferences.get("count-in");
  return [
    CALLS[preferences.get("calls")],
    countIn === "0" ? "no count-in" : `count-in of ${countIn} s`,
    ...musicWords(music, slotMs),
  ];
}

function musicWords({ state, name, lengthMs }, slotMs) {
  if (state === "none") return [];
  if (state === "loading") return [`music “${name}” is being fetched`];
  if (state === "failed") return [`▲ music “${name}” could not be fetched`];
  const length = planned(lengthMs / 1000);
  const words = [`music “${name}”, ${length}`];
  if (lengthMs < slotMs) words.push(`▲ the music ends at ${length}, before the slot does`);
  return words;
}

/** Which voice will speak, or what is heard where there is none for `language` ("" for any). */
export function voiceWords(voice, language) {
  if (voice !== null) return `Speaks with the voice “${voice.name}” of this device.`;
  const of = language ? ` for ${language}` : "";
  return `▲ This device has no voice${of}: a tone sounds instead.`;
}
