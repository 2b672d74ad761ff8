// Saving the script: after a pause what stands beside a text is asked for anew, after a longer one
// the text is saved. A text area is never replaced, nor is typing ever waited for; and nobody leaves
// with something unsaved.

import { drawn } from "../frame/fields.js";
import { say } from "../frame/saving.js";
import { Panes } from "./panes.js";
import { isModified } from "./press.js";
import { changedFields } from "./unsaved.js";

const PAUSE_MS = 600;
const SETTLE_MS = 5000;
const UNSAVED = ["Not saved yet", "waiting"]; // On a phone it takes the place of Undo.

let page;
let isGuarded = false;

/** Connects the script, if the page has it; from the first time on nothing typed there is lost. */
export function connectScript(root) {
  if (!isGuarded) guardScript(root);
  isGuarded = true;
  const form = root.querySelector("form[data-script]");
  if (!form) page = undefined;
  else if (page?.form !== form) page = new ScriptPage(root, form);
  else page.panes.marked();
}

function guardScript(root) {
  // Links and buttons beside the editor wait until what was typed is saved; a closed tab sends it.
  root.addEventListener("click", (event) => page?.hold(event), { capture: true });
  root.addEventListener("click", (event) => page?.panes.opens(event));
  root.addEventListener("keydown", (event) => page?.panes.keyed(event));
  root.addEventListener("htmx:before:swap", () => page?.panes.remember());
  root.addEventListener("htmx:after:swap", () => page?.goOn());
  root.addEventListener("htmx:error", ({ detail: { ctx } }) => page?.failed(ctx));
  window.addEventListener("popstate", () => page?.panes.named());
  window.addEventListener("online", () => page?.saveIfUnsaved());
  window.addEventListener("beforeunload", (event) => { if (page?.isRefused) event.preventDefault(); });
  window.addEventListener("pagehide", () => page?.sendOff());
}

class ScriptPage {
  #root;
  #saved;
  #pause;
  #settle;
  #way;
  #wasRefused = false;

  constructor(root, form) {
    this.#root = root;
    this.form = form;
    this.state = form.querySelector("#script-state");
    this.fields = [...form.querySelectorAll("textarea, select")];
    // A browser may have put back what was typed before a reload: saved is what the page came with.
    this.#saved = new Map(this.fields.map((field) => [field.name, drawn(field)]));
    this.panes = new Panes(root, form, () => this.saveIfUnsaved());
    form.addEventListener("input", (event) => this.#typed(event.target));
    form.addEventListener("submit", () => clearTimeout(this.#settle), { capture: true });
    form.addEventListener("htmx:before:request", (event) => this.#asked(event));
    form.addEventListener("htmx:after:request", (event) => this.#answered(event));
    if (this.isUnsaved) this.#typed(this.fields[0]);
    else if (!form.hasAttribute("data-shut")) say(root, "Saved"); // Who only reads saves nothing.
  }

  get isUnsaved() {
    return this.fields.some((field) => field.value !== this.#saved.get(field.name));
  }

  get isRefused() {
    return this.#wasRefused && this.form.isConnected && this.isUnsaved;
  }

  saveIfUnsaved() {
    if (this.form.isConnected && this.isUnsaved) this.form.requestSubmit();
  }

  #typed(field) {
    this.stay();
    say(this.#root, ...UNSAVED);
    clearTimeout(this.#pause);
    clearTimeout(this.#settle);
    if (field.matches("select")) {
      field.closest(".said").className = `said ${field.selectedOptions[0].dataset.tint}`;
      this.form.requestSubmit();
      return;
    }
    this.#pause = setTimeout(() => this.state.dispatchEvent(new Event("paused")), PAUSE_MS);
    this.#settle = setTimeout(() => this.form.requestSubmit(), SETTLE_MS);
  }

  #asked(event) {
    const { ctx } = event.detail;
    if (ctx.sourceElement !== this.form) return;
    ctx.typed = new Map(this.fields.map((field) => [field.name, field.value]));
    say(this.#root, "Saving …", "waiting");
  }

  #answered(event) {
    const { ctx } = event.detail;
    if (ctx.sourceElement !== this.form) return;
    this.#wasRefused = !ctx.response?.raw.ok;
    if (this.#wasRefused) this.#notSaved();
    else {
      this.#saved = ctx.typed;
      say(this.#root, ...(this.isUnsaved ? UNSAVED : ["Saved"]));
    }
  }

  failed(ctx) {
    this.stay();
    if (ctx?.sourceElement === this.form) this.#notSaved();
  }

  #notSaved() {
    say(this.#root, "Not saved", "failed", () => this.form.requestSubmit());
  }

  hold(event) {
    const way = event.target.closest?.("a[href], button");
    if (this.panes.takes(way, event)) return;
    if (!way || !this.isUnsaved || (this.form.contains(way) && way.matches("button"))) return;
    if (isModified(event)) return;
    if (way.getAttribute("href")?.startsWith("#") || way.closest("#saving")) return;
    // What cannot be saved must not lock anybody in: the browser asks before it leaves.
    if (this.isRefused && way.matches("a:not([hx-get], [data-opens], [data-at])")) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    this.form.requestSubmit();
    this.#way = way;
  }

  goOn() {
    const way = this.isUnsaved ? undefined : this.#way;
    if (!way) return;
    this.stay();
    // What was answered may have drawn it anew.
    const links = [...this.#root.querySelectorAll("a[href]")];
    (way.isConnected ? way : links.find((each) => each.href === way.href))?.click();
  }

  stay() {
    this.#way = undefined;
  }

  sendOff() {
    if (!this.form.isConnected || !this.isUnsaved) return;
    navigator.sendBeacon(this.form.action, changedFields(this.form, this.fields, this.#saved));
  }
}
