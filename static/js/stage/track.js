// The music on the Rehearse page: how long it is.

import { sayNotHad } from "../frame/away.js";
import { planned } from "../run/words.js";

/** Connects the player of a track, where the page has one. */
export function connectTrack(root) {
  const player = root.querySelector("audio[data-track]");
  if (!player) return;
  const show = () => {
    root.querySelector("[data-track-length]").textContent = planned(player.duration);
    const isShort = player.duration < Number(player.dataset.slotS);
    root.querySelector("[data-track-short]").hidden = !isShort;
  };
  if (player.readyState > 0) show();
  player.addEventListener("durationchange", show);
  const say = () => sayNotHad(player.parentElement, player.src);
  if (player.error) say();
  player.addEventListener("error", say);
}
