// The script page: text areas grow with their text; after a pause what stands beside them is asked
// for anew, after a longer one it is saved. A text area itself is never replaced, nor is typing
// ever waited for; and nobody leaves with something unsaved.

const PAUSE_MS = 600;
const SETTLE_MS = 5000;
const GROWS_BY_ITSELF = CSS.supports("field-sizing", "content");

let page;

export function connectScript(root) {
  const form = root.querySelector("form[data-script]");
  if (!form) page = undefined;
  else if (page?.form !== form) page = new ScriptPage(form);
}

export function guardScript(root) {
  // Links and buttons beside the editor wait until what was typed is saved; a closed tab sends it.
  root.addEventListener("click", (event) => page?.hold(event), { capture: true });
  root.addEventListener("htmx:after:swap", () => page?.goOn());
  root.addEventListener("htmx:error", () => page?.stay());
  window.addEventListener("beforeunload", (event) => { if (page?.isRefused) event.preventDefault(); });
  window.addEventListener("pagehide", () => page?.sendOff());
}

class ScriptPage {
  #saved;
  #pause;
  #settle;
  #way;
  #wasRefused = false;

  constructor(form) {
    this.form = form;
    this.state = form.querySelector("#script-state");
    this.areas = [...form.querySelectorAll("textarea")];
    // A browser may have put back what was typed before a reload: saved is what the page came with.
    this.#saved = new Map(this.areas.map((area) => [area.name, area.defaultValue]));
    this.areas.forEach(grow);
    form.addEventListener("input", (event) => this.#typed(event.target));
    form.addEventListener("submit", () => clearTimeout(this.#settle), { capture: true });
    form.addEventListener("htmx:before:request", (event) => this.#asked(event));
    form.addEventListener("htmx:after:request", (event) => this.#answered(event));
    if (this.isUnsaved) this.#typed(this.areas[0]);
  }

  get isUnsaved() {
    return this.areas.some((area) => area.value !== this.#saved.get(area.name));
  }

  get isRefused() {
    return this.#wasRefused && this.form.isConnected && this.isUnsaved;
  }

  #typed(area) {
    grow(area);
    this.stay();
    clearTimeout(this.#pause);
    clearTimeout(this.#settle);
    this.#pause = setTimeout(() => this.state.dispatchEvent(new Event("paused")), PAUSE_MS);
    this.#settle = setTimeout(() => this.form.requestSubmit(), SETTLE_MS);
  }

  #asked(event) {
    const { ctx } = event.detail;
    if (ctx.sourceElement === this.form) ctx.typed = this.#texts();
  }

  #answered(event) {
    const { ctx } = event.detail;
    if (ctx.sourceElement !== this.form) return;
    this.#wasRefused = !ctx.response?.raw.ok;
    if (!this.#wasRefused) this.#saved = ctx.typed;
  }

  #texts() {
    return new Map(this.areas.map((area) => [area.name, area.value]));
  }

  hold(event) {
    const way = event.target.closest?.("a[href], button");
    if (!way || !this.isUnsaved || (this.form.contains(way) && way.matches("button"))) return;
    if (event.button || event.ctrlKey || event.metaKey || event.shiftKey) return;
    if (way.getAttribute("href")?.startsWith("#")) return;
    // What cannot be saved must not lock anybody in: the browser asks before it leaves.
    if (this.isRefused && way.matches("a:not([hx-get])")) return;
    event.preventDefault();
    event.stopImmediatePropagation();
    this.form.requestSubmit();
    this.#way = way;
  }

  goOn() {
    const way = this.isUnsaved ? undefined : this.#way;
    if (!way) return;
    this.stay();
    way.click();
  }

  stay() {
    this.#way = undefined;
  }

  sendOff() {
    if (!this.form.isConnected || !this.isUnsaved) return;
    // A beacon carries little: only what was changed goes with it.
    const changed = this.areas.filter((area) => area.value !== this.#saved.get(area.name));
    const fields = new URLSearchParams();
    for (const area of changed) {
      const seen = area.name.replace("said-", "seen-");
      fields.append(area.name, area.value);
      fields.append(seen, this.form.elements[seen].value);
    }
    navigator.sendBeacon(this.form.action, fields);
  }
}

function grow(area) {
  if (GROWS_BY_ITSELF) return;
  while (area.scrollHeight > area.clientHeight && area.rows < 400) area.rows += 1;
}
