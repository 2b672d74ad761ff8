// The ground of the page, light or dark: as the device likes it, until it is chosen here.

import { readSetting, writeSetting } from "../run/local_store.js";

const OTHER = { light: "dark", dark: "light" };

/** Connects the switch; what is chosen is kept on this device. */
export function connectGround(parts) {
  const root = document.documentElement;
  const liked = matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "light";
  const show = (ground) => {
    root.dataset.ground = ground;
    parts.ground.textContent = ground === "dark" ? "Light" : "Dark";
  };
  show(readSetting("watch-ground") ?? liked);
  parts.ground.addEventListener("click", () => {
    const chosen = OTHER[root.dataset.ground];
    writeSetting("watch-ground", chosen);
    show(chosen);
  });
}
