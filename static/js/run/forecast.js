// Where the run stands against its plan, and where that puts what is still to come. Pure.

/** Planned start and end of each segment, ms: each from the end of the one before it. */
export function placed(segments) {
  let clockMs = 0;
  return segments.map((segment) => {
    const startMs = clockMs;
    clockMs += segment.likely_s * 1000;
    return { startMs, endMs: clockMs };
  });
}

/**
 * How late the run is, ms; negative when it is ahead. Within a segment it is what its start was
 * late by, until the segment outlasts its plan: from then on the lateness grows with the clock.
 */
export function latenessMs(segments, run, elapsedMs) {
  const plan = placed(segments);
  if (run.current === null) {
    const last = run.ends_ms.findLastIndex((endMs) => endMs !== null);
    return last < 0 ? 0 : run.ends_ms[last] - plan[last].endMs;
  }
  const atStart = startOf(run, run.current) - plan[run.current].startMs;
  return Math.max(atStart, elapsedMs - plan[run.current].endMs);
}

/** When segment `index` started, ms; null while unknown. */
export function startOf(run, index) {
  return index === 0 ? 0 : run.ends_ms[index - 1];
}

/** When segment `index` will start if the rest goes as expected, ms. */
export function expectedStartMs(segments, run, elapsedMs, index) {
  return index === 0 ? 0 : expectedEndMs(segments, run, elapsedMs, index - 1);
}

/**
 * When segment `index` will end if the rest goes as expected, ms. What each segment is expected to
 * take comes from the presenter's own runs (`expected_s`) and from how this run goes; where the
 * server could not tell it, from the plan.
 */
export function expectedEndMs(segments, run, elapsedMs, index) {
  if (run.ends_ms[index] !== null) return run.ends_ms[index];
  const under = underWay(run);
  // Passed over without a mark: it was over when the one under way began.
  if (index < under) return startOf(run, under);
  const day = dayOf(segments, run);
  const firstMs = Math.max(elapsedMs, (startOf(run, under) ?? 0) + takesMs(segments[under], day));
  const between = segments.slice(under + 1, index + 1);
  return between.reduce((endMs, segment) => endMs + takesMs(segment, day), firstMs);
}

/** When the whole run will be over if the rest goes as expected, ms; before the start, as planned. */
export function expectedTotalMs(segments, run, elapsedMs) {
  if (run.total_ms !== null) return run.total_ms;
  if (run.status === "waiting") return placed(segments).at(-1)?.endMs ?? 0;
  if (segments.length === 0) return elapsedMs;
  return Math.max(elapsedMs, expectedEndMs(segments, run, elapsedMs, segments.length - 1));
}

function underWay(run) {
  return run.current ?? run.ends_ms.findLastIndex((endMs) => endMs !== null) + 1;
}

const FARTHEST = 2.5;
const SHORTEST_S = 2;

/**
 * How slow this run is throughout, in deviations of the presenter's days. Each split against what
 * was expected tells of it, the better the less it scatters by itself (`own`) and the more it shares
 * with all of the run (`day`), both on the log scale: the mean of a normal day after normal splits.
 * One split that went wrong counts as far off as FARTHEST deviations and no further.
 */
export function dayOf(segments, run) {
  let weight = 1;
  let sum = 0;
  segments.forEach(({ expected_s, day, own }, index) => {
    const startMs = startOf(run, index);
    const endMs = run.ends_ms[index];
    if (startMs === null || endMs === null || !(expected_s >= SHORTEST_S && day && own)) return;
    const apart = Math.log(Math.max(endMs - startMs, 1) / 1000 / expected_s);
    const reach = FARTHEST * Math.hypot(day, own);
    weight += (day / own) ** 2;
    sum += (day / own ** 2) * Math.min(Math.max(apart, -reach), reach);
  });
  return sum / weight;
}

function takesMs(segment, day) {
  return (segment.expected_s ?? segment.likely_s) * 1000 * Math.exp((segment.day ?? 0) * day);
}
