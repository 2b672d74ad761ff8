// Where everything would lie with a block held longer or elsewhere: the server says.

import { follow } from "./follow.js";

/**
 * Asks for it and shows it while the block is still held, `isHeld(asked)`. One question at a time:
 * what was wanted meanwhile is asked once the answer is there.
 */
export async function askWhere(tape, asked, isHeld) {
  if (asked.asking) {
    asked.again = true;
    return;
  }
  asked.asking = true;
  const query = new URLSearchParams({
    segment: asked.thing.dataset.segment, seconds: asked.seconds, span: tape.dataset.span,
  });
  if (asked.to !== asked.place) query.set("to", asked.to);
  try {
    const answer = await fetch(`${tape.dataset.held}?${query}`);
    const isToShow = answer.ok || answer.status === 422;
    const places = isToShow ? await answer.json() : null;
    if (places && isHeld(asked)) paint(tape, asked, places);
  } catch {
    // Without the server the block still follows; letting go will say that it is away.
  }
  asked.asking = false;
  if (asked.again && isHeld(asked)) {
    asked.again = false;
    askWhere(tape, asked, isHeld);
  }
}

function paint(tape, asked, answer) {
  tape.ownerDocument.getElementById("tape-said").textContent =
    asked.pointer ? answer.told : `${answer.told} Enter saves, Escape takes it back.`;
  if (!answer.places) return;
  follow(tape, answer, asked.pointer ? asked.thing.id : "");
  asked.thing.setAttribute("aria-valuenow", answer.seconds);
  asked.thing.setAttribute("aria-valuetext", answer.told);
}
