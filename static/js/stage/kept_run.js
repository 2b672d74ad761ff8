// Where the marks of this stage are kept and sent: on this device, twice, and to the server. Those of
// a try-out are kept nowhere.

import { ServerClock } from "../run/clock.js";
import { deviceId } from "../run/device.js";
import { IndexedStore } from "../run/indexed_store.js";
import { Journal } from "../run/journal.js";
import { LocalStore } from "../run/local_store.js";
import { Sender } from "../run/sender.js";
import { NOBODY, NOWHERE } from "./try_out.js";

/**
 * Opens what is kept of a run, with all that page and device know of it. `onChange` hears when more
 * was kept or sent, `onTold` when the server has told of events.
 */
export async function keptRun(data, { onChange, onTold }) {
  const local = new LocalStore();
  const indexed = new IndexedStore();
  const journal = data.try_out
    ? new Journal(data.run_id, NOWHERE, NOWHERE, onChange)
    : new Journal(data.run_id, local, indexed, onChange);
  const serverClock = new ServerClock();
  const device = await deviceId(indexed, Date.now());
  const sender = data.try_out
    ? NOBODY
    : new Sender(data.urls.events, journal, {
        deviceId: device,
        serverClock,
        isMadeHere: data.from_run !== null,
        onChange: onTold,
      });
  return { local, indexed, journal, serverClock, deviceId: device, sender };
}
