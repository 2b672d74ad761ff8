// The stages that this device keeps, and what can be done with each while the server is away.

import { fold } from "../../run/fold.js";
import { IndexedStore } from "../../run/indexed_store.js";
import { LocalStore } from "../../run/local_store.js";
import { heldByRun } from "../../run/rescue.js";
import { addressOfNewRun, addressOfStage, outlineOf } from "../../run/run_data.js";
import { inOrder } from "../../run/times.js";
import { isKeptPage, ourCaches } from "./caches.js";

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
const WAYS = { waiting: "Rehearse", running: "Go on with it", finished: "Look", abandoned: "Look" };

/** Has the copy of a stage that is kept here, if there is any, say what became of its run. */
export async function renewKept(path) {
  if (!navigator.serviceWorker?.controller) return;
  try {
    const answer = await fetch(path, { cache: "no-cache" });
    if (!answer.ok) return;
    for (const cache of await ourCaches()) await cache.put(path, answer.clone());
  } catch {
    // The server has just gone: the copy stays as it is.
  }
}

/** Fills a list with the runs whose stage can be opened here; says so where there is none. */
export async function showKept(list) {
  const runs = await keptRuns();
  if (runs.length > 0) list.replaceChildren(...runs.map(lineOf));
}

// Latest first: those of kept stages, and those that were begun here by the plan of one.
async function keptRuns() {
  const held = await heldByRun(new LocalStore(), new IndexedStore());
  const pages = await keptPages();
  const begun = [...held].flatMap(([id, events]) => {
    const from = events.find((event) => event.from_run)?.from_run;
    const page = from && !pages.has(id) ? pages.get(from) : null;
    return page ? [runOf({ ...page, events: [] }, events, addressOfNewRun(from, id))] : [];
  });
  const opened = [...pages].map(([id, page]) =>
    runOf(page, held.get(id) ?? [], addressOfStage(id)),
  );
  return [...begun, ...opened].sort((a, b) => b.atMs - a.atMs);
}

// Run id -> what its kept page knows, and when it was opened.
async function keptPages() {
  const pages = new Map();
  for (const cache of await ourCaches()) {
    for (const { url } of await cache.keys()) {
      if (isKeptPage(url)) {
        const page = await readPage(await cache.match(url));
        if (page) pages.set(page.run_id, page);
      }
    }
  }
  return pages;
}

async function readPage(answer) {
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  const data = page.getElementById("run-data");
  if (!data) return null;
  const openedMs = Date.parse(answer.headers.get("Date") ?? "") || 0;
  return { ...JSON.parse(data.textContent), openedMs };
}

function runOf(page, events, address) {
  const all = new Map([...page.events, ...events].map((event) => [event.id, event]));
  const log = inOrder([...all.values()]);
  const { status } = fold(log, outlineOf(page));
  const atMs = log.find(({ kind }) => kind === "start")?.wall_ms ?? page.openedMs;
  return { name: page.routine_name, status, atMs, address, again: addressOfNewRun(page.run_id) };
}

function lineOf({ name, status, atMs, address, again }) {
  const line = document.createElement("li");
  line.className = "row-line";
  const words = document.createElement("p");
  const title = document.createElement("b");
  title.dir = "auto";
  title.textContent = name;
  words.append(title, `, ${stateWords(status, atMs)}`);
  const ways = document.createElement("p");
  ways.className = "actions";
  const isOver = WAYS[status] === "Look";
  ways.append(wayTo(address, WAYS[status], name, isOver ? "button quiet" : "button"));
  if (isOver) ways.append(" ", wayTo(again, "Rehearse again", name, "button"));
  line.append(words, ways);
  return line;
}

function stateWords(status, atMs) {
  if (status === "waiting") return atMs > 0 ? `opened ${moment(new Date(atMs))}` : "not started";
  return status === "running" ? `under way since ${moment(new Date(atMs))}` : `run of ${moment(new Date(atMs))}`;
}

function wayTo(address, words, name, look) {
  const link = document.createElement("a");
  link.className = look;
  link.href = address;
  link.textContent = words;
  link.setAttribute("aria-label", `${words}: ${name}`);
  return link;
}

// As the server writes a moment on every page: "24 Nov 2026, 14:05".
export function moment(at) {
  const two = (number) => String(number).padStart(2, "0");
  const month = MONTHS[at.getMonth()];
  return `${at.getDate()} ${month} ${at.getFullYear()}, ${two(at.getHours())}:${two(at.getMinutes())}`;
}
