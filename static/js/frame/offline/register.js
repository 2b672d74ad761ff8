// On every page: brings in the service worker where the browser has one (only over https), and on
// the page shown while the server is away lists what this device can open.

if (isSecureContext && "serviceWorker" in navigator) {
  // Never from the browser's own cache: an update must not wait for that.
  navigator.serviceWorker.register("/sw.js", { updateViaCache: "none" }).catch(() => {});
}

const list = document.querySelector("[data-kept-stages]");
if (list) import("./kept.js").then(({ showKept }) => showKept(list));
