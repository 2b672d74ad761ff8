// Events in IndexedDB, with strict durability: on disk, even if the whole browser is killed, once
// a put has resolved.

import { IndexedDatabase } from "./indexed.js";

const MARKS_DATABASE = "ninefifty-marks";
export const REMARKS_DATABASE = "ninefifty-remarks";
const STORES = { events: ["run_id", "event.id"] };

export class IndexedStore {
  #database;

  constructor(name = MARKS_DATABASE) {
    this.#database = new IndexedDatabase(name, STORES, "strict");
  }

  /** Whether the events are on disk. */
  async put(runId, events) {
    const done = await this.#attempt("readwrite", (store) => {
      for (const event of events) store.put({ run_id: runId, event });
    });
    return done !== null;
  }

  /** [{ runId, event }] of every run on this device; empty where there is no IndexedDB. */
  async all() {
    const records = await this.#attempt("readonly", (store) => store.getAll());
    return (records ?? []).map((record) => ({ runId: record.run_id, event: record.event }));
  }

  async remove(runId, ids) {
    await this.#attempt("readwrite", (store) => {
      for (const id of ids) store.delete([runId, id]);
    });
  }

  // Null when it failed: localStorage may still hold the events.
  async #attempt(mode, work) {
    try {
      return (await this.#database.transact(mode, work)) ?? [];
    } catch {
      return null;
    }
  }
}
