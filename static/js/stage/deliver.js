// On every page of the app: sends marks that a stage page, closed while the server was away, left
// on this device.

import { IndexedStore } from "./indexed_store.js";
import { LocalStore } from "./local_store.js";
import { rescueOthers } from "./rescue.js";

rescueOthers(new LocalStore(), new IndexedStore(), Date.now());
