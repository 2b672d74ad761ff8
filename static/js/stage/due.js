// The descriptors to be ticked just now. Pure: (data, run) -> items, in the order of the script.

/**
 * The claims due in the segment under way, and those of the one before it that nobody ticked: a
 * helper who listens is a few seconds behind. `verdict` is null, "heard", "missed" or "wrong".
 */
export function dueNow(data, run) {
  const at = run.current ?? data.segments.length - 1;
  const here = data.segments[at]?.id;
  const before = run.current === null ? undefined : data.segments[at - 1]?.id;
  const verdicts = new Map(run.claims.map((tick) => [tick.claim, tick]));
  const due = (claim, segmentId) => claim.segment_ids.includes(segmentId);
  return data.claims
    .filter((claim) => due(claim, here) || (due(claim, before) && !verdicts.has(claim.key)))
    .map((claim) => ({
      key: claim.key,
      label: claim.label,
      isLate: !due(claim, here),
      isScripted: claim.is_scripted,
      verdict: verdicts.get(claim.key)?.verdict ?? null,
    }));
}
