// Sends a file of sound in parts, with progress, and then opens its take. What the server has is
// not sent again: the same file chosen anew goes on where it stopped.

import { answerTo, posted } from "../run/answer.js";

const PART_BYTES = 512 * 1024;
const GIVE_UP_MS = 30_000;
const TRIES = 4;

/** Connects the forms that take a file of sound. */
export function connectSending(root) {
  for (const form of root.querySelectorAll("form[data-take-sound]")) {
    if (!form.hidden) continue;
    form.hidden = false;
    form.addEventListener("submit", (event) => {
      event.preventDefault();
      send(form);
    });
  }
}

async function send(form) {
  const file = form.querySelector("input[type=file]").files[0];
  const most = Number(form.dataset.most);
  if (!file) return refuse(form, "Choose a file first.");
  if (file.size > most) {
    return refuse(form, `That file is too large: at most ${Math.floor(most / 1048576)} MB.`);
  }
  const button = form.querySelector("button");
  button.disabled = true;
  refuse(form, "");
  try {
    location.assign(await sent(form, file));
  } catch (error) {
    refuse(form, error.message || "The app cannot be reached just now: try again.");
  } finally {
    button.disabled = false;
  }
}

// Returns the address of the take.
async function sent(form, file) {
  const lastsMs = await lengthOf(file);
  const sound = {
    kind: file.type.startsWith("video/") ? "video" : "sound",
    size_bytes: file.size,
    lasts_ms: lastsMs,
  };
  const isNew = "make" in form.dataset;
  const made_ms = Math.max(0, file.lastModified - lastsMs);
  const told = isNew ? { name: file.name, sound, made_ms } : sound;
  const state = await asked(form.dataset.takeSound, posted(told));
  const url = isNew ? `/api/takes/${state.id}` : form.dataset.takeSound.replace(/\/sound$/, "");
  await sendParts(form, file, url, state);
  return url.replace("/api", "");
}

async function sendParts(form, file, url, { parts, done }) {
  for (let number = parts; !done; number += 1) {
    const from = number * PART_BYTES;
    const body = await file.slice(from, from + PART_BYTES).arrayBuffer();
    const options = { method: "PUT", headers: { "Content-Type": "application/octet-stream" }, body };
    ({ done } = await asked(`${url}/parts/${number}`, options));
    progress(form, (from + body.byteLength) / file.size);
  }
}

// A part that is here already counts once, so each may be asked for again.
async function asked(url, options) {
  for (let left = TRIES; ; left -= 1) {
    try {
      const { ok, status, body } = await answerTo(url, options, GIVE_UP_MS);
      if (ok) return body;
      if (status < 500) left = 0;
      throw new Error(body.error?.message ?? "");
    } catch (error) {
      if (left <= 1) throw error;
    }
  }
}

// How long it lasts, in ms; 0 where this browser cannot tell, as of what browsers record.
function lengthOf(file) {
  const player = document.createElement(file.type.startsWith("video/") ? "video" : "audio");
  const url = URL.createObjectURL(file);
  return new Promise((resolve) => {
    const told = () => {
      URL.revokeObjectURL(url);
      resolve(Number.isFinite(player.duration) ? Math.round(player.duration * 1000) : 0);
    };
    player.addEventListener("loadedmetadata", told);
    player.addEventListener("error", told);
    player.preload = "metadata";
    player.src = url;
  });
}

function progress(form, share) {
  const box = form.querySelector(".take-progress");
  box.hidden = false;
  box.querySelector("progress").value = share * 100;
  box.querySelector("[role=status]").textContent = `${Math.floor(share * 100)} % sent`;
}

function refuse(form, words) {
  const fault = form.querySelector(".fault");
  fault.hidden = words === "";
  fault.textContent = words && `▲ ${words}`;
  const field = form.querySelector("input[type=file]");
  if (words) field.setAttribute("aria-invalid", "true");
  else field.removeAttribute("aria-invalid");
}
