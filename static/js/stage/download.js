// The marks of a run as a JSON file, for when the server will not have them.

export function downloadMarks(data, events) {
  save({
    run_id: data.run_id,
    routine_name: data.routine_name,
    segments: data.segments.map(({ id, name, likely_s }) => ({ id, name, likely_s })),
    events,
  });
}

/** The same where nothing is known of the run but its marks. */
export function saveMarks(runId, events) {
  save({ run_id: runId, events });
}

function save(content) {
  const blob = new Blob([JSON.stringify(content, null, 1)], { type: "application/json" });
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = `run-${content.run_id}.json`;
  link.click();
  URL.revokeObjectURL(link.href);
}
