// In which segment a remark stands: the one that was under way at its time, by the marks known when
// it is shown. What the page took for the segment when it was written is not asked: it may have
// been cut off. The mirror of `segment_at` in server/domain/remark_lines.py; both are held to
// tests/segment_cases.json. Pure.

/**
 * The place of the segment under way at `elapsedMs`; null where that cannot be told: when the run
 * is over, or within segments that were marked as one.
 */
export function segmentAt(elapsedMs, endsMs, totalMs) {
  if (totalMs !== null && elapsedMs >= totalMs) return null;
  const startsMs = [0, ...endsMs];
  const isIn = (endMs, place) =>
    startsMs[place] !== null && endMs !== null && startsMs[place] <= elapsedMs && elapsedMs < endMs;
  const known = endsMs.findIndex(isIn);
  if (known >= 0) return known;
  const following = endsMs.findLastIndex((endMs) => endMs !== null) + 1;
  return following < endsMs.length && elapsedMs >= startsMs[following] ? following : null;
}

/** The name of the segment of a remark, as the run stands; empty where it cannot be told. */
export function segmentName(data, run, elapsedMs) {
  return data.segments[segmentAt(elapsedMs, run.ends_ms, run.total_ms)]?.name ?? "";
}
