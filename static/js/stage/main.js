// The stage page: joins the run, its journal and sender, the controls and the screen. Everything
// it needs is on the page when it starts; from then on the server may come and go.

import { renewKept } from "../frame/offline/kept.js";
import { connectAppearance } from "./appearance.js";
import { after } from "../run/after.js";
import { Asked } from "./asked.js";
import { deviceClocks } from "../run/clock.js";
import { connectControls } from "./controls.js";
import { CountIn } from "./count_in.js";
import { Device } from "./device/device.js";
import { downloadMarks } from "../run/download.js";
import { DueList } from "./due_list.js";
import { keepFitted } from "./fit.js";
import { connectLookAtRun, connectRehearseAgain } from "./from_here.js";
import { keptRun } from "./kept_run.js";
import { LiveRun } from "../run/live/live_run.js";
import { OtherDevice } from "./other_device.js";
import { partsOf } from "../run/nodes.js";
import { Painter } from "./paint.js";
import { paintCountIn } from "./paint_count_in.js";
import { paintSigns, paintWatching } from "./paint_signs.js";
import { Panel } from "./panel.js";
import { Preferences } from "./preferences.js";
import { startPulse } from "./pulse.js";
import { connectRecorder } from "../recorder/panel.js";
import { rescueOthers } from "../run/rescue.js";
import { addressOfStage, readRunData } from "../run/run_data.js";
import { Screen } from "./screen.js";
import { signsOf } from "../run/signs.js";
import { Stage } from "./stage.js";
import { Timekeeper } from "./timekeeper.js";
import { looksForgotten } from "../run/view_state.js";
import { passed } from "../run/words.js";
import { connectWorld } from "./world.js";

// An old copy of this page may not know that its run has started: ask, but not for long.
const ASK_WITHIN_MS = 1000;

const data = readRunData(document.getElementById("run-data").textContent, location.hash);
const parts = partsOf(document);
const painter = new Painter(parts);
const { local, indexed, journal, serverClock, deviceId, sender } = await keptRun(data, {
  onChange: showSigns,
  onTold: () => run?.refresh(),
});
const preferences = new Preferences();
const device = new Device(data, preferences, { onScreen: showSigns, onMusic: () => onMusic() });
const { sound, music, wake } = device;
const timekeeper = new Timekeeper(data.rules.time_calls, onCall);
const panel = new Panel({ data, parts, preferences, sound, music });
let run = null;
let screen = null;
let recording = null;
let isStored = true;
let isPutAway = false;

connectAppearance(preferences, parts, () => screen?.redraw());
keepFitted();

await journal.load(data.events);
await Promise.race([sender.fetchKnown(), after(ASK_WITHIN_MS)]);
run = new LiveRun(data, journal, { clocks: deviceClocks, serverClock, deviceId, onShown });
const other = new OtherDevice({ run, sender, serverClock, parts });
screen = new Screen({ data, run, parts, painter, journal, timekeeper, panel, preferences });
const countIn = new CountIn({
  clocks: deviceClocks,
  sound,
  onShow: (seconds) => paintCountIn(parts, seconds),
  onEnd: (at) => stage.startAt(at),
});
const stage = new Stage({ data, run, parts, painter, journal, preferences, countIn, onMark });
const due = new DueList({ data, run, parts, onMark });
const asked = new Asked({ data, run, journal, parts, onMark });
recording = data.try_out ? null : connectRecorder({ data, run, parts });
const onDownload = () => downloadMarks(data, journal.events);
const onTakeOver = () => other.takeOver();
connectControls({ data, parts, stage, sound, panel, preferences, onDownload, onTakeOver });
connectRehearseAgain(parts.rehearse, data);
connectLookAtRun(parts.review, journal, data);
connectWorld({ data, run, journal, sender, local, other, onBeat: beat, onPress: () => device.press() });
run.refresh();
screen.start();
music.load();
if (!data.try_out) startPulse(data.urls.pulse, run, (number) => paintWatching(parts, number));
askAboutForgotten();
rescueOthers(local, indexed, Date.now(), { runId: data.run_id });

function onShown() {
  screen.follow();
  due.paint();
  other.paint();
  device.follow(run);
  recording?.follow();
  asked.follow();
  showSigns();
  if (journal.pending.length > 0) {
    sender.kick();
  } else if (run.shown.total_ms !== null) {
    putAway();
  }
}

// From here on the server tells what became of the run, and so does the copy that opens without it.
async function putAway() {
  await journal.tidy();
  if (isPutAway) return;
  isPutAway = true;
  renewKept(addressOfStage(data.run_id));
}

function onCall(words) {
  sound.call(words);
  painter.say(words);
}

function onMusic() {
  panel.refresh();
  showSigns();
}

function beat() {
  if (run.shown.status === "running" && run.holds) {
    stage.advance();
    timekeeper.look(run.elapsedMs);
  }
  device.play(run);
}

function onMark(stored) {
  sender.kick();
  stored.then((value) => {
    isStored = isStored && value;
    showSigns();
  });
}

function showSigns() {
  const unsent = journal.pending.length;
  const kept = journal.events.length - unsent;
  const { try_out: isTryOut } = data;
  const seen = { sender: sender.state, wake, isStored, musicState: music.state, isTryOut };
  paintSigns(parts, signsOf({ unsent, kept, ...seen }));
}

function askAboutForgotten() {
  if (!run.holds || !looksForgotten(data, run.state, run.elapsedMs)) return;
  stage.stopIf(`This run was started ${passed(run.elapsedMs)} ago and never finished.`);
}
