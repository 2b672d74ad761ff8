// One segment of the script in view at a time, read or written: chosen on the rail, by the arrow
// keys or by the buttons at the foot. All texts stay in the one form, so that nothing is lost by it.

import { askFor } from "../frame/ask.js";
import { isModified, placeIn } from "./press.js";
import { markRail } from "./rail.js";

const HANDS_OFF = "input, textarea, select, summary, [contenteditable], .panel, dialog, .menu, .five";

export class Panes {
  constructor(root, form, onLeave) {
    this.root = root;
    this.form = form;
    this.onLeave = onLeave;
    this.key = `script-${form.dataset.keyOf}`;
    this.column = form.querySelector(".script-pages");
    this.sections = [...form.querySelectorAll("[data-segment]")];
    this.column.addEventListener("click", (event) => this.#touched(event));
    this.#begin();
  }

  get current() {
    return this.sections.find((each) => each.hasAttribute("data-shown"));
  }

  get isWriting() {
    return this.current?.hasAttribute("data-writing");
  }

  /** Whether a click is for the panes alone, so that nothing has to be saved before it. */
  takes(way, event) {
    if (!way?.matches?.("[data-at], [data-step], [data-write]") || isModified(event)) return false;
    // With something open beside the text, the page is asked for anew without it.
    if (way.dataset.at && this.root.querySelector("[data-panel]")) return false;
    event.preventDefault();
    if (way.dataset.at) this.show(way.dataset.at);
    else if (way.dataset.step) this.step(Number(way.dataset.step));
    else if (this.isWriting) this.done();
    else this.write();
    return true;
  }

  /** What is touched in the text opens beside it, without leaving the page. */
  opens(event) {
    const way = event.target.closest?.("[data-opens], .rail [data-at]");
    if (!way || event.defaultPrevented || isModified(event)) return;
    event.preventDefault();
    askFor(way.getAttribute("href"));
  }

  show(id) {
    const wanted = this.sections.find((each) => each.dataset.segment === id);
    if (!wanted || wanted === this.current) return;
    const wasWriting = this.isWriting;
    this.done();
    this.current?.removeAttribute("data-shown");
    wanted.setAttribute("data-shown", "");
    this.column.scrollTop = 0;
    this.marked();
    this.named();
    if (wasWriting) this.write();
  }

  /** Names the segment in view in the address, unless something is open there. */
  named() {
    const asked = new URLSearchParams(location.search);
    const id = this.current?.dataset.segment;
    if (!id || !this.form.isConnected || asked.has("open") || asked.get("at") === id) return;
    history.replaceState(history.state, "", `${location.pathname}?at=${encodeURIComponent(id)}`);
  }

  step(by) {
    const at = this.sections.indexOf(this.current) + by;
    const next = this.sections[Math.min(Math.max(at, 0), this.sections.length - 1)];
    this.show(next.dataset.segment);
    this.root.querySelector(`.rail [data-at="${CSS.escape(next.dataset.segment)}"]`)
      ?.focus({ preventScroll: true });
  }

  write(at) {
    const section = this.current;
    // Who may only read is led nowhere by a touch.
    if (!section || this.form.hasAttribute("data-shut")) return;
    section.setAttribute("data-writing", "");
    const area = section.querySelector("textarea");
    area.focus();
    if (at !== undefined) area.setSelectionRange(at, at);
    this.marked();
  }

  done() {
    if (!this.isWriting) return;
    this.current.removeAttribute("data-writing");
    this.onLeave();
    this.marked();
  }

  /** Marks on rail and buttons which segment is in view: answers may have drawn them anew. */
  marked() {
    // What was refused stands in the text area: it stays in view until it is mended.
    if (this.current?.querySelector(".fault")) this.current.setAttribute("data-writing", "");
    markRail(this.root, this.sections, this.current?.dataset.segment);
    this.form.querySelector("[data-write]").setAttribute("aria-pressed", String(Boolean(this.isWriting)));
  }

  keyed(event) {
    if (!this.form.isConnected || event.ctrlKey || event.metaKey || event.defaultPrevented) return;
    const step = { ArrowUp: -1, ArrowDown: 1 }[event.key];
    const isInText = event.target === this.current?.querySelector("textarea");
    if (event.key === "Escape" && isInText) {
      event.preventDefault();
      this.done();
      this.form.querySelector("[data-write]").focus({ preventScroll: true });
    } else if (step && (event.altKey ? isInText : !event.target.closest?.(HANDS_OFF))) {
      event.preventDefault();
      this.step(step);
    } else if (event.key === "Enter" && event.target.matches?.(".rail [aria-current], body")) {
      event.preventDefault();
      this.write();
    }
  }

  remember() {
    const left = { at: this.current?.dataset.segment, top: this.column.scrollTop };
    sessionStorage.setItem(this.key, JSON.stringify(left));
  }

  #begin() {
    const asked = new URLSearchParams(location.search);
    const left = JSON.parse(sessionStorage.getItem(this.key) ?? "{}");
    const sentence = this.root.getElementById(decodeURIComponent(location.hash.slice(1)));
    const section = sentence?.closest?.("[data-segment]");
    // With something open the server knows the segment; a change is answered without one.
    if (section) this.show(section.dataset.segment);
    else if (!asked.has("open")) this.show(asked.get("at") ?? left.at);
    if (left.at === this.current?.dataset.segment) this.column.scrollTop = left.top;
    sentence?.scrollIntoView({ block: "nearest" });
    if (this.isWriting) this.write();
    this.marked();
  }

  // A click into the text is where one wants to write on.
  #touched(event) {
    if (event.target.closest("a, button, select, textarea, label") || !getSelection().isCollapsed) return;
    const part = event.target.closest("[data-start], .said-reading");
    if (!part) return;
    this.write(part.dataset.start === undefined ? undefined : placeIn(part, event));
  }
}
