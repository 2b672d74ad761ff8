// Connects the pages of learning; marks that are still on the device are sent from each of them.

const KEYS = new Map([
  [" ", "next"], ["Enter", "next"], ["ArrowRight", "next"], ["ArrowDown", "next"],
  ["PageDown", "next"], ["ArrowLeft", "back"], ["PageUp", "back"], ["ArrowUp", "more"],
  ["1", "sat"], ["2", "stumbled"], ["3", "gone"],
]);

let sitting = null;
let root = null;

/** Connects the page that says the script, or the one that tells how it sits. */
export async function connectLearning(document) {
  const found = document.querySelector("[data-learn-say]");
  if (found === root && found !== null) return;
  sitting?.end();
  sitting = null;
  root = found;
  if (found !== null) {
    const { Sitting } = await import("./say.js");
    if (root === found) sitting = new Sitting(found);
    return;
  }
  const desk = document.querySelector("[data-learn]");
  if (desk !== null) await sendLate(desk);
}

addEventListener("keydown", (event) => {
  if (sitting === null || event.ctrlKey || event.altKey || event.metaKey) return;
  const action = KEYS.get(event.key);
  if (!action || belongsToFocus(event)) return;
  event.preventDefault();
  if (!event.repeat) sitting.act(action);
});

// A control reached with Tab keeps the keys that work it.
function belongsToFocus({ key, target }) {
  if (document.querySelector("dialog[open]")) return true;
  if (target.closest?.("input, textarea, select")) return true;
  const isControl = target.closest?.("button, a, summary");
  return Boolean(isControl?.matches(":focus-visible")) && (key === " " || key === "Enter");
}

async function sendLate({ dataset }) {
  const { Outbox } = await import("./outbox.js");
  const outbox = new Outbox(dataset.routine, dataset.learn);
  if (outbox.unsent === 0) return;
  if (await outbox.send()) location.reload();
}
