// Times as people read them on stage: whole seconds, m:ss, with real minus signs.

/** Ms as m:ss, whole seconds already begun; from 100 minutes on h:mm:ss. For time that passed. */
export function passed(ms) {
  return clock(Math.floor(Math.max(0, ms) / 1000));
}

/** Ms as m:ss, the started second still counted. For time that is left: passed + left = whole. */
export function left(ms) {
  return clock(Math.ceil(Math.max(0, ms) / 1000));
}

/** A duration in seconds as m:ss, rounded half up. */
export function planned(seconds) {
  return clock(Math.floor(seconds + 0.5));
}

/** Time left, or over once it is used up: { digits: "0:23", word: "left" }, { "0:07", "over" }. */
export function leftOrOver(ms) {
  return ms >= 0
    ? { digits: left(ms), word: "left", over: false }
    : { digits: passed(-ms), word: "over", over: true };
}

/** How the run stands to its plan: { digits: "7 s", word: "late" }; `ms` counts as late. */
export function pace(ms) {
  const seconds = Math.floor(Math.abs(ms) / 1000 + 0.5);
  if (seconds === 0) return { digits: "on plan", word: "" };
  const digits = seconds < 60 ? `${seconds} s` : clock(seconds);
  return { digits, word: ms > 0 ? "late" : "early" };
}

/** A difference in ms in words, as the server tells it: "3.3 s over", "3 s under", "1:11 over". */
export function apart(ms, { more = "over", less = "under", none = "on plan" } = {}) {
  const tenths = Math.floor(Math.abs(ms) / 100 + 0.5);
  if (tenths === 0) return none;
  // To the nearest second, as in the review: what is left of a slot then adds up with the total.
  const digits = tenths < 600 ? `${tenths / 10} s` : planned(Math.abs(ms) / 1000);
  return `${digits} ${ms < 0 ? less : more}`;
}

/** Ms as m:ss.t, rounded to the tenth: a split, in the summary. */
export function exact(ms) {
  const tenths = Math.floor(Math.abs(ms) / 100 + 0.5);
  return `${ms < 0 ? "−" : ""}${clock(Math.floor(tenths / 10))}.${tenths % 10}`;
}

/** The first words of what is said, cut at a word, with an ellipsis where more follows. */
export function cue(text, mostWords) {
  const words = text.trim().split(/\s+/).filter(Boolean);
  return words.length > mostWords ? `${words.slice(0, mostWords).join(" ")} …` : words.join(" ");
}

/** "1 mark", "3 marks". */
export function counted(count, noun) {
  return `${count} ${noun}${count === 1 ? "" : "s"}`;
}

/** Whole seconds as m:ss, from 100 minutes on as h:mm:ss: as the server writes them. */
export function clock(seconds) {
  const rest = String(seconds % 60).padStart(2, "0");
  const minutes = Math.floor(seconds / 60);
  if (minutes < 100) return `${minutes}:${rest}`;
  return `${Math.floor(minutes / 60)}:${String(minutes % 60).padStart(2, "0")}:${rest}`;
}
