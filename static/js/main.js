// Connects the few behaviours that a page needs beyond forms and links.

import { connectSortables } from "./sortable.js";
import { connectForms } from "./forms.js";
import { showTrouble } from "./trouble.js";

function connect() {
  connectSortables(document);
}

connectForms(document);
connect();
document.addEventListener("htmx:after:swap", connect);
document.addEventListener("htmx:error", () => {
  showTrouble("The app cannot be reached just now. What you typed is still here: try again.");
});
document.addEventListener("htmx:response:error", (event) => {
  if (event.detail.ctx.response.raw.status >= 500) {
    showTrouble("Something went wrong in the app. What you typed is still here: try again.");
  }
});
