// What a press on the script means.

/** Whether a click asks the browser for something of its own: another tab, another button. */
export function isModified(event) {
  return event.button || event.ctrlKey || event.metaKey || event.shiftKey;
}

/** Where in the text of a segment a click on a sentence came down. */
export function placeIn(part, event) {
  const start = Number(part.dataset.start);
  const words = part.querySelector(".words");
  const caret = document.caretPositionFromPoint?.(event.clientX, event.clientY);
  if (!words || !caret || !words.contains(caret.offsetNode)) return start;
  const before = document.createRange();
  before.setStart(words, 0);
  before.setEnd(caret.offsetNode, caret.offset);
  return start + before.toString().length;
}
