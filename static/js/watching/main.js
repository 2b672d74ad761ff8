// The page of one who watches: joins stream, journal, run and screen. What is recorded here is on
// this device first and sent until the server has it, as the presenter's marks are, but apart.

import { deviceId } from "../run/device.js";
import { uuid7 } from "../run/ids.js";
import { IndexedStore, REMARKS_DATABASE } from "../run/indexed_store.js";
import { Journal } from "../run/journal.js";
import { LocalStore, REMARKS_PREFIX } from "../run/local_store.js";
import { partsOf } from "../run/nodes.js";
import { rescueOthers } from "../run/rescue.js";
import { Sender } from "../run/sender.js";
import { Feed } from "./feed.js";
import { connectGround } from "./ground.js";
import { RunClock } from "./run_clock.js";
import { connectTools } from "./tools.js";
import { WatchPainter } from "./watch_paint.js";
import { WatchedRun } from "./watched_run.js";

const PAINT_EVERY_MS = 200;
// The clocks of a device differ by less from one look to the next, unless it slept.
const SLEPT_MS = 1000;

const data = JSON.parse(document.getElementById("run-data").textContent);
const parts = partsOf(document);
const local = new LocalStore(REMARKS_PREFIX);
const indexed = new IndexedStore(REMARKS_DATABASE);
const ids = { deviceId: await deviceId(indexed, Date.now()), bootId: uuid7(Date.now()) };
const journal = new Journal(data.run_id, local, indexed);
const clock = new RunClock();
const painter = new WatchPainter(data, parts, ids.deviceId);

let isKept = true;
let clocksApartMs = Date.now() - performance.now();
let paintTools = () => {};

await journal.load([]);
const run = new WatchedRun(data, journal, clock, ids);
const sender = new Sender(data.urls.events, journal, {
  deviceId: ids.deviceId,
  onChange: onSent,
});
const feed = new Feed(data.urls, ids.bootId, {
  onMark: (event, receivedMs) => {
    run.take(event, receivedMs);
    paintRun();
  },
  onPulse: ({ elapsed_ms, server_ms }) => {
    clock.sighted(elapsed_ms, server_ms);
    clock.heard(server_ms, performance.now());
  },
  onPing: ({ server_ms }) => clock.heard(server_ms, performance.now()),
  onState: () => {
    if (feed.state === "live") sender.kick();
    paintClock();
  },
});

connectGround(parts);
paintTools = connectTools({ data, parts, run, record });
connectWorld();
paintRun();
feed.open();
sender.kick();
rescueOthers(local, indexed, Date.now(), { runId: data.run_id });

function record(kind, fields, atMs) {
  run.record(kind, fields, atMs).then((stored) => {
    isKept = isKept && stored;
  });
  sender.kick();
  paintRun();
}

function onSent() {
  if (journal.pending.length === 0) journal.tidy();
  paintClock();
}

function paintRun() {
  painter.run(run);
  paintTools();
  paintClock();
}

function paintClock() {
  noticeSleep();
  painter.clock(run, {
    feed: feed.state,
    silentMs: clock.silentAt(performance.now()),
    openMs: performance.now(),
    unsent: journal.pending.length,
    isKept,
  });
}

function connectWorld() {
  setInterval(paintClock, PAINT_EVERY_MS);
  addEventListener("resize", () => painter.resized());
  addEventListener("online", onReturn);
  addEventListener("pageshow", onReturn);
  addEventListener("pagehide", () => {
    sender.farewell();
    feed.close();
  });
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) feed.close();
    else onReturn();
  });
}

function noticeSleep() {
  const apartMs = Date.now() - performance.now();
  if (apartMs - clocksApartMs > SLEPT_MS) clock.slept(apartMs - clocksApartMs, performance.now());
  clocksApartMs = apartMs;
}

function onReturn() {
  noticeSleep();
  feed.close();
  feed.open();
  sender.kick();
}
