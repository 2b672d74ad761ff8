// The service worker: lets a stage, or the cue cards, that were opened once open again while the
// server is away, and says so honestly for every other page. Served as /sw.js with VERSION, FILES and
// OFFLINE_PAGE before it, and caches.js; VERSION is a hash of all that is kept, so a changed file is
// a changed worker.
//
// The server always comes first. What is kept is used only when it does not answer: an update is
// never hidden behind an old copy. Answers of the API and whatever changes something pass by.

const CACHE = cacheOf(VERSION);
const MOST_STAGES = 20;
// A dead wifi hangs for minutes. Once it has hung, the other files of the page do not wait again.
const ANSWER_WITHIN_MS = 3000;
const AWAY_FOR_MS = 10_000;

let awayUntilMs = 0;

addEventListener("install", (event) => event.waitUntil(install()));
addEventListener("activate", (event) => event.waitUntil(takeOver()));
addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  url.hash = ""; // Only the page itself reads it.
  if (request.method !== "GET" || url.origin !== location.origin) return;
  if (request.mode === "navigate") {
    event.respondWith(isKeptPage(url) ? stagePage(url) : otherPage(request));
  } else if (url.pathname.startsWith("/static/")) {
    event.respondWith(file(request));
  }
});

async function install() {
  const cache = await caches.open(CACHE);
  await cache.addAll([...FILES, OFFLINE_PAGE].map((url) => new Request(url, { cache: "reload" })));
  await skipWaiting();
}

// Stages kept by a former version are fetched anew: page and modules must fit each other.
async function takeOver() {
  await clients.claim();
  const former = (await ourNames()).filter((name) => name !== CACHE);
  const stages = new Set(await openStages());
  for (const name of former) {
    for (const { url } of await (await caches.open(name)).keys()) {
      if (isKeptPage(url)) stages.add(url);
    }
  }
  await Promise.all([...stages].map(renew));
  await Promise.all(former.map((name) => caches.delete(name)));
}

// The stage that was open when this worker came, which did not go through it.
async function openStages() {
  const pages = await clients.matchAll({ type: "window", includeUncontrolled: true });
  return pages.map((page) => page.url).filter(isKeptPage);
}

async function renew(url) {
  const kept = await caches.match(url);
  try {
    await keep(url, await fresh(url));
  } catch {
    if (kept) await keep(url, kept);
  }
}

async function stagePage(url) {
  try {
    const answer = await inTime(fresh(url.href));
    await keep(url.href, answer.clone());
    return answer;
  } catch {
    noteAway();
    return (await caches.match(url.href)) ?? caches.match(OFFLINE_PAGE);
  }
}

async function otherPage(request) {
  try {
    return await fetch(request);
  } catch {
    return caches.match(OFFLINE_PAGE);
  }
}

async function file(request) {
  const kept = await caches.match(request, { cacheName: CACHE });
  if (!kept) return fetch(request);
  if (Date.now() < awayUntilMs) return kept;
  try {
    return await inTime(fetch(request));
  } catch {
    noteAway();
    return kept;
  }
}

function noteAway() {
  awayUntilMs = Date.now() + AWAY_FOR_MS;
}

// Past the browser's own cache, which may hold the page for an hour.
function fresh(url) {
  return fetch(url, { cache: "no-cache", redirect: "manual" });
}

async function keep(url, answer) {
  const cache = await caches.open(CACHE);
  if (answer.ok) {
    await cache.delete(url);
    await cache.put(url, answer);
    await forgetOldest(cache);
  } else if ([403, 404, 410].includes(answer.status)) {
    await cache.delete(url);
  }
}

async function forgetOldest(cache) {
  const stages = (await cache.keys()).filter(({ url }) => isKeptPage(url));
  for (const { url } of stages.slice(0, -MOST_STAGES)) await cache.delete(url);
}

function inTime(answer) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Error("no answer in time")), ANSWER_WITHIN_MS);
    answer.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
