// Saving as a file what this device holds and the server will not have.

// A browser takes its time to begin a download: an address that is gone by then saves nothing.
const ADDRESS_HOLDS_MS = 60_000;

/** The marks of a run as a JSON file. */
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

/** Saves a blob under a name. */
export function saveAs(blob, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), ADDRESS_HOLDS_MS);
}

function save(content) {
  const blob = new Blob([JSON.stringify(content, null, 1)], { type: "application/json" });
  saveAs(blob, `run-${content.run_id}.json`);
}
