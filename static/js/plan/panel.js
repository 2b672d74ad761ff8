// The panel beside the plan stays while one taps in it: each tap is saved as an edit of its own, one
// after the other. What was tapped is seen at once, what follows of it once the server says so, and
// the page is drawn anew when nobody taps any more.

import { askFor } from "../frame/ask.js";
import { showTrouble } from "../frame/trouble.js";
import { planned } from "../run/words.js";
import { follow } from "./follow.js";

const QUIET_MS = 350;

let last = Promise.resolve();
let waiting = 0;
let unseen = 0;
let timer;
let focused = "";

export function connectPanel(root) {
  connectLegend(root);
  for (const strip of root.querySelectorAll("[data-opens]")) {
    strip.addEventListener("click", () => root.getElementById(`look-${strip.dataset.opens}`)?.click());
  }
  for (const form of root.querySelectorAll("form[data-stays]")) {
    if (form.dataset.connected) continue;
    form.dataset.connected = "yes";
    form.addEventListener("submit", (event) => tap(root, form, event));
  }
  // Taps that the page drawn anew does not know of yet.
  if (waiting) show(root, unseen);
  if (focused) root.getElementById(focused)?.focus({ preventScroll: true });
  focused = "";
}

// What explains the tape lies over the page: a touch elsewhere, or Escape, closes it.
function connectLegend(root) {
  const legend = root.querySelector("details.legend");
  if (!legend) return;
  const close = () => { legend.open = false; };
  root.querySelector("main").onclick = (event) => legend.contains(event.target) || close();
  legend.addEventListener("keydown", (event) => {
    if (event.key !== "Escape" || !legend.open) return;
    event.stopPropagation();
    close();
    legend.querySelector("summary").focus();
  });
}

function tap(root, form, event) {
  event.preventDefault();
  const body = new URLSearchParams(new FormData(form, event.submitter));
  const tape = root.querySelector("svg[data-held]");
  const seconds = "nudge" in form.dataset ? Number(event.submitter.value) : 0;
  if (seconds && tape) body.set("span", tape.dataset.span);
  clearTimeout(timer);
  waiting += 1;
  unseen += seconds;
  show(root, seconds);
  const url = form.getAttribute("action");
  const button = event.submitter?.id;
  last = last.then(() => send(root, url, body, seconds, button));
}

function show(root, seconds) {
  const shown = root.getElementById("nudged");
  if (!shown || !seconds) return;
  shown.dataset.seconds = Math.max(Number(shown.dataset.seconds) + seconds, 0);
  shown.textContent = planned(Number(shown.dataset.seconds));
}

async function send(root, url, body, seconds, button) {
  try {
    const answer = await fetch(url, { method: "POST", body, redirect: "manual" });
    const tape = root.querySelector("svg[data-held]");
    if (answer.status === 422) showTrouble(faultIn(await answer.text()));
    else if (answer.type !== "opaqueredirect" && !answer.ok) throw new Error(answer.status);
    else if (answer.ok && tape) followed(tape, await answer.json());
  } catch {
    showTrouble("The app cannot be reached just now. That was not saved: try again.");
  }
  waiting -= 1;
  unseen -= seconds;
  if (waiting) return;
  timer = setTimeout(() => redraw(button), QUIET_MS);
}

function followed(tape, answer) {
  if (answer.places) follow(tape, answer);
}

function faultIn(html) {
  const page = new DOMParser().parseFromString(html, "text/html");
  return page.querySelector(".fault")?.textContent.trim() ?? "That cannot be.";
}

async function redraw(button) {
  if (!document.querySelector("[data-panel] form[data-stays]")) return;
  if (document.activeElement?.id === button) focused = button ?? "";
  await askFor(location.pathname + location.search);
}
