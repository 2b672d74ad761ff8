// Whether a run is taken to count before anybody said so. The mirror of server/domain/runs/counting.py;
// tests/doubt_cases.json holds both to the same answers. Pure.

const SHORTEST = 0.5;
const LONGEST = 2;

/** What speaks against a closed run of a plan that lasts `plannedS`; "" where nothing does. */
export function doubtOf({ status, total_ms: totalMs, ends_ms: endsMs }, plannedS) {
  if (totalMs === null) return "";
  // A plan without durations says nothing of how long a run may be.
  const isLong = plannedS > 0 && totalMs > LONGEST * 1000 * plannedS;
  if (status !== "finished") return isLong ? "long" : "";
  const unmarked = endsMs.filter((endMs) => endMs === null).length;
  if (2 * unmarked > endsMs.length) return "unmarked";
  if (totalMs < SHORTEST * 1000 * plannedS) return "short";
  return isLong ? "long" : "";
}

/** Why the answer is preset to no, in words; `planned` and `took` are times in words. */
export function doubtWords(doubt, took, planned) {
  const words = {
    short: `It took ${took}, under half of the ${planned} planned: preset to no.`,
    long: `It took ${took}, over twice the ${planned} planned: preset to no.`,
    unmarked: "Most segments are not marked: it stands as broken off unless you count it.",
  };
  return words[doubt] ?? "";
}
