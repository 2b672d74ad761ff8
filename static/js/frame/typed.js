// Nothing that was typed is dropped unasked: not by a link, by a button of another form, by Escape
// or by Back. A closed tab is asked about by the browser itself.

import { isTypedIn } from "./fields.js";

// A form that only asks holds a text that took its time as well: a pasted recipe is written there.
const GUARDED =
  'main :is(form.form, form.quick-add):is([method="post"], :has(textarea)):not([data-script])';
const REFUSED = '[aria-invalid="true"], .fault:not([hidden], [hidden] *), .clash';
// What was pasted and read is in no field that differs, and is saved nowhere.
const READ = "[data-unsaved]";

// Their texts may go: the person said so, or they are under way.
const released = new WeakSet();

export function guardTyped(root) {
  root.addEventListener("click", (event) => holdLink(root, event), { capture: true });
  root.addEventListener("submit", (event) => holdForm(root, event), { capture: true });
  root.addEventListener("input", (event) => released.delete(event.target.form));
  window.addEventListener("beforeunload", (event) => {
    if (unsaved(root).length) event.preventDefault();
  });
}

/** Resolves to whether what is typed on the page may go: nothing is, or the person says so. */
export async function mayDrop(root) {
  const forms = unsaved(root);
  if (forms.length && !(await ask(root.getElementById("unsaved")))) return false;
  forms.forEach((form) => released.add(form));
  return true;
}

function unsaved(root, besides) {
  return [...root.querySelectorAll(GUARDED)].filter((form) => form !== besides && isTyped(form));
}

// A form that was refused is drawn with what was typed, which then no longer differs.
function isTyped(form) {
  if (released.has(form)) return false;
  if (form.matches(READ)) return true;
  return form.querySelector(REFUSED) !== null || [...form.elements].some(isTypedIn);
}

function holdLink(root, event) {
  const link = event.target.closest?.("a[href]");
  if (!link || link.target || link.hasAttribute("download")) return;
  if (event.button || event.ctrlKey || event.metaKey || event.shiftKey) return;
  if (link.getAttribute("href").startsWith("#") || !unsaved(root).length) return;
  hold(root, event, () => link.click());
}

function holdForm(root, event) {
  const form = event.target;
  if (form.method === "dialog") return;
  if (unsaved(root, form).length) hold(root, event, () => form.requestSubmit(event.submitter));
  // A form that htmx sends is still there if that fails; any other leads to another page.
  else if (!form.matches("[hx-post], [hx-get]")) released.add(form);
}

async function hold(root, event, goOn) {
  event.preventDefault();
  event.stopImmediatePropagation();
  if (await mayDrop(root)) goOn();
}

function ask(dialog) {
  if (dialog.open) return Promise.resolve(false);
  dialog.returnValue = "";
  dialog.showModal();
  return new Promise((resolve) => {
    dialog.addEventListener("close", () => resolve(dialog.returnValue === "drop"), { once: true });
  });
}
