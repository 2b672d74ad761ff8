// Forms by keyboard, and the place kept: Escape leaves a form, Ctrl or Cmd with Enter saves it. What
// was saved is in view and marked for a moment, what was refused has the focus, and otherwise the
// focus goes on to what comes next, or back to the button that opened the form.

import { noted } from "./place.js";

export function connectForms(root) {
  let opener;
  let pressed;
  let putBack;
  root.addEventListener("htmx:before:swap", ({ detail: { ctx } }) => {
    if (ctx.target?.id !== "page") return;
    putBack = noted(root);
    pressed = root.activeElement?.textContent;
    opener = root.querySelector(":is(form.inline, [data-panel])[data-opener]")?.dataset.opener;
  });
  root.addEventListener("htmx:after:swap", ({ detail: { ctx } }) => {
    if (ctx.target?.id !== "page") return;
    putBack?.();
    if (showRefused(root)) return;
    const { searchParams } = new URL(ctx.response.raw.url);
    mark(root.getElementById(searchParams.get("touched")));
    bring(mark(root.getElementById(searchParams.get("saved"))));
    if (root.activeElement !== root.body) return;
    const panel = root.querySelector("[data-panel][data-opener]");
    const next = root.getElementById(searchParams.get("next"));
    if (panel) goTo(panel, root.getElementById(panel.dataset.opener));
    else if (next) goTo(alike(next, pressed), next);
    else goTo(firstOf(root.getElementById(opener)));
  });
  root.addEventListener("keydown", (event) => {
    const form = event.target.closest?.("form.inline");
    if (!form) return;
    if (event.key === "Escape") {
      event.preventDefault();  // Or it closes the question that may be asked now.
      form.querySelector("[data-cancel]")?.click();
    }
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) form.requestSubmit();
  });
  showRefused(root);
}

function showRefused(root) {
  const field = root.querySelector('main :is([aria-invalid="true"], .clash input)');
  if (!field) return false;
  for (let part = field.parentElement; part; part = part.parentElement) {
    if (part.matches("details")) part.open = true;
  }
  field.focus({ preventScroll: true });
  (field.closest(".field") ?? field).scrollIntoView({ block: "nearest" });
  return true;
}

function mark(part) {
  part?.classList.add("just-saved");
  part?.addEventListener("animationend", () => part.classList.remove("just-saved"), { once: true });
  return part;
}

// A drink is taller than the screen: its head says enough.
function bring(part) {
  (part?.querySelector("h2, h3") ?? part)?.scrollIntoView({ block: "nearest" });
}

function goTo(part, seen = part) {
  part?.focus({ preventScroll: true });
  seen?.scrollIntoView({ block: "nearest" });
}

// The same answer: whoever presses Enter again must not give another one.
function alike(line, words) {
  const buttons = [...line.querySelectorAll("button")];
  return buttons.find(({ textContent }) => textContent === words) ?? firstOf(line);
}

// What opened a form, or of a line in a list the first thing that can be touched.
function firstOf(opener) {
  return opener?.matches("li") ? opener.querySelector("button, a") : opener;
}
