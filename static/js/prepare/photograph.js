// The photograph of the bar, where it cannot be shown: a sentence in its place.

import { sayNotHad } from "../frame/away.js";

export function connectPhotograph(root) {
  const picture = root.querySelector(".station-photograph img");
  if (!picture) return;
  const say = () => {
    const link = picture.closest(".station-photograph");
    link.hidden = true;
    sayNotHad(link.parentElement, picture.src);
  };
  if (picture.complete && picture.naturalWidth === 0) say();
  else picture.addEventListener("error", say, { once: true });
}
