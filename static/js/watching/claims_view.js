// The claims of a run for one who ticks them: which are due now, which are still open, which come
// later, which are ticked. Pure.

export const VERDICTS = [
  { verdict: "heard", words: "Heard" },
  { verdict: "missed", words: "Missed" },
  { verdict: "wrong", words: "Said wrong" },
];

const MOST_NAMES = 2;

/** [{ group, rows }] in the order of the page; rows are { key, label, about, against, verdict, id, who }. */
export function claimGroups(data, run) {
  const rows = data.claims.map((claim) => rowOf(data, run, claim));
  return ["now", "open", "later", "ticked"].map((group) => ({
    group,
    rows: rows.filter((row) => row.group === group),
  }));
}

function rowOf(data, run, claim) {
  const ticked = run.claims.find((each) => each.claim === claim.key) ?? null;
  const places = claim.segment_ids
    .map((id) => data.segments.findIndex((segment) => segment.id === id))
    .filter((place) => place >= 0);
  const names = places.map((place) => data.segments[place].name);
  return {
    key: claim.key,
    label: claim.label,
    about: [claim.drink, ...shortened([...new Set(names)])].filter(Boolean).join(" · "),
    against: (ticked?.against ?? []).map(wordOf).join(", "),
    verdict: ticked?.verdict ?? null,
    id: ticked?.id ?? null,
    who: ticked?.who ?? "",
    group: groupOf(places, run, ticked),
  };
}

function wordOf({ who, verdict }) {
  const { words } = VERDICTS.find((each) => each.verdict === verdict);
  return `${who || "The presenter’s device"}: ${words.toLowerCase()}`;
}

// Some descriptors are said all along.
function shortened(names) {
  return names.length > MOST_NAMES ? [...names.slice(0, MOST_NAMES), "…"] : names;
}

function groupOf(places, run, ticked) {
  const isNow = run.current !== null && places.includes(run.current);
  if (isNow) return "now";
  if (ticked) return "ticked";
  if (run.current === null) return run.status === "waiting" ? "later" : "open";
  return places.some((place) => place > run.current) ? "later" : "open";
}

/** What stands where no claim is due: a judge is given none to tick. */
export function noneDue(data) {
  return data.claims.length ? "No descriptor is due in this segment." : "No descriptors to tick are listed here. Write what you hear as a note.";
}

/** "3 of 9: 2 heard, 1 missed"; "" where none are listed. */
export function tally(data, run) {
  if (!data.claims.length) return "";
  const keys = new Set(data.claims.map((claim) => claim.key));
  const ticked = run.claims.filter((each) => keys.has(each.claim));
  const parts = VERDICTS.map(({ verdict, words }) => ({
    words: words.toLowerCase(),
    number: ticked.filter((each) => each.verdict === verdict).length,
  })).filter(({ number }) => number > 0);
  const listed = parts.map(({ words, number }) => `${number} ${words}`).join(", ");
  const head = `${ticked.length} of ${keys.size}`;
  return listed ? `${head}: ${listed}` : head;
}
