// Connects touch, keys and buttons to what they do.

import { listenToKeys } from "./keys.js";
import { readSetting, writeSetting } from "./local_store.js";

export function connectControls({ data, parts, stage, sound, onDownload, onTakeOver }) {
  const cues = cueSwitch(parts);
  const own = {
    cues: cues.toggle,
    download: onDownload,
    "full-screen": toggleFullScreen,
    "take-over": onTakeOver,
    "try-call": () => tryCall(sound, data.rules.time_calls),
  };
  const doIt = (action, detail) => (action in own ? own[action]() : stage.act(action, detail));
  connectTouch(parts, stage);
  addEventListener("click", (event) => onClick(event, parts, doIt));
  listenToKeys((action) => stage.means(action), (action) => doIt(action, null));
  connectCalls(sound);
  connectLinks(parts, data.urls);
}

// The moment of the touch is the mark, not that of letting go.
function connectTouch(parts, stage) {
  parts.touch.addEventListener("pointerdown", (event) => {
    if (event.isPrimary && event.button === 0) stage.act("next");
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

function cueSwitch(parts) {
  const show = (shown) => {
    parts.cues.hidden = !shown;
    parts["cues-switch"].textContent = shown ? "Hide cues" : "Show cues";
    writeSetting("cues", shown ? "on" : "off");
  };
  show(readSetting("cues") !== "off");
  return { toggle: () => show(parts.cues.hidden) };
}

function tryCall(sound, calls) {
  sound.wake();
  sound.call(calls[0]?.words ?? "One minute");
}

function connectCalls(sound) {
  for (const input of document.querySelectorAll("input[name=calls]")) {
    input.checked = input.value === sound.way;
    input.addEventListener("change", () => {
      sound.way = input.value;
    });
    // Touched, not reached with Tab: the next press of a pedal must start the run.
    input.addEventListener("click", (event) => {
      if (event.detail > 0) input.blur();
    });
  }
}

function connectLinks(parts, urls) {
  parts.leave.href = urls.rehearse;
  parts.rehearse.href = urls.rehearse;
  parts.review.href = urls.review;
}

function toggleFullScreen() {
  const page = document.documentElement;
  const change = document.fullscreenElement ? document.exitFullscreen() : page.requestFullscreen?.();
  change?.catch(() => {});
}
