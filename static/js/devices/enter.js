// On the page that asks to be let in: uses what the link that was scanned carries behind its "#",
// and clears away what earlier visits kept of pages. Marks are kept elsewhere, and stay.

const LONGEST_CODE = 12;
const OURS = /^ninefifty-/;
const STAGE = /^\/runs\/[\w-]+\/stage$/;

const form = document.querySelector("[data-enter]");
const link = document.querySelector("[data-link]");
addEventListener("hashchange", take);
if (form.dataset.shut === "yes") forgetStages();
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

async function forgetStages() {
  if (!("caches" in window)) return;
  for (const name of (await caches.keys()).filter((each) => OURS.test(each))) {
    const cache = await caches.open(name);
    for (const { url } of await cache.keys()) {
      if (STAGE.test(new URL(url).pathname)) await cache.delete(url);
    }
  }
}
