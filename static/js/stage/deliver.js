// On every page of the app: sends marks that a stage page, closed while the server was away, left
// on this device, and says quietly what the server still lacks.

import { saveMarks } from "./download.js";
import { IndexedStore } from "./indexed_store.js";
import { LocalStore } from "./local_store.js";
import { rescueOthers } from "./rescue.js";
import { unsentWords } from "./signs.js";

const TRY_AGAIN_MS = 15_000;

const note = document.getElementById("unsent");
const words = note.querySelector("p");
const local = new LocalStore();
const indexed = new IndexedStore();
let unsent = [];
let timer = null;
let isBusy = false;

async function deliver() {
  if (isBusy) return;
  isBusy = true;
  clearTimeout(timer);
  unsent = await rescueOthers(local, indexed, Date.now());
  isBusy = false;
  paint();
  if (unsent.some(({ trouble }) => trouble === null)) timer = setTimeout(deliver, TRY_AGAIN_MS);
}

function paint() {
  const wasShown = !note.hidden;
  note.hidden = unsent.length === 0 && !wasShown;
  note.dataset.open = String(unsent.length > 0);
  words.textContent = unsent.length > 0 ? unsentWords(unsent) : "All marks are on the server now.";
}

note.addEventListener("click", ({ target }) => {
  if (target.dataset.do === "send") deliver();
  if (target.dataset.do === "save") for (const { runId, events } of unsent) saveMarks(runId, events);
});
addEventListener("online", deliver);
deliver();
