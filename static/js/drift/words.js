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

export function axisSeconds(seconds) {
  const rounded = Math.round(seconds * 10) / 10;
  return `${rounded < 0 ? "−" : rounded > 0 ? "+" : ""}${Math.abs(rounded)} s`;
}
