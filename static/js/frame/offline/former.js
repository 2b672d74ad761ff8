// A browser that several people sign in at: no page that one of them opened stays for the next. Marks
// that were not sent yet stay: they are sent once whoever made them is signed in again.

const WHO = "ninefifty-person";
const OURS = /^ninefifty-/;
const NOBODYS = /^\/(static\/|offline$)/;

/** Drops the kept pages of whoever was signed in before, where that is another than `person`. */
export async function forgetFormer(person, storage, caches) {
  const former = storage.getItem(WHO) ?? "";
  if (former && former !== person && caches) await forgetPages(caches);
  // Only now: a page that is closed meanwhile leaves it to the next.
  storage.setItem(WHO, person);
}

async function forgetPages(caches) {
  for (const name of (await caches.keys()).filter((each) => OURS.test(each))) {
    const cache = await caches.open(name);
    for (const request of await cache.keys()) {
      if (!NOBODYS.test(new URL(request.url).pathname)) await cache.delete(request);
    }
  }
}
