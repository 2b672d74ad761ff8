// The stage page: joins the run, its journal and sender, the controls and the screen. Everything
// it needs is on the page when it starts; from then on the server may come and go.

import { deviceClocks } from "./clock.js";
import { connectControls } from "./controls.js";
import { downloadMarks } from "./download.js";
import { uuid7 } from "./ids.js";
import { IndexedStore } from "./indexed_store.js";
import { Journal } from "./journal.js";
import { LiveRun } from "./live_run.js";
import { LocalStore, readSetting, writeSetting } from "./local_store.js";
import { Painter, partsOf } from "./paint.js";
import { startPulse } from "./pulse.js";
import { rescueOthers } from "./rescue.js";
import { Screen } from "./screen.js";
import { Sender } from "./sender.js";
import { signsOf } from "./signs.js";
import { Sound } from "./sound.js";
import { Stage } from "./stage.js";
import { looksForgotten } from "./view_state.js";
import { passed } from "./words.js";
import { ScreenWake } from "./wake.js";

const CLOCK_CHECK_MS = 1000;
// An old copy of this page may not know that its run has started: ask, but not for long.
const ASK_WITHIN_MS = 1000;

const data = JSON.parse(document.getElementById("run-data").textContent);
const parts = partsOf(document);
const painter = new Painter(parts);
const local = new LocalStore();
const indexed = new IndexedStore();
const journal = new Journal(data.run_id, local, indexed);
const sender = new Sender(data.urls.events, journal, () => run?.refresh());
const sound = new Sound(data.language);
const wake = new ScreenWake(paintSigns);
let run = null;
let isStored = true;

await journal.load(data.events);
await Promise.race([sender.fetchKnown(), after(ASK_WITHIN_MS)]);
run = new LiveRun(data, journal, deviceClocks, deviceId(), onShown);
const screen = new Screen({ data, run, parts, painter, sound });
const stage = new Stage({ data, run, parts, painter, onMark });
const onDownload = () => downloadMarks(data, journal.events);
connectControls({ data, parts, stage, sound, onDownload });
connectWorld();
run.refresh();
screen.start();
startPulse(data.urls.pulse, () => (run.state.status === "running" ? run.elapsedMs : null), painter.watching);
askAboutForgotten();
rescueOthers(local, indexed, Date.now(), {
  runId: data.run_id,
  urlOf: (runId) => data.urls.events.replace(data.run_id, runId),
});

function deviceId() {
  const kept = readSetting("device");
  if (kept) return kept;
  const made = uuid7(Date.now());
  writeSetting("device", made);
  return made;
}

function onShown() {
  screen.follow();
  wake.want(run.shown.status === "running");
  paintSigns();
  if (journal.pending.length > 0) {
    sender.kick();
  } else if (run.shown.total_ms !== null) {
    journal.tidy();
  }
}

function onMark(stored) {
  sound.wake();
  sender.kick();
  stored.then((value) => {
    isStored = isStored && value;
    paintSigns();
  });
}

function paintSigns() {
  const unsent = journal.pending.length;
  painter.signs(signsOf({ unsent, sender: sender.state, wake, isStored }));
}

function askAboutForgotten() {
  if (!looksForgotten(data, run.state, run.elapsedMs)) return;
  stage.abandonIf(`This run was started ${passed(run.elapsedMs)} ago and never finished.`);
}

// The world outside: sleep, other tabs, the network, leaving.
function connectWorld() {
  setInterval(() => run.checkClocks(), CLOCK_CHECK_MS);
  document.addEventListener("visibilitychange", () => {
    if (document.hidden) run.noteHidden();
    else onReturn();
  });
  addEventListener("pageshow", onReturn);
  addEventListener("online", () => sender.kick());
  addEventListener("pagehide", () => sender.farewell());
  addEventListener("beforeunload", (event) => {
    if (run.state.status === "running") event.preventDefault();
  });
  local.onForeign(({ runId, event }) => {
    if (runId !== data.run_id) return;
    journal.takeFromTab(event);
    run.refresh();
  });
}

function onReturn() {
  run.checkClocks();
  sender.kick();
}

function after(ms) {
  return new Promise((resolve) => {
    setTimeout(resolve, ms);
  });
}
