// What the controls of the stage do.

import { Choices } from "./choices.js";
import { Ending } from "./ending.js";
import { incidentMark, nextMark, ownMark, readyMark, skipMark, skipsOf, undoMark } from "./marking.js";
import { means } from "./meaning.js";
import { Guard } from "./presses.js";
import { INCIDENTS } from "../run/mark_words.js";

// What cannot be meant twice in a moment.
const GUARDED = new Set(["next", "undo", "ready"]);
const REFUSALS = { soon: "Not taken: too soon after the last", palm: "Not taken: too wide for a finger" };

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
    return means(action, this.#run, { open: this.#choices.open, isCounting: this.#countIn.isOn });
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
    if (this.#countIn.isOn) this.#countIn.act(action);
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
    undo: () => this.#take(undoMark(this.#run.state)),
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

  #next() {
    const { state } = this.#run;
    if (state.status === "waiting") this.#countIn.begin(Number(this.#preferences.get("count-in")));
    else this.#take(nextMark(this.#data, state));
  }

  /** Starts the clock at a reading of both clocks; now, where it is null. */
  startAt(at) {
    const { from_run } = this.#data;
    if (this.#run.state.status === "waiting") this.#mark("start", from_run ? { from_run } : {}, at);
  }

  /** Ends the segment under way if it goes on by itself and its time is up. */
  advance() {
    this.#take(ownMark(this.#data, this.#run, this.#journal.events));
  }

  #ready(processId) {
    const { state, elapsedMs } = this.#run;
    this.#take(readyMark(this.#data, state, elapsedMs, processId));
  }

  #offerSkips() {
    const skips = skipsOf(this.#data.segments, this.#run.state);
    this.#painter.skips(skips);
    this.#choices.show(skips.length > 0 ? "skip" : null);
  }

  #skipTo(segmentId) {
    this.#choices.show(null);
    this.#take(skipMark(this.#data, this.#run.state, segmentId));
  }

  #record(what) {
    this.#choices.show(null);
    this.#take(incidentMark(this.#data, this.#run.state, what));
  }

  /** Asks, in the given words, whether to stop the run. */
  stopIf(words) {
    return this.#ending.stopIf(words);
  }

  #take(marking) {
    if (marking !== null) this.#mark(marking.kind, marking.fields, marking.at);
  }

  async #mark(kind, fields = {}, at = null) {
    if (!this.#run.holds) return; // It was taken over while a question stood open.
    const { shown, stored } = this.#run.mark(kind, fields, at);
    this.#onMark(stored);
    await shown;
    this.#painter.flash();
  }
}
