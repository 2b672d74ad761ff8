// Skipping ahead: what was done at once, or left out, is passed over in one go. Pure.

/** The segments that a run can skip to: [{ id, name, endedId }], those past the next one first. */
export function skipsOf(segments, run) {
  if (run.status !== "running" || run.current === null) return [];
  return segments.slice(run.current + 1).map((segment, index) => ({
    id: segment.id,
    name: segment.name,
    // Marking the end of the one before passes over all others, whose length nobody measured.
    endedId: segments[run.current + index].id,
  }));
}
