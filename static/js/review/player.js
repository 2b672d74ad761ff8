// The recording of a run, chapter by chapter: tap a segment to hear it, see which one is playing.
// Listens on the document, because pages come and go without being loaded anew.

const PLAYING = "aria-current";
const FAR_S = 1e9;

// Players that are being sent to their far end and back.
const measured = new WeakSet();

/** Connects every player there is now or will be. */
export function connectPlayers(root) {
  root.addEventListener("click", (event) => {
    const chapter = event.target.closest?.("[data-hear]");
    if (chapter) hear(chapter);
  });
  // Events of a player do not bubble; on the way down they pass here.
  const on = (name, act) =>
    root.addEventListener(
      name,
      ({ target }) => {
        if (target.matches?.("[data-player]")) act(target);
      },
      { capture: true },
    );
  on("timeupdate", follow);
  on("loadedmetadata", measure);
  on("durationchange", rewind);
  on("play", begin);
  on("seeked", (player) => {
    if (player.currentTime === 0) measured.delete(player);
  });
  // Some knew what they play before this module came.
  for (const player of root.querySelectorAll("[data-player]")) measure(player);
}

// Within the tap itself, whatever the player knows by then: a browser takes a place also for later,
// and many let a page sound only while it is being touched.
function hear(chapter) {
  const player = chapter.closest(".recording").querySelector("[data-player]");
  measured.delete(player);
  if (player.error) player.load(); // The server was away; perhaps it is back.
  player.currentTime = Number(chapter.dataset.hear);
  player.play().catch(() => {});
}

function follow(player) {
  if (measured.has(player)) return;
  for (const chapter of player.closest(".recording").querySelectorAll("[data-hear]")) {
    const { hear: from, until } = chapter.dataset;
    const isPlaying = Number(from) <= player.currentTime && player.currentTime < Number(until);
    if (isPlaying) chapter.setAttribute(PLAYING, "true");
    else chapter.removeAttribute(PLAYING);
  }
}

// A recording made by a browser does not say how long it is, and so the player's own bar has no
// length. Sent to its far end the player finds out; whoever wants to hear something goes first.
function measure(player) {
  if (player.duration !== Infinity || !player.paused) return;
  measured.add(player);
  player.currentTime = FAR_S;
}

function rewind(player) {
  if (measured.has(player) && Number.isFinite(player.duration)) player.currentTime = 0;
}

// Played by its own button while it is on its way.
function begin(player) {
  if (!measured.delete(player)) return;
  player.currentTime = 0;
}
