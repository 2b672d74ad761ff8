// Connects touch, keys and buttons to what they do.

import { isMeant, listenToKeys } from "./keys.js";

export function connectControls(context) {
  const { data, parts, stage, sound, panel, preferences, onDownload, onTakeOver } = context;
  const own = {
    cues: () => preferences.set("cues", preferences.isOn("cues") ? "off" : "on"),
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
    if (isMeant(event)) stage.act("next");
  });
  const closeChoice = (event) => {
    const outside = !parts.incidents.contains(event.target) && event.target !== parts.incident;
    if (outside && !parts.incidents.hidden) stage.act("close");
  };
  addEventListener("pointerdown", closeChoice, { capture: true });
}

function onClick(event, parts, doIt) {
  const control = event.target.closest("[data-do], [data-next]");
  if (!control) return;
  const { do: action, process, what } = control.dataset;
  if (control !== parts.next) {
    doIt(action, process ?? what ?? null);
  } else if (event.detail === 0) {
    // A press without a finger: a screen reader or a switch. A touch was taken at its start.
    doIt("next", null);
  }
  // Focus stays where Tab put it, not where a finger did: see keys.js.
  if (event.detail > 0) control.blur();
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
