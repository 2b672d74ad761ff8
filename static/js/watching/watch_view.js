// Everything the page for watching shows beside the claims, as plain values. Pure.

import { INCIDENTS } from "../run/mark_words.js";
import { callAt } from "../run/view_state.js";
import { leftOrOver, passed } from "../run/words.js";
import { VERDICTS } from "./claims_view.js";
import { segmentName } from "./remark_place.js";

// The presenter's device is heard every 2 s.
const SILENT_MS = 5000;
const NEW_MS = 3000;

const LINKS = {
  connecting: "Connecting",
  away: "No connection",
  shut: "This run is no longer open to you: ask the presenter for a code",
  full: "50 devices watch already: trying again",
  gone: "This run was deleted",
};

const NOT_KEPT = "This device cannot keep your remarks: leave this page open until they are sent";

/**
 * What is known of the connection, and so how far the figures can be believed:
 * { words, tone, asOfMs }. `tone` is good, plain (not yet) or bad; `asOfMs` is the reading of the
 * run's clock that the figures are from, null while they are of now.
 *
 * `known` is { feed, status, silentMs, lastKnownMs, openMs, unsent, isKept }: the feed's state, the
 * run's, ms since the presenter was heard (null: not yet), ms elapsed then, ms since this page was
 * opened, remarks not yet sent, and whether this device can store them.
 */
export function linkView(known) {
  const { feed, status, silentMs, lastKnownMs, openMs, unsent, isKept } = known;
  const isStale = status === "running" && (silentMs === null || silentMs > SILENT_MS);
  const asOfMs = isStale ? lastKnownMs : null;
  if (!isKept && unsent > 0) return { words: NOT_KEPT, tone: "bad", asOfMs };
  const isAway = feed === "away";
  const isNew = openMs < NEW_MS && (feed === "live" || feed === "connecting");
  const head = isStale && feed === "live" ? silentWords(isNew) : (LINKS[feed] ?? "Live");
  const words = [
    head,
    isStale && !isNew ? `as of ${passed(lastKnownMs)}` : "",
    remarkWords(unsent, isAway),
  ];
  const isGood = feed === "live" && !isStale;
  const tone = isGood ? "good" : isNew || (feed === "connecting" && !isStale) ? "plain" : "bad";
  return { words: words.filter(Boolean).join(" · "), tone, asOfMs };
}

function silentWords(isNew) {
  return isNew ? LINKS.connecting : "No word from the stage";
}

function remarkWords(unsent, isAway) {
  if (unsent > 0) return `${unsent} not yet sent`;
  return isAway ? "remarks kept here" : "";
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
  const labels = new Map(data.claims.map((claim) => [claim.key, claim.label]));
  const entries = [
    ...run.claims.map((each) => [each, `${verdictWords(each)}: ${labels.get(each.claim) ?? each.claim}`]),
    ...run.incidents.map((each) => [each, incidentWords(each)]),
    ...run.notes.map((each) => [each, each.text]),
    ...run.calls.map((each) => [each, `Time call: ${each.text}`]),
  ];
  return entries
    .sort(([a], [b]) => b.elapsed_ms - a.elapsed_ms || (a.id < b.id ? 1 : -1))
    .map(([each, words]) => ({
      id: each.id,
      at: passed(each.elapsed_ms),
      segment: segmentOf(data, run, each),
      words,
      who: each.who || "presenter",
    }));
}

// The presenter's own device knows in which segment something went wrong.
function segmentOf(data, run, remark) {
  const isMarked = !remark.who && remark.segment_id;
  if (!isMarked) return segmentName(data, run, remark.elapsed_ms);
  return data.segments.find(({ id }) => id === remark.segment_id)?.name ?? "";
}

function verdictWords({ verdict }) {
  return VERDICTS.find((each) => each.verdict === verdict)?.words ?? verdict;
}

function incidentWords({ what, text }) {
  const words = INCIDENTS.find((each) => each.what === what)?.words ?? what;
  return text ? `${words}: ${text}` : words;
}

/** The points given on this device: [{ id, name, most, points }] and their sum by weight. */
export function pointsView(data, run, deviceId) {
  const given = new Map(
    run.scores
      .filter((score) => score.device_id === deviceId && score.who !== "")
      .map((score) => [score.criterion, score.points]),
  );
  const rows = data.criteria.map(({ id, name, most_points, weight = 1 }) => ({
    id,
    name,
    weight,
    most: most_points,
    points: given.get(id) ?? null,
  }));
  const sum = rows.reduce((total, row) => total + row.weight * (row.points ?? 0), 0);
  const most = rows.reduce((total, row) => total + row.weight * row.most, 0);
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
