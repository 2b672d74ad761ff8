// Connects the few behaviours that a page needs beyond forms and links.

import { connectFolds } from "../prepare/folds.js";
import { connectForms } from "./forms.js";
import { connectBack } from "./back.js";
import { guardTyped } from "./typed.js";
import { connectPrinting } from "./printing.js";
import { connectKeys } from "./keys.js";
import { connectShut } from "./shut.js";
import { connectRooms } from "./rooms.js";
import { connectSaving } from "./saving.js";
import { showTrouble } from "./trouble.js";

function connect() {
  connectShut(document);
  connectFolds(document);
  connectPrinting(document);
  connectRooms(document);
}

guardTyped(document);
connectForms(document);
connectBack(document);
connectKeys(document);
connectSaving(document);
connect();
// What looks for things left on this device waits until the page itself is there.
addEventListener("load", () => {
  for (const left of ["../run/deliver.js", "../recorder/deliver.js"]) import(left).catch(() => {});
}, { once: true });
document.addEventListener("htmx:after:swap", connect);
document.addEventListener("htmx:error", () => {
  showTrouble("The app cannot be reached just now. What you typed is still here: try again.");
});
document.addEventListener("htmx:response:error", (event) => {
  const { status, headers } = event.detail.ctx.response.raw;
  const isSaid = status >= 500 && headers.get("Content-Type")?.startsWith("text/plain");
  if (status === 403 || isSaid) {
    showTrouble(`${event.detail.ctx.text} What you typed is still here.`);
    return;
  }
  if (status >= 500) {
    showTrouble("Something went wrong in the app. What you typed is still here: try again.");
  } else if (status === 413) {
    showTrouble("That is too much to be sent at once. What you typed is still here: shorten it.");
  }
});
