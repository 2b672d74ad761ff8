// What one who watches can do: tick, mark, call, note, give points, take back.

import { readSetting, writeSetting } from "../stage/local_store.js";
import { passed } from "../stage/words.js";
import { callWords, pointsFault, readPoints } from "./watch_view.js";

const CALL_SHOWN_MS = 6000;

/** Connects every control of the page; `record(kind, fields, moment)` keeps what is done. */
export function connectTools({ data, parts, run, record }) {
  const takeBack = (id) => record("retract", { target_id: id }, { at_ms: run.moment().at_ms });
  const doIt = {
    tick: ({ claim, verdict }) => tick(claim, verdict),
    incident: ({ what }) => record("incident", { what }),
    call: () => call(),
    back: ({ id }) => takeBack(id),
    undo: () => run.lastOwn && takeBack(run.lastOwn.id),
  };

  // Touched again, a verdict is taken back, where it was given here.
  function tick(claim, verdict) {
    const standing = run.state.claims.find((each) => each.claim === claim);
    const isSame = standing?.verdict === verdict;
    if (isSame && run.isOwn(standing.id)) takeBack(standing.id);
    else if (!isSame) record("claim", { claim, verdict });
  }

  let shown = null;
  function call() {
    const words = callWords(data.rules, run.moment().at_ms);
    record("call", { text: words });
    parts["say-words"].textContent = words;
    parts.say.hidden = false;
    clearTimeout(shown);
    shown = setTimeout(() => {
      parts.say.hidden = true;
    }, CALL_SHOWN_MS);
  }

  addEventListener("click", (event) => {
    const control = event.target.closest("[data-do]");
    if (control) doIt[control.dataset.do]?.(control.dataset);
  });
  connectNote({ data, parts, run, record });
  connectPoints({ data, parts, run, record });
}

// A note belongs to the moment at which its first letter was typed. What is typed survives a
// reload.
function connectNote({ data, parts, run, record }) {
  const { note } = parts;
  const place = `note.${data.run_id}`;
  const names = new Map(data.segments.map((segment) => [segment.id, segment.name]));
  let moment = null;
  const show = () => {
    const where = moment?.segment_id ? `, ${names.get(moment.segment_id)}` : "";
    parts["note-moment"].textContent = moment ? `at ${passed(moment.at_ms)}${where}` : "";
  };
  const keep = () => writeSetting(place, JSON.stringify({ text: note.value, moment }));

  note.addEventListener("input", () => {
    if (note.value.trim() === "") moment = null;
    else moment ??= run.moment();
    show();
    keep();
  });
  note.form.addEventListener("submit", (event) => {
    event.preventDefault();
    const text = note.value.trim();
    if (text === "") return;
    record("note", { text }, moment ?? run.moment());
    note.value = "";
    moment = null;
    show();
    keep();
  });

  const kept = JSON.parse(readSetting(place) ?? "null");
  if (kept?.text) {
    note.value = kept.text;
    moment = kept.moment;
    show();
  }
}

function connectPoints({ parts, record }) {
  parts["points-rows"].addEventListener("change", ({ target }) => {
    const { criterion, most } = target.dataset;
    const fault = parts["points-rows"].querySelector(`[data-fault="${criterion}"]`);
    const message = pointsFault(target.value, Number(most));
    fault.textContent = message ?? "";
    fault.hidden = message === null;
    target.setAttribute("aria-invalid", String(message !== null));
    if (message === null) {
      record("score", { criterion, points: readPoints(target.value) });
    }
  });
}
