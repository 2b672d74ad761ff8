// Connects touch, keys and buttons to what they do.

import { listenToKeys } from "./keys.js";
import { isPalm, isPress } from "./presses.js";

// What a touch presses by itself, and what lies between: a finger that misses there wants no Next.
const NOT_NEXT = ".controls, .processes, .due, .choice";
const HELD_MS = 800;

export function connectControls(context) {
  const { data, parts, stage, sound, panel, preferences, onDownload, onTakeOver } = context;
  const own = {
    cues: () => switchCues(preferences, stage),
    download: onDownload,
    "full-screen": toggleFullScreen,
    "take-over": onTakeOver,
    "try-call": () => tryCall(sound, data.rules.time_calls),
    "set-up": () => panel.open(),
    learn: (action) => panel.learn(action),
    forget: () => panel.forget(),
  };
  const doIt = (action, detail) => (action in own ? own[action](detail) : stage.act(action, detail));
  connectTouch(parts, stage);
  addEventListener("click", (event) => onClick(event, parts, doIt));
  listenToKeys(preferences, (action) => stage.means(action), (action) => doIt(action, null));
  connectLinks(parts, data);
}

// The moment of the touch is the mark, not that of letting go.
function connectTouch(parts, stage) {
  parts.touch.addEventListener("pointerdown", (event) => {
    if (!isPress(event) || event.target.closest(NOT_NEXT)) return;
    if (isPalm(event)) stage.refuse("palm");
    else if (stage.act("next") && event.target.closest("[data-next]")) offerSkip(event.pointerId, stage);
  });
  addEventListener("pointerdown", ({ target }) => stage.touched(target), { capture: true });
  // A long touch is ours.
  parts.touch.addEventListener("contextmenu", (event) => event.preventDefault());
}

// Next held down asks for more than one.
function offerSkip(pointerId, stage) {
  const timer = setTimeout(() => {
    end();
    stage.act("skip");
  }, HELD_MS);
  const onEnd = (event) => event.pointerId === pointerId && end();
  const end = () => {
    clearTimeout(timer);
    for (const kind of ["pointerup", "pointercancel"]) removeEventListener(kind, onEnd);
  };
  for (const kind of ["pointerup", "pointercancel"]) addEventListener(kind, onEnd);
}

function onClick(event, parts, doIt) {
  const control = event.target.closest("[data-do], [data-next]");
  if (!control) return;
  const { do: action, process, what, segment } = control.dataset;
  if (control !== parts.next) {
    doIt(action, process ?? what ?? segment ?? null);
  } else if (event.detail === 0) {
    // A press without a finger: a screen reader or a switch. A touch was taken at its start.
    doIt("next", null);
  }
  // Focus stays where Tab put it, not where a finger did: see keys.js.
  if (event.detail > 0) control.blur();
}

function switchCues(preferences, stage) {
  preferences.set("cues", preferences.isOn("cues") ? "off" : "on");
  stage.act("close");
}

function tryCall(sound, calls) {
  sound.wake();
  sound.call(calls[0]?.words ?? "One minute");
}

function connectLinks(parts, { urls, from_run: fromRun }) {
  parts.leave.href = urls.rehearse;
  parts.rehearse.href = urls.rehearse;
  parts.review.href = urls.review;
  // Others can join what the server knows of; a run made here it learns of with the start.
  if (parts["let-watch"]) parts["let-watch"].hidden = fromRun !== null;
}

function toggleFullScreen() {
  const page = document.documentElement;
  const change = document.fullscreenElement ? document.exitFullscreen() : page.requestFullscreen?.();
  change?.catch(() => {});
}
