// Where a sitting was: a reload of the same list goes on there, and can take back what was marked.

const PLACE = "ninefifty.learn-place";

/** What tells a list of lines from any other. */
export function listOf(lines) {
  const texts = lines.map((line) => line.querySelector(".learn-words").textContent);
  return `${location.pathname}${location.search} ${texts.join(" ")}`;
}

/** The way that was gone through a list, and its marks; none for another list. */
export function placeBefore(list) {
  try {
    const kept = JSON.parse(sessionStorage.getItem(PLACE) ?? "{}");
    if (kept.list === list) return { way: kept.way ?? [], marks: kept.marks ?? [] };
  } catch {
    // Nothing was kept.
  }
  return { way: [], marks: [] };
}

export function keepPlace(list, { way, marks }) {
  try {
    sessionStorage.setItem(PLACE, JSON.stringify({ list, way, marks }));
  } catch {
    // Then a reload begins anew; the marks are kept elsewhere.
  }
}
