// Puts the run on the page for watching. Decides nothing: what is shown comes from the views.

import { tapeOf } from "../run/tape/tape.js";
import { slimTape } from "../run/tape/drawing.js";
import { closedView, planWords } from "../run/closed_view.js";
import { callAt, runningView } from "../run/view_state.js";
import { passed } from "../run/words.js";
import { fillList, flag, write } from "../run/nodes.js";
import { paintFigures } from "../run/paint_figures.js";
import { PointsPainter } from "./paint_points.js";
import { claimGroups, noneDue, tally } from "./claims_view.js";
import {
  claimRow,
  paintClaim,
  paintProcess,
  paintRemark,
  processRow,
  remarkRow,
} from "./watch_rows.js";
import { callWords, linkView, remarkLines } from "./watch_view.js";

const TAPE_EVERY_MS = 1000;

export class WatchPainter {
  #data;
  #parts;
  #points;
  #tape;
  #drawnMs = -Infinity;

  constructor(data, parts, deviceId) {
    this.#data = data;
    this.#parts = parts;
    this.#points = new PointsPainter(data, parts, deviceId);
    this.#tape = slimTape(parts.tape);
    const { segments } = data;
    const totalS = segments.reduce((sum, segment) => sum + segment.likely_s, 0);
    parts["plan-words"].textContent = planWords(data, totalS * 1000);
  }

  /** What changes with an event: views, claims, remarks, points. */
  run(run) {
    const { state } = run;
    const isOver = state.total_ms !== null;
    document.body.dataset.status = isOver ? "closed" : state.status;
    for (const view of document.querySelectorAll("[data-view]")) {
      view.hidden = !view.dataset.view.split(" ").includes(document.body.dataset.status);
    }
    if (isOver) this.#closed(closedView(this.#data, state));
    this.#claims(state);
    this.#remarks(run);
    this.#points.paint(state);
    this.#drawnMs = -Infinity;
  }

  /** What changes with time: clock, pace, processes, the word on the connection. */
  clock(run, known) {
    const { state, elapsedMs, lastKnownMs } = run;
    const link = linkView({ ...known, status: state.status, lastKnownMs });
    write(this.#parts.link, link.words);
    // Said once when it turns, not whenever a remark more waits.
    if (document.body.dataset.link !== link.tone) write(this.#parts.spoken, link.words);
    flag(document.body, "link", link.tone);
    flag(document.body, "stale", String(link.asOfMs !== null));
    this.#parts["join-again"].hidden = known.feed !== "shut";
    // What is not known is not reckoned on: only the clock goes on by itself.
    const shownMs = link.asOfMs ?? elapsedMs ?? 0;
    if (state.status === "running") {
      this.#reckoned(elapsedMs);
      this.#running(state, shownMs);
    }
    this.#paintTape(state, shownMs);
  }

  /** The page has another width: the next look at the clock draws the tape anew. */
  resized() {
    this.#drawnMs = -Infinity;
  }

  #reckoned(elapsedMs) {
    const parts = this.#parts;
    write(parts.elapsed, elapsedMs === null ? "–:––" : passed(elapsedMs));
    write(parts["call-words"], callWords(this.#data.rules, elapsedMs ?? 0));
    flag(parts.call, "due", String(callAt(this.#data.rules, elapsedMs ?? 0) !== null));
  }

  #running(state, shownMs) {
    const parts = this.#parts;
    const view = runningView(this.#data, state, shownMs, null);
    paintFigures(parts, view.slot, view);
    flag(parts["pace-figure"], "pace", view.pace.word);
    write(parts.place, [view.now.place, ...view.now.about].filter(Boolean).join(" · "));
    write(parts["now-name"], view.now.name);
    write(parts["now-left"], view.now.left ? `${view.now.left.digits} ${view.now.left.word}` : "");
    flag(parts["now-left"], "over", String(view.now.left?.over ?? false));
    write(parts["next-name"], view.next.name);
    write(parts["next-length"], view.next.length);
    fillList(parts.processes, view.processes, processRow, paintProcess);
  }

  #closed(view) {
    const parts = this.#parts;
    write(parts["closed-heading"], view.heading);
    write(parts["closed-total"], view.total);
    write(parts["closed-slot"], view.slot);
    write(parts["closed-target"], view.target);
  }

  #paintTape(state, elapsedMs) {
    const nowMs = performance.now();
    if (nowMs - this.#drawnMs > TAPE_EVERY_MS) {
      this.#drawnMs = nowMs;
      this.#tape.draw(tapeOf(this.#data, state, elapsedMs), elapsedMs / 1000);
    }
    this.#tape.moveTo(elapsedMs / 1000);
  }

  #claims(state) {
    for (const { group, rows } of claimGroups(this.#data, state)) {
      fillList(this.#parts[`claims-${group}`], rows, claimRow, paintClaim);
      const frame = this.#parts[`claims-${group}-frame`];
      if (frame) frame.hidden = rows.length === 0;
      const number = this.#parts[`claims-${group}-number`];
      if (number) write(number, String(rows.length));
    }
    const noneNow = this.#parts["claims-now"].children.length === 0;
    const counted = tally(this.#data, state);
    write(this.#parts["claims-none"], noneDue(this.#data));
    this.#parts["claims-none"].hidden = !noneNow || (state.total_ms !== null && counted !== "");
    write(this.#parts.tally, counted && `· ${counted}`);
  }

  #remarks(run) {
    const lines = remarkLines(this.#data, run.state);
    fillList(this.#parts.remarks, lines.map((line) => ({ ...line, key: line.id, own: run.isOwn(line.id) })), remarkRow, paintRemark);
    this.#parts["no-remarks"].hidden = lines.length > 0;
    const last = run.lastOwn;
    const line = lines.find(({ id }) => id === last?.id);
    this.#parts.undo.disabled = last === null;
    write(this.#parts["undo-words"], line?.words ?? (last?.kind === "score" ? "points" : ""));
  }
}
