// What the page for saying by heart says.

export const PACE_WORDS = { off: "Pace: off", line: "Pace: line", tone: "Pace: tone" };
const STEP_WORDS = [
  "Read it aloud", "One word in four thinned", "Every second word thinned", "First letters",
  "First words", "Nothing shown: say it",
];

/** Which step a course is at, and of how many sayings. */
export function stepWords({ looks, step, at, length }) {
  return `${looks ? "How did it go?" : STEP_WORDS[step]} · ${at + 1} of ${length}`;
}

export function unsentWords(count) {
  return count === 0 ? "" : `${count} ${count === 1 ? "mark" : "marks"} not sent yet`;
}
