// On every page of the app: sends marks that a stage page, closed while the server was away, left
// on this device, and remarks that a page for watching left; says quietly what the server lacks.

import { saveMarks } from "./download.js";
import { IndexedStore, REMARKS_DATABASE } from "./indexed_store.js";
import { LocalStore, REMARKS_PREFIX } from "./local_store.js";
import { rescueOthers } from "./rescue.js";
import { unsentWords } from "./signs.js";

const TRY_AGAIN_MS = 15_000;
// What may pass by itself: the server comes back, or the device is let in again.
const AGAIN = new Set(["offline", "shut"]);

const note = document.getElementById("unsent");
const words = note.querySelector("p");
const SHELVES = [
  [new LocalStore(), new IndexedStore()],
  [new LocalStore(REMARKS_PREFIX), new IndexedStore(REMARKS_DATABASE)],
];
let unsent = [];
let timer = null;
let isBusy = false;

async function deliver() {
  if (isBusy) return;
  isBusy = true;
  clearTimeout(timer);
  const left = await Promise.all(SHELVES.map((shelf) => rescueOthers(...shelf, Date.now())));
  unsent = left.flat();
  isBusy = false;
  paint();
  if (unsent.some(({ trouble }) => AGAIN.has(trouble))) timer = setTimeout(deliver, TRY_AGAIN_MS);
}

function paint() {
  const wasShown = !note.hidden;
  note.hidden = unsent.length === 0 && !wasShown;
  note.dataset.open = String(unsent.length > 0);
  const { person, accounts } = document.body.dataset;
  const who = accounts === undefined ? undefined : person;
  words.textContent = unsent.length > 0 ? unsentWords(unsent, who) : "All marks are on the server now.";
}

note.addEventListener("click", ({ target }) => {
  if (target.dataset.do === "send") deliver();
  if (target.dataset.do === "save") for (const { runId, events } of unsent) saveMarks(runId, events);
});
addEventListener("online", deliver);
deliver();
