// Everything the page for watching shows beside the claims, as plain values. Pure.

import { callAt, INCIDENTS } from "../stage/view_state.js";
import { leftOrOver, passed } from "../stage/words.js";
import { VERDICTS } from "./claims_view.js";

const SILENT_MS = 5000;

const LINKS = {
  connecting: "connecting",
  away: "no connection: your remarks are kept here and sent later",
  shut: "this run is no longer open to you: ask the presenter for a code",
  full: "50 devices watch already: trying again",
  gone: "this run was deleted",
};

const NOT_KEPT = "this device cannot keep your remarks: leave this page open until they are sent";

/**
 * What is known of the connection: { words, good }; `silentMs` since the presenter was heard,
 * `isKept` whether this device can store remarks.
 */
export function linkView(state, runStatus, silentMs, unsent, isKept = true) {
  if (!isKept && unsent > 0) return { words: NOT_KEPT, good: false };
  const waiting = unsent > 0 ? ` · ${unsent} not yet sent` : "";
  if (state !== "live") return { words: `${LINKS[state]}${waiting}`, good: false };
  const isSilent = runStatus === "running" && (silentMs === null || silentMs > SILENT_MS);
  if (!isSilent) return { words: `live${waiting}`, good: true };
  const since = silentMs === null ? "not heard yet" : `last heard ${ago(silentMs)} ago`;
  return { words: `the presenter’s device: ${since}${waiting}`, good: false };
}

function ago(ms) {
  return ms < 100_000 ? `${Math.floor(ms / 1000)} s` : passed(ms);
}

/** What to call out just now: the rule sheet's words where it is time for them, else the clock. */
export function callWords(rules, elapsedMs) {
  const standing = callAt(rules, elapsedMs);
  if (standing) return standing.words;
  const { digits, word } = leftOrOver(rules.slot_s * 1000 - elapsedMs);
  return `${digits} ${word}`;
}

/** All remarks on a run, the latest first: { id, at, segment, words, who }. */
export function remarkLines(data, run) {
  const names = new Map(data.segments.map((segment) => [segment.id, segment.name]));
  const labels = new Map(data.claims.map((claim) => [claim.key, claim.label]));
  const entries = [
    ...run.claims.map((each) => [each, `${verdictWords(each)}: ${labels.get(each.claim) ?? each.claim}`]),
    ...run.incidents.map((each) => [each, incidentWords(each)]),
    ...run.notes.map((each) => [each, each.text]),
    ...run.calls.map((each) => [each, `Called: ${each.text}`]),
  ];
  return entries
    .sort(([a], [b]) => b.elapsed_ms - a.elapsed_ms || (a.id < b.id ? 1 : -1))
    .map(([each, words]) => ({
      id: each.id,
      at: passed(each.elapsed_ms),
      segment: names.get(each.segment_id) ?? "",
      words,
      who: each.who || "presenter",
    }));
}

function verdictWords({ verdict }) {
  return VERDICTS.find((each) => each.verdict === verdict)?.words ?? verdict;
}

function incidentWords({ what, text }) {
  const words = INCIDENTS.find((each) => each.what === what)?.words ?? what;
  return text ? `${words}: ${text}` : words;
}

/** The points given on this device: [{ id, name, most, points }] and their sum. */
export function pointsView(data, run, deviceId) {
  const given = new Map(
    run.scores
      .filter((score) => score.device_id === deviceId && score.who !== "")
      .map((score) => [score.criterion, score.points]),
  );
  const rows = data.criteria.map(({ id, name, most_points }) => ({
    id,
    name,
    most: most_points,
    points: given.get(id) ?? null,
  }));
  const sum = rows.reduce((total, row) => total + (row.points ?? 0), 0);
  const most = rows.reduce((total, row) => total + row.most, 0);
  return { rows, sum: `${shown(sum)} of ${shown(most)}` };
}

/** What is wrong with points typed for a criterion; null where they can be taken. */
export function pointsFault(text, most) {
  const points = readPoints(text);
  if (Number.isFinite(points) && points >= 0 && points <= most) return null;
  return `Give a number from 0 to ${shown(most)}.`;
}

/** The number in a field, with a point or a comma. */
export function readPoints(text) {
  const tidy = text.trim().replace(",", ".");
  return tidy === "" ? NaN : Number(tidy);
}

function shown(number) {
  return String(Math.round(number * 100) / 100);
}
