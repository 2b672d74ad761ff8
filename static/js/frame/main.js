// Connects the few behaviours that a page needs beyond forms and links.

import { connectBlocks } from "../plan/blocks.js";
import { connectPanel } from "../plan/panel.js";
import { connectCountdown } from "../prepare/countdown.js";
import { connectFolds } from "../prepare/folds.js";
import { connectKit } from "../prepare/kit.js";
import { connectLearning } from "../learn/connect.js";
import { connectStation } from "../prepare/station.js";
import { connectSortables } from "./sortable.js";
import { connectLibrary } from "../drinks/library.js";
import { connectForms } from "./forms.js";
import { connectBack } from "./back.js";
import { guardTyped } from "./typed.js";
import { connectScript, guardScript } from "../script/editor.js";
import { connectPrinting } from "./printing.js";
import { connectTrack } from "../stage/track.js";
import { connectPlayers } from "../runs/player.js";
import { connectKeys } from "./keys.js";
import { connectShut } from "./shut.js";
import { connectSaving } from "./saving.js";
import { showTrouble } from "./trouble.js";

function connect() {
  connectShut(document);
  connectSortables(document);
  connectScript(document);
  connectBlocks(document);
  connectPanel(document);
  connectFolds(document);
  connectKit(document);
  connectLearning(document);
  connectCountdown(document);
  connectStation(document);
  connectPrinting(document);
  connectTrack(document);
  connectPictures();
  connectTakes();
}

// Its library is large: only a page with pictures asks for it.
async function connectPictures() {
  if (!document.querySelector("[data-pictures]")) return;
  const pictures = await import("../drift/pictures.js");
  pictures.connectPictures(document);
}

// Only few pages have a take.
async function connectTakes() {
  if (!document.querySelector("[data-take], [data-take-sound]")) return;
  const take = await import("../heard/take.js");
  take.connectTake(document);
}

guardTyped(document);
connectForms(document);
connectBack(document);
connectKeys(document);
connectSaving(document);
connectLibrary(document);
guardScript(document);
connectPlayers(document);
connect();
document.addEventListener("htmx:after:swap", connect);
document.addEventListener("htmx:error", () => {
  showTrouble("The app cannot be reached just now. What you typed is still here: try again.");
});
document.addEventListener("htmx:response:error", (event) => {
  const { status } = event.detail.ctx.response.raw;
  if (status === 403) {
    showTrouble(`${event.detail.ctx.text} What you typed is still here.`);
    return;
  }
  if (status >= 500) {
    showTrouble("Something went wrong in the app. What you typed is still here: try again.");
  } else if (status === 413) {
    showTrouble("That is too much to be sent at once. What you typed is still here: shorten it.");
  }
});
