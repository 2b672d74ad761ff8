// Puts views on the page. Decides nothing: what is shown comes from `view_state.js`.

import { element, fillList, note, write } from "./nodes.js";
import { INCIDENTS } from "./view_state.js";

/** The parts of the page by the name in their data-part attribute. */
export function partsOf(root) {
  const parts = {};
  for (const node of root.querySelectorAll("[data-part]")) parts[node.dataset.part] = node;
  return parts;
}

export class Painter {
  #parts;

  constructor(parts) {
    this.#parts = parts;
    parts.incidents.replaceChildren(...INCIDENTS.map(incidentButton));
  }

  /** Shows one of the three views: waiting, running or closed. */
  show(name) {
    document.body.dataset.status = name;
    // The frame of a call is of the run: it ends with it.
    if (name !== "running") note(document.body, "call", "false");
    for (const view of document.querySelectorAll("[data-view]")) {
      view.hidden = view.dataset.view !== name;
    }
  }

  running(view) {
    const parts = this.#parts;
    write(parts.elapsed, view.elapsed);
    write(parts["slot-digits"], view.slot.digits);
    write(parts["slot-word"], view.slot.word);
    write(parts["pace-digits"], view.pace.digits);
    write(parts["pace-word"], view.pace.word);
    write(parts.expected, view.expected);
    note(document.body, "phase", view.phase);
    note(parts["pace-figure"], "pace", view.pace.word);
    this.#now(view.now);
    write(parts["next-word"], view.next.word);
    write(parts["next-name"], view.next.name);
    write(parts["next-length"], view.next.length);
    note(parts.next, "finishes", String(view.next.finishes));
    note(parts.next, "alone", String(view.next.alone));
    fillList(parts.processes, view.processes, processRow, paintProcess);
    parts.processes.hidden = view.processes.length === 0;
    write(parts["undo-words"], view.undo ?? "");
    parts.undo.disabled = view.undo === null;
    parts.call.hidden = view.call === null;
    write(parts.call, view.call?.words ?? "");
    note(document.body, "call", String(view.call !== null));
  }

  #now(now) {
    const parts = this.#parts;
    write(parts.place, [now.place, ...now.about].join(" · "));
    write(parts["now-name"], now.name);
    parts["now-left"].hidden = now.left === null;
    write(parts["now-digits"], now.left?.digits ?? "");
    write(parts["now-word"], now.left?.word ?? "");
    note(parts.now, "over", String(now.left?.over ?? false));
    parts["hands-row"].hidden = now.hands === "";
    write(parts.hands, now.hands);
    parts["said-row"].hidden = now.said === "";
    write(parts.said, now.said);
    parts["ahead-row"].hidden = now.ahead === "";
    write(parts.ahead, now.ahead);
  }

  /** The seconds of the count-in; null when there is none. */
  countIn(seconds) {
    const parts = this.#parts;
    const isOn = seconds !== null;
    parts["count-in"].hidden = !isOn;
    write(parts["count-in-digits"], String(seconds ?? ""));
    // What lies behind the digits cannot be reached with Tab either.
    for (const other of parts["count-in"].parentElement.children) {
      if (other !== parts["count-in"]) other.inert = isOn;
    }
  }

  /** A short sign that a mark was taken; the colour of the whole area, for eyes that look away. */
  flash() {
    const area = this.#parts.touch;
    area.classList.remove("marked");
    void area.offsetWidth; // Lets the animation start anew.
    area.classList.add("marked");
  }

  closed(view) {
    const parts = this.#parts;
    write(parts["closed-heading"], view.heading);
    write(parts["closed-total"], view.total);
    write(parts["closed-slot"], view.slot);
    write(parts["closed-target"], view.target);
    write(parts["closed-undo"], view.undo);
    parts["closed-rows"].replaceChildren(...view.rows.map(tableRow));
    parts["closed-notes"].replaceChildren(
      ...[...view.processes, view.incidents].map((words) => element("li", words)),
    );
  }

  signs(view) {
    const parts = this.#parts;
    write(parts.sync, view.sync);
    write(parts["closed-sync"], view.sync);
    note(parts.sync, "unsent", String(view.unsent > 0));
    parts["sleep-sign"].hidden = view.sleep === "";
    write(parts["sleep-sign"], view.sleep);
    parts["music-sign"].hidden = view.music === "";
    write(parts["music-sign"], view.music);
    parts["sleep-hint"].hidden = view.canStayAwake;
    parts.notice.hidden = view.notice === null;
    if (view.notice !== null) write(parts["notice-words"], view.notice);
  }

  /** The quiet sign of how many watch; nothing where nobody does, or nobody knows. */
  watching = (number) => {
    for (const sign of [this.#parts.watching, this.#parts["waiting-watching"]]) {
      sign.hidden = !number;
      write(sign, number ? `${number} watching` : "");
    }
  };

  /** Lets a screen reader say it when it is done with what it says. */
  say(words) {
    write(this.#parts.spoken, words);
  }
}

function paintProcess(row, view) {
  const [words, button] = row.children;
  const [, status, due, fallback] = words.children;
  note(row, "stage", view.stage);
  write(status, view.status);
  write(due, view.due ?? "");
  write(fallback, view.fallback);
  fallback.hidden = view.fallback === "";
  button.hidden = !view.canBeReady;
  row.style.setProperty("--passed", String(view.fraction));
}

function processRow(view) {
  const row = document.createElement("li");
  const button = element("button", "Ready", "ready");
  button.type = "button";
  button.dataset.do = "ready";
  button.dataset.process = view.id;
  button.setAttribute("aria-label", `${view.name} ready`);
  const words = element("div", "", "process-words");
  words.append(
    element("b", view.name, "process-name"),
    element("span", "", "process-status"),
    element("span", "", "process-due"),
    element("p", "", "process-fallback"),
  );
  row.append(words, button);
  return row;
}

function incidentButton({ what, words }, index) {
  const button = element("button", words);
  button.type = "button";
  button.dataset.do = "record";
  button.dataset.what = what;
  button.prepend(element("kbd", String(index + 1)), " ");
  return button;
}

function tableRow({ name, plan, split, difference }) {
  const row = document.createElement("tr");
  const head = element("th", name);
  head.scope = "row";
  row.append(head, element("td", plan), element("td", split), element("td", difference));
  return row;
}
