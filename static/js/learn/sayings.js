// What of a text is said, one after the other, and with how much of it in view. Pure.

export const NOTHING = 5;
export const FIRST_WORDS = 4;

/**
 * What is said, one after the other, as { sentence, step, pass }. A `whole` segment thins as one:
 * all its sentences at a step, then all at the next. Of the day's sentences each goes its own way,
 * from the step that it starts at; one that is new passes through all of them.
 */
export function sayings(starts, whole) {
  if (whole) {
    const from = Math.min(NOTHING, ...starts);
    const steps = Array.from({ length: NOTHING - from + 1 }, (_, more) => from + more);
    return steps.flatMap((step) => starts.map((_, sentence) => ({ sentence, step, pass: step })));
  }
  return starts.flatMap((start, sentence) => {
    const steps = start < FIRST_WORDS ? stepsFrom(start) : [start];
    return steps.map((step) => ({ sentence, step, pass: 0 }));
  });
}

function stepsFrom(start) {
  return Array.from({ length: NOTHING - start + 1 }, (_, more) => start + more);
}
