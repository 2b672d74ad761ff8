// A browser that several people sign in at: no page that one of them opened stays for the next. Marks
// that were not sent yet stay: they are sent once whoever made them is signed in again.

import { forgetPages } from "./caches.js";

const WHO = "ninefifty-person";

/** Drops the kept pages of whoever was signed in before, where that is another than `person`. */
export async function forgetFormer(person, storage, caches) {
  const former = storage.getItem(WHO) ?? "";
  if (former && former !== person) await forgetPages(caches);
  // Only now: a page that is closed meanwhile leaves it to the next.
  storage.setItem(WHO, person);
}
