// The full words of the segment under way, moved on line by line at its pace. Whole lines only:
// neither a word nor a line is cut in two.

/**
 * Which line stands at the top of a box of `visible` of `lines` lines when `spoken` of the words
 * (0 to 1) should have been said: the line being said is the second, until the last lines are in
 * sight. Pure.
 */
export function topLine(lines, visible, spoken) {
  const being = Math.min(lines - 1, Math.floor(spoken * lines));
  return Math.max(0, Math.min(being - (visible > 1 ? 1 : 0), lines - visible));
}

/** Shows the words as they stand at `spoken`; null where they are not shown in full. */
export function showSpoken({ cues, said }, spoken) {
  if (spoken === null) return;
  const linePx = parseFloat(getComputedStyle(said).lineHeight);
  if (!(linePx > 0)) return;
  const lines = Math.max(1, Math.round(said.offsetHeight / linePx));
  const box = said.parentElement;
  const bottomPx = cues.getBoundingClientRect().bottom - heightBelow(box.parentElement);
  const visible = Math.max(1, Math.floor((bottomPx - box.getBoundingClientRect().top) / linePx));
  set(cues, "--lines", Math.min(lines, visible));
  set(cues, "--top", topLine(lines, visible, spoken));
}

function heightBelow(row) {
  let px = 0;
  for (let next = row.nextElementSibling; next; next = next.nextElementSibling) px += next.offsetHeight;
  return px;
}

function set(node, name, value) {
  const text = String(value);
  if (node.style.getPropertyValue(name) !== text) node.style.setProperty(name, text);
}
