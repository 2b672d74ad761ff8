// The marks of a run as a JSON file, for when the server will not have them.

export function downloadMarks(data, events) {
  const content = {
    run_id: data.run_id,
    routine_name: data.routine_name,
    segments: data.segments.map(({ id, name, likely_s }) => ({ id, name, likely_s })),
    events,
  };
  const blob = new Blob([JSON.stringify(content, null, 1)], { type: "application/json" });
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = `run-${data.run_id}.json`;
  link.click();
  URL.revokeObjectURL(link.href);
}
