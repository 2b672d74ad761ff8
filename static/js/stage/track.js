// The music on the Rehearse page: how long it is. And of any file that is chosen, whether it is too
// large before it is sent.

import { sayNotHad } from "../frame/away.js";
import { planned } from "../run/words.js";

/** Connects the player and the field for a track, where the page has them. */
export function connectTrack(root) {
  const player = root.querySelector("audio[data-track]");
  if (player) connectPlayer(player, root);
  const field = root.querySelector("input[type=file][data-most]");
  field?.addEventListener("change", () => holdBack(field));
}

function connectPlayer(player, root) {
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

// A file that will be refused is not sent first: that could take minutes.
function holdBack(field) {
  const isTooLarge = (field.files[0]?.size ?? 0) > Number(field.dataset.most);
  field.form.querySelector("[data-too-large]").hidden = !isTooLarge;
  field.form.querySelector("button").disabled = isTooLarge;
}
