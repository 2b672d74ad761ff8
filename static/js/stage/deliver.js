// On every page of the app: sends marks that a stage page, closed while the server was away, left
// on this device, and remarks that a page for watching left.

import { IndexedStore, REMARKS as REMARKS_DATABASE } from "./indexed_store.js";
import { LocalStore, REMARKS } from "./local_store.js";
import { rescueOthers } from "./rescue.js";

rescueOthers(new LocalStore(), new IndexedStore(), Date.now());
rescueOthers(new LocalStore(REMARKS), new IndexedStore(REMARKS_DATABASE), Date.now());
