// Puts the count-in over the stage.

import { hide, write } from "../run/nodes.js";

/** Shows the seconds that are left; null when there is no count-in. */
export function paintCountIn(parts, seconds) {
  const isOn = seconds !== null;
  hide(parts["count-in"], !isOn);
  write(parts["count-in-digits"], String(seconds ?? ""));
  // What lies behind the digits cannot be reached with Tab either.
  for (const other of parts["count-in"].parentElement.children) {
    if (other !== parts["count-in"]) other.inert = isOn;
  }
}
