// What the page knows of its run. A stage that this device keeps can begin another run by the same
// plan without the server: its id stands in the address, so that the page can be loaded again, and
// its start names the run it comes from, so that the server can make it when it hears of it.

import { uuid7 } from "./ids.js";

const NEW_RUN = /^#again=([\w-]{1,64})$/;

/** The data of the page; with "#again=ID" those of a new run by its plan (`from_run` is then set). */
export function readRunData(text, hash) {
  const data = JSON.parse(text);
  const newId = NEW_RUN.exec(hash)?.[1];
  if (!newId) return { ...data, from_run: null };
  const urls = { ...data.urls };
  for (const name of ["events", "pulse", "review"]) {
    urls[name] = urls[name].replace(data.run_id, newId);
  }
  return { ...data, run_id: newId, from_run: data.run_id, events: [], urls };
}

export function addressOfStage(runId) {
  return `/runs/${runId}/stage`;
}

/** Where a run is that this device began by the plan of `fromRun`; a new one without an id. */
export function addressOfNewRun(fromRun, runId = uuid7(Date.now())) {
  return `${addressOfStage(fromRun)}#again=${runId}`;
}

/** What a fold needs to know of a run's plan. */
export function outlineOf({ segments, processes }) {
  return { segment_ids: segments.map(({ id }) => id), processes };
}
