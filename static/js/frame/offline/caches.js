// The caches of this app in a browser, and which of the pages in them are somebody's. The service
// worker, which imports no module, is served with this text before its own.

const OURS = "ninefifty-";
const KEPT_PAGE = /^\/(runs\/[\w-]+\/stage|routines\/[\w-]+\/learn\/cards)$/;

/** The name of the cache that a version of the app keeps all in. */
export function cacheOf(version) {
  return OURS + version;
}

/** The names of the app's caches, also of those that other versions left; none over plain http. */
export async function ourNames(storage = globalThis.caches) {
  return storage ? (await storage.keys()).filter((name) => name.startsWith(OURS)) : [];
}

/** The app's caches, opened. */
export async function ourCaches(storage = globalThis.caches) {
  const names = await ourNames(storage);
  return Promise.all(names.map((name) => storage.open(name)));
}

/** Whether an address is that of a page which opens without the server once it was opened. */
export function isKeptPage(address) {
  return KEPT_PAGE.test(new URL(address).pathname);
}

/** Keep no pages any longer: whoever holds the browser now may not be who opened them. */
export async function forgetPages(storage = globalThis.caches) {
  for (const cache of await ourCaches(storage)) {
    for (const request of await cache.keys()) {
      if (isKeptPage(request.url)) await cache.delete(request);
    }
  }
}
