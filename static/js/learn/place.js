// Where a sitting was: a reload of the same list goes on there.

const PLACE = "ninefifty.learn-place";

/** What tells a list of lines from any other. */
export function listOf(lines) {
  const texts = lines.map((line) => line.querySelector(".learn-words").textContent);
  return `${location.pathname}${location.search} ${texts.join(" ")}`;
}

/** The place kept for a list; 0 for another list, or none. */
export function placeBefore(list) {
  try {
    const kept = JSON.parse(sessionStorage.getItem(PLACE) ?? "{}");
    return kept.list === list ? kept.at : 0;
  } catch {
    return 0;
  }
}

export function keepPlace(list, at) {
  try {
    sessionStorage.setItem(PLACE, JSON.stringify({ list, at }));
  } catch {
    // Then a reload begins anew; the marks are kept elsewhere.
  }
}
