// What one who watches can do: tick, mark, call, note, give points, take back.

import { readSetting, writeSetting } from "../stage/local_store.js";
import { write } from "../stage/nodes.js";
import { passed } from "../stage/words.js";
import { segmentName } from "./remark_place.js";
import { callWords, pointsFault, readPoints } from "./watch_view.js";

const CALL_SHOWN_MS = 6000;

/**
 * Connects every control of the page; `record(kind, fields, atMs)` keeps what is done. Answers with
 * what is to be called when the run changed.
 */
export function connectTools({ data, parts, run, record }) {
  const takeBack = (id) => record("retract", { target_id: id });
  const doIt = {
    tick: ({ claim, verdict }) => tick(claim, verdict),
    incident: ({ what }) => {
      record("incident", { what });
      openIncidents(false);
    },
    incidents: () => openIncidents(parts.incidents.dataset.open !== "true"),
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

  // Where there is little room the kinds of incident open from one button.
  function openIncidents(isOpen) {
    parts.incidents.dataset.open = String(isOpen);
    parts["incidents-button"].setAttribute("aria-expanded", String(isOpen));
  }

  let shown = null;
  function call() {
    const words = callWords(data.rules, run.moment());
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
  connectPoints({ parts, record });
  return connectNote({ data, parts, run, record });
}

// A note belongs to the moment at which its first letter was typed. What is typed survives a
// reload.
function connectNote({ data, parts, run, record }) {
  const { note } = parts;
  const place = `note.${data.run_id}`;
  let atMs = null;
  const show = () => {
    const at = atMs === null ? [] : [`at ${passed(atMs)}`, segmentName(data, run.state, atMs)];
    write(parts["note-moment"], at.filter(Boolean).join(", "));
  };
  const keep = () => writeSetting(place, JSON.stringify({ text: note.value, at_ms: atMs }));

  note.addEventListener("input", () => {
    atMs = note.value.trim() === "" ? null : (atMs ?? run.moment());
    show();
    keep();
  });
  note.form.addEventListener("submit", (event) => {
    event.preventDefault();
    const text = note.value.trim();
    if (text === "") return;
    record("note", { text }, atMs ?? run.moment());
    note.value = "";
    atMs = null;
    show();
    keep();
  });

  const kept = JSON.parse(readSetting(place) ?? "null");
  if (kept?.text) {
    note.value = kept.text;
    atMs = kept.at_ms ?? run.moment();
  }
  show();
  return show;
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
