// On every page of the app: sends recordings that a stage page left on this device, and says so on
// the page of their run.

import { canRecord } from "./microphone.js";
import { newsOf } from "./words.js";
import { TakeStore } from "./store.js";
import { Uploader } from "./upload.js";

function tell({ take, state, share, message }) {
  const box = document.querySelector(`[data-recording-news="${take.run_id}"]`);
  if (!box) return;
  box.hidden = false;
  box.textContent = newsOf(state, share, message);
  if (state === "sent") offerReload(box);
}

function offerReload(box) {
  const link = document.createElement("a");
  link.href = location.pathname;
  link.textContent = "Load the page again to hear it.";
  box.append(" ", link);
}

// A browser that cannot record has nothing to send.
if (canRecord()) {
  const uploader = new Uploader(new TakeStore(), tell);
  uploader.kick().catch(() => {});
  addEventListener("online", () => uploader.kick());
}
