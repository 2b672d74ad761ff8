// The row of descriptors that a helper ticks on the presenter's device. It is switched on by hand
// and remembered: without a helper it would only be in the presenter's way.

import { dueNow } from "./due.js";
import { Guard } from "./presses.js";
import { readSetting, writeSetting } from "../run/local_store.js";
import { element } from "../run/nodes.js";

const TICKS = [
  { verdict: "heard", words: "Heard", sign: "✓" },
  { verdict: "missed", words: "Missed", sign: "–" },
];

export class DueList {
  #data;
  #run;
  #parts;
  #onMark;
  #shown = "";
  #guard = new Guard();

  constructor({ data, run, parts, onMark }) {
    this.#data = data;
    this.#run = run;
    this.#parts = parts;
    this.#onMark = onMark;
    parts["due-switch"].hidden = data.claims.length === 0;
    parts["due-switch"].addEventListener("click", (event) => {
      this.#switch(parts.due.hidden);
      // Touched, not reached with Tab: the next press of a pedal must not press it again.
      if (event.detail > 0) parts["due-switch"].blur();
    });
    parts["due-list"].addEventListener("click", (event) => this.#onClick(event));
    this.#switch(readSetting("due") === "on" && data.claims.length > 0);
  }

  /** Shows what is due now; call it whenever the run may have changed. */
  paint() {
    if (this.#parts.due.hidden) return;
    const items = dueNow(this.#data, this.#run.shown);
    const shown = JSON.stringify(items);
    if (shown === this.#shown) return;
    this.#shown = shown;
    const focused = document.activeElement?.dataset?.tick;
    this.#parts["due-list"].replaceChildren(...items.map(row));
    this.#parts["due-none"].hidden = items.length > 0;
    // Ticking draws the row anew; whoever ticks by keyboard goes on from where they were.
    if (focused) this.#button(focused)?.focus();
  }

  #switch(shown) {
    const { due, "due-switch": button } = this.#parts;
    due.hidden = !shown;
    button.setAttribute("aria-pressed", String(shown));
    writeSetting("due", shown ? "on" : "off");
    this.#shown = "";
    this.paint();
  }

  #button(tick) {
    return [...this.#parts["due-list"].querySelectorAll("button")].find(
      (button) => button.dataset.tick === tick,
    );
  }

  #onClick(event) {
    const button = event.target.closest("button[data-tick]");
    if (!button || this.#guard.refusal(button.dataset.tick, performance.now())) return;
    const { claim, verdict } = button.dataset;
    const { state } = this.#run;
    const before = state.claims.find((tick) => tick.claim === claim);
    // The word before goes, so that taking back the new one leaves none.
    if (before) this.#mark("retract", { target_id: before.id });
    if (before?.verdict !== verdict) {
      const segment = this.#segmentOf(claim);
      this.#mark("claim", { claim, verdict, ...(segment ? { segment_id: segment } : {}) });
    }
    if (event.detail > 0) button.blur();
  }

  // The segment under way if the claim is due there, or the one before it.
  #segmentOf(key) {
    const { current } = this.#run.state;
    const at = current ?? this.#data.segments.length - 1;
    const ids = this.#data.claims.find((claim) => claim.key === key)?.segment_ids ?? [];
    const near = [this.#data.segments[at]?.id, this.#data.segments[at - 1]?.id];
    return near.find((id) => ids.includes(id)) ?? near[0];
  }

  async #mark(kind, fields) {
    const { shown, stored } = this.#run.mark(kind, fields);
    this.#onMark(stored);
    await shown;
    this.paint();
  }
}

function row(item) {
  const node = element("li", "");
  node.dataset.verdict = item.verdict ?? "";
  const about = [item.isLate ? "before" : "", item.isScripted ? "" : "not in the script"];
  const words = element("span", "");
  words.append(element("b", item.label), element("small", about.filter(Boolean).join(", ")));
  const group = element("div", "");
  group.setAttribute("role", "group");
  group.setAttribute("aria-label", item.label);
  group.append(...TICKS.map((tick) => button(item, tick)));
  node.append(words, group);
  return node;
}

function button(item, { verdict, words, sign }) {
  const isOn = item.verdict === verdict;
  const node = element("button", isOn ? `${sign} ${words}` : words);
  node.type = "button";
  node.dataset.claim = item.key;
  node.dataset.verdict = verdict;
  node.dataset.tick = `${verdict} ${item.key}`;
  node.setAttribute("aria-pressed", String(isOn));
  return node;
}
