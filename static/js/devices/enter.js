// On the page that asks to be let in: uses what the link that was scanned carries behind its "#",
// and clears away what earlier visits kept of pages. Marks are kept elsewhere, and stay.

import { forgetPages } from "../frame/offline/caches.js";

const LONGEST_CODE = 12;

const form = document.querySelector("[data-enter]");
const link = document.querySelector("[data-link]");
addEventListener("hashchange", take);
if (form.dataset.stranger === "yes") forgetPages();
take();

function take() {
  const carried = decodeURIComponent(location.hash.slice(1));
  if (!carried) return;
  // Not to be found in the history of a browser that others use too.
  history.replaceState(null, "", location.pathname);
  const [field, sent] = carried.length > LONGEST_CODE ? [link.secret, link] : [form.code, form];
  field.value = carried;
  sent.requestSubmit();
}
