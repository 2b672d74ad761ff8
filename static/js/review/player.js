// The recording of a run, chapter by chapter: tap a segment to hear it, see which one is playing.
// Listens on the document, because pages come and go without being loaded anew.

const PLAYING = "aria-current";
const FAR_S = 1e9;

/** Connects every player there is now or will be. */
export function connectPlayers(root) {
  root.addEventListener("click", (event) => {
    const chapter = event.target.closest?.("[data-hear]");
    if (chapter) hear(chapter);
  });
  // Events of a player do not bubble; on the way down they pass here.
  root.addEventListener("timeupdate", (event) => follow(event.target), { capture: true });
  root.addEventListener("loadedmetadata", (event) => measure(event.target), { capture: true });
  // Some knew what they play before this module came.
  for (const player of root.querySelectorAll("[data-player]")) measure(player);
}

async function hear(chapter) {
  const player = chapter.closest(".recording").querySelector("[data-player]");
  await measured(player);
  player.currentTime = Number(chapter.dataset.hear);
  player.play().catch(() => {});
}

function follow(player) {
  if (!player.matches?.("[data-player]") || player.dataset.measuring) return;
  for (const chapter of player.closest(".recording").querySelectorAll("[data-hear]")) {
    const { hear: from, until } = chapter.dataset;
    const isPlaying = Number(from) <= player.currentTime && player.currentTime < Number(until);
    if (isPlaying) chapter.setAttribute(PLAYING, "true");
    else chapter.removeAttribute(PLAYING);
  }
}

// A recording made by a browser does not say how long it is. Sent to its far end, the player finds
// out, and only then can it jump.
function measure(player) {
  if (!player.matches?.("[data-player]") || player.duration !== Infinity) return;
  player.dataset.measuring = "yes";
  player.addEventListener("durationchange", () => rewind(player), { once: true });
  player.currentTime = FAR_S;
}

function rewind(player) {
  player.addEventListener("seeked", () => delete player.dataset.measuring, { once: true });
  player.currentTime = 0;
}

async function measured(player) {
  if (player.readyState === HTMLMediaElement.HAVE_NOTHING) {
    player.load();
    await once(player, "loadedmetadata");
  }
  while (player.dataset.measuring) await once(player, "seeked");
}

function once(player, name) {
  return new Promise((resolve) => {
    player.addEventListener(name, resolve, { once: true });
  });
}
