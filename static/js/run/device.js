// Which device this is: an id of its own making. A browser that is killed may lose what it wrote
// to localStorage a moment ago, so what else remembers the id is asked too; a device that forgot
// who it is would be told that another holds its clock.

import { uuid7 } from "./ids.js";
import { readSetting, writeSetting } from "./local_store.js";

/** The id of this device. The events that lie on it were made on it and name it. */
export async function deviceId(indexed, nowMs) {
  const id =
    readSetting("device") ?? inSession() ?? (await ofNewestEvent(indexed)) ?? uuid7(nowMs);
  writeSetting("device", id);
  keepInSession(id);
  return id;
}

async function ofNewestEvent(indexed) {
  const entries = await indexed.all();
  return entries.map(({ event }) => event).sort((a, b) => (a.id < b.id ? -1 : 1)).at(-1)?.device_id;
}

function inSession() {
  try {
    return sessionStorage.getItem("ninefifty.device");
  } catch {
    return null;
  }
}

function keepInSession(id) {
  try {
    sessionStorage.setItem("ninefifty.device", id);
  } catch {
    // Storage is switched off; the other places remember, or nothing does.
  }
}
