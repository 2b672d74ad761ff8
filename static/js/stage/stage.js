// What the controls of the stage do.

import { dueAdvance } from "../run/auto_advance.js";
import { Choices } from "./choices.js";
import { earlier } from "./count_in.js";
import { Ending } from "./ending.js";
import { Guard } from "./keys.js";
import { skipsOf } from "./skip.js";
import { INCIDENTS, runningView } from "../run/view_state.js";

// What cannot be meant twice in a moment.
const GUARDED = new Set(["next", "undo", "ready"]);
const REFUSALS = { soon: "Not taken: too soon after the last", palm: "Not taken: too wide for a finger" };
// Shortly after the finish a pedal may still take it back; later the same key turns a page.
const KEY_UNDO_MS = 10_000;

export class Stage {
  #data;
  #run;
  #parts;
  #painter;
  #journal;
  #preferences;
  #countIn;
  #onMark;
  #guard = new Guard((action) => (GUARDED.has(action) ? Number(this.#preferences.get("guard")) : 0));
  #choices;
  #ending;

  constructor({ data, run, parts, painter, journal, preferences, countIn, onMark }) {
    this.#data = data;
    this.#run = run;
    this.#parts = parts;
    this.#choices = new Choices(parts);
    this.#painter = painter;
    this.#journal = journal;
    this.#preferences = preferences;
    this.#countIn = countIn;
    this.#onMark = onMark;
    this.#ending = new Ending(run, parts, (kind, at) => this.#mark(kind, {}, at));
  }

  /** Whether an action of a key means something just now. */
  means(action) {
    const { status } = this.#run.state;
    if (!this.#run.holds) return false;
    if (this.#countIn.isOn) return ["next", "undo", "close"].includes(action);
    if (action === "next") return status === "waiting" || status === "running";
    if (action === "undo") return status === "running" || this.#justClosed();
    if (status !== "running") return false;
    if (action.startsWith("choice")) return this.#choices.open === "incident";
    return action !== "close" || this.#choices.open !== null;
  }

  /**
   * Does what a key or a control asks for; `detail` names the process, the incident or the segment.
   * Says whether the press was taken.
   */
  act(action, detail = null) {
    // While another device holds the clock this page only shows the run.
    if (!this.#run.holds) return false;
    const refusal = this.#guard.refusal(action, performance.now());
    if (refusal !== null) {
      this.refuse(refusal);
      return false;
    }
    const choice = /^choice-(\d)$/.exec(action);
    if (this.#countIn.isOn) this.#whileCounting(action);
    else if (choice) this.#record(INCIDENTS[Number(choice[1]) - 1].what);
    else this.#actions[action]?.(detail);
    return true;
  }

  /** Shows that a press was not taken, and why; nothing of the bounce of one that was. */
  refuse(reason) {
    if (reason in REFUSALS && this.#run.state.status === "running") this.#painter.refused(REFUSALS[reason]);
  }

  /** Closes what stands open when something else is touched. */
  touched(node) {
    if (this.#choices.open !== null && !this.#choices.holds(node)) this.#choices.show(null);
  }

  #actions = {
    start: () => this.act("next"),
    next: () => this.#next(),
    undo: () => this.#undo(),
    ready: (processId) => this.#ready(processId),
    incident: () => this.#choices.toggle("incident"),
    more: () => this.#choices.toggle("more"),
    skip: () => this.#offerSkips(),
    "skip-to": (segmentId) => this.#skipTo(segmentId),
    record: (what) => this.#record(what),
    close: () => this.#choices.show(null),
    finish: () => this.#end("finish"),
    abandon: () => this.#end("stop"),
  };

  #end(how) {
    this.#choices.show(null);
    this.#ending[how]();
  }

  #justClosed() {
    const { total_ms: totalMs, undo_id: undoId } = this.#run.state;
    return undoId !== null && totalMs !== null && this.#run.elapsedMs - totalMs < KEY_UNDO_MS;
  }

  #next() {
    const { status, current } = this.#run.state;
    const last = this.#data.segments.length - 1;
    if (status === "waiting") {
      this.#begin();
    } else if (status === "running" && (current === null || current === last)) {
      this.#mark("finish");
    } else if (status === "running") {
      this.#mark("done", { segment_id: this.#data.segments[current].id });
    }
  }

  #begin() {
    const seconds = Number(this.#preferences.get("count-in"));
    if (seconds > 0) this.#countIn.begin(seconds);
    else this.startAt(null);
  }

  // The pedal that started the count-in cannot start the run a second time; undo calls it off.
  #whileCounting(action) {
    if (["undo", "close", "cancel-count"].includes(action)) this.#countIn.cancel();
  }

  /** Starts the clock at a reading of both clocks; now, where it is null. */
  startAt(at) {
    const { from_run } = this.#data;
    if (this.#run.state.status === "waiting") this.#mark("start", from_run ? { from_run } : {}, at);
  }

  /** Ends the segment under way if it goes on by itself and its time is up. */
  advance() {
    const { state, elapsedMs } = this.#run;
    const due = dueAdvance(this.#data.segments, state, elapsedMs, this.#journal.events);
    if (due === null) return;
    const at = earlier(this.#run.reading(), elapsedMs - due.at_ms);
    this.#mark("done", { segment_id: due.segment_id, cause: "plan" }, at);
  }

  #undo() {
    const { undo_id: undoId } = this.#run.state;
    if (undoId !== null) this.#mark("retract", { target_id: undoId });
  }

  #ready(processId) {
    const { state, elapsedMs } = this.#run;
    const open = runningView(this.#data, state, elapsedMs, null).processes;
    const id = processId ?? open.find((view) => view.canBeReady)?.id;
    if (id) this.#mark("ready", { process_id: id });
  }

  #offerSkips() {
    const skips = skipsOf(this.#data.segments, this.#run.state);
    this.#painter.skips(skips);
    this.#choices.show(skips.length > 0 ? "skip" : null);
  }

  #skipTo(segmentId) {
    this.#choices.show(null);
    const skip = skipsOf(this.#data.segments, this.#run.state).find(({ id }) => id === segmentId);
    if (skip) this.#mark("done", { segment_id: skip.endedId });
  }

  #record(what) {
    this.#choices.show(null);
    const { current, status } = this.#run.state;
    if (status !== "running") return;
    const segment = current === null ? {} : { segment_id: this.#data.segments[current].id };
    this.#mark("incident", { what, ...segment });
  }

  /** Asks, in the given words, whether to stop the run. */
  stopIf(words) {
    return this.#ending.stopIf(words);
  }

  async #mark(kind, fields = {}, at = null) {
    if (!this.#run.holds) return; // It was taken over while a question stood open.
    const { shown, stored } = this.#run.mark(kind, fields, at);
    this.#onMark(stored);
    await shown;
    this.#painter.flash();
  }
}
