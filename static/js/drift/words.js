// Times in words: 593.9 -> "9:53.9", 3.25 -> "+3.3 s".

import { clock as minutes } from "../run/words.js";

export function clock(seconds) {
  const tenths = Math.floor(Math.abs(seconds) * 10 + 0.5);
  const sign = seconds < 0 && tenths > 0 ? "−" : "";
  return sign + minutes(Math.floor(tenths / 10)) + (tenths % 10 ? `.${tenths % 10}` : "");
}

export function signed(seconds) {
  const tenths = Math.floor(Math.abs(seconds) * 10 + 0.5);
  const sign = tenths === 0 ? "±" : seconds < 0 ? "−" : "+";
  return `${sign}${(tenths / 10).toFixed(1)} s`;
}

// A difference in words: 3.25 -> "3.3 s over", 71 -> "1:11 over".
export function apart(seconds, more, less) {
  const tenths = Math.floor(Math.abs(seconds) * 10 + 0.5);
  if (tenths === 0) return "on plan";
  const size = tenths >= 600 ? clock(Math.round(tenths / 10)) : `${tenths / 10} s`;
  return `${size} ${seconds > 0 ? more : less}`;
}

export function axisSeconds(seconds) {
  const rounded = Math.round(seconds * 10) / 10;
  return `${rounded < 0 ? "−" : rounded > 0 ? "+" : ""}${Math.abs(rounded)} s`;
}
