// On every page: brings in the service worker where the browser has one (over https, at localhost),
// and on the page shown while the server is away lists what this device can open.

import { forgetFormer } from "./former.js";

if (isSecureContext && "serviceWorker" in navigator) {
  // Never from the browser's own cache: an update must not wait for that.
  navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" }).catch(() => {});
}

// The page shown while the server is away was made for nobody in particular.
const { person } = document.body.dataset;
if (person !== undefined && !document.querySelector("[data-kept-stages]")) {
  forgetFormer(person, localStorage, globalThis.caches).catch(() => {});
}

const list = document.querySelector("[data-kept-stages]");
if (list) import("./kept.js").then(({ showKept }) => showKept(list));
