// What the controls of the stage do.

import { dueAdvance } from "./auto_advance.js";
import { earlier } from "./count_in.js";
import { Guard } from "./keys.js";
import { ask } from "./question.js";
import { INCIDENTS, runningView, unmarkedByFinish } from "./view_state.js";
import { counted } from "./words.js";

const CHOICE_OPEN_MS = 8000;
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
  #guard = new Guard();
  #choiceTimer = null;

  constructor({ data, run, parts, painter, journal, preferences, countIn, onMark }) {
    this.#data = data;
    this.#run = run;
    this.#parts = parts;
    this.#painter = painter;
    this.#journal = journal;
    this.#preferences = preferences;
    this.#countIn = countIn;
    this.#onMark = onMark;
  }

  /** Whether an action of a key means something just now. */
  means(action) {
    const { status } = this.#run.state;
    if (!this.#run.holds) return false;
    if (this.#countIn.isOn) return ["next", "undo", "close"].includes(action);
    if (action === "next") return status === "waiting" || status === "running";
    if (action === "cues") return status === "running";
    if (action === "undo") return status === "running" || this.#justClosed();
    return status === "running" && (!/^(choice|close)/.test(action) || this.#choosing);
  }

  /** Does what a key or a control asks for; `detail` names the process or the incident. */
  act(action, detail = null) {
    // While another device holds the clock this page only shows the run.
    if (!this.#run.holds || !this.#guard.admits(action, performance.now())) return;
    if (this.#countIn.isOn) {
      this.#whileCounting(action);
      return;
    }
    const choice = /^choice-(\d)$/.exec(action);
    if (choice) {
      this.#record(INCIDENTS[Number(choice[1]) - 1].what);
    } else {
      this.#actions[action]?.(detail);
    }
  }

  #actions = {
    start: () => this.act("next"),
    next: () => this.#next(),
    undo: () => this.#undo(),
    ready: (processId) => this.#ready(processId),
    incident: () => this.#choose(!this.#choosing),
    record: (what) => this.#record(what),
    close: () => this.#choose(false),
    finish: () => this.#finish(),
    abandon: () => this.#abandon(),
  };

  get #choosing() {
    return !this.#parts.incidents.hidden;
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

  #choose(open) {
    clearTimeout(this.#choiceTimer);
    this.#parts.incidents.hidden = !open;
    this.#parts.incident.setAttribute("aria-expanded", String(open));
    if (open) this.#choiceTimer = setTimeout(() => this.#choose(false), CHOICE_OPEN_MS);
  }

  #record(what) {
    this.#choose(false);
    const { current, status } = this.#run.state;
    if (status !== "running") return;
    const segment = current === null ? {} : { segment_id: this.#data.segments[current].id };
    this.#mark("incident", { what, ...segment });
  }

  // The finish is the moment of the press, not of the answer to the question about it.
  async #finish() {
    const at = this.#run.reading();
    const unmarked = unmarkedByFinish(this.#run.state);
    const are = unmarked === 1 ? "is" : "are";
    const words = `${counted(unmarked, "segment")} ${are} not marked. Finish all the same?`;
    if (unmarked > 0 && !(await ask(this.#parts, words, { yes: "Finish" }))) return;
    if (this.#run.state.status === "running") this.#mark("finish", {}, at);
  }

  async #abandon() {
    const at = this.#run.reading();
    const words = "Break this run off? What was marked is kept.";
    await this.abandonIf(words, at);
  }

  /** Asks, in the given words, whether to break the run off. */
  async abandonIf(words, at = null) {
    const yes = await ask(this.#parts, words, { yes: "Abandon" });
    if (yes && this.#run.state.status === "running") this.#mark("abandon", {}, at);
  }

  async #mark(kind, fields = {}, at = null) {
    if (!this.#run.holds) return; // It was taken over while a question stood open.
    const { shown, stored } = this.#run.mark(kind, fields, at);
    this.#onMark(stored);
    await shown;
    this.#painter.flash();
  }
}
