// Events in IndexedDB, with strict durability: on disk, even if the whole browser is killed, once
// a put has resolved. Safari sometimes loses the connection in the background; it is opened anew.

const MARKS = "ninefifty-marks";
export const REMARKS = "ninefifty-remarks";
const STORE = "events";
const OPEN_WITHIN_MS = 1500;

export class IndexedStore {
  #connection = null;
  #name;

  constructor(name = MARKS) {
    this.#name = name;
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

  // Twice, because a lost connection shows only when it is used; null when both times failed.
  async #attempt(mode, work) {
    for (let left = 2; left > 0; left -= 1) {
      try {
        return (await this.#transact(mode, work)) ?? [];
      } catch {
        this.#connection = null;
      }
    }
    return null;
  }

  async #transact(mode, work) {
    this.#connection ??= open(this.#name, () => {
      this.#connection = null;
    });
    const database = await this.#connection;
    return new Promise((resolve, reject) => {
      const transaction = database.transaction(STORE, mode, { durability: "strict" });
      const request = work(transaction.objectStore(STORE));
      transaction.oncomplete = () => resolve(request?.result);
      transaction.onabort = () => reject(transaction.error);
      transaction.onerror = () => reject(transaction.error);
    });
  }
}

function open(name, onLost) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(new Error("IndexedDB does not answer")), OPEN_WITHIN_MS);
    const request = indexedDB.open(name, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore(STORE, { keyPath: ["run_id", "event.id"] });
    };
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error("IndexedDB is blocked"));
    request.onsuccess = () => {
      clearTimeout(timer);
      request.result.onclose = onLost;
      request.result.onversionchange = () => {
        request.result.close();
        onLost();
      };
      resolve(request.result);
    };
  });
}
