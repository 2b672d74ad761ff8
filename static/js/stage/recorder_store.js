// Takes (recordings of a run, made on this device) in IndexedDB, chunk by chunk as they come, so
// that a crash costs the last second. A database of its own: the marks have theirs.

const DATABASE = "ninefifty-recordings";
const PART_BYTES = 512 * 1024;

export class TakeStore {
  #opened = null;

  /** Writes a take down: { id, run_id, kind, started_ms, lasts_ms, size_bytes, closed }. */
  async save(take) {
    await this.#transact("readwrite", (takes) => takes.put({ ...take }));
  }

  /** Adds chunk `number` of a take and writes the take down with it. */
  async add(take, number, bytes) {
    await this.#transact("readwrite", (takes, chunks) => {
      chunks.put({ take_id: take.id, number, bytes });
      takes.put({ ...take });
    });
  }

  /** Every take on this device. */
  all() {
    return this.#transact("readonly", (takes) => takes.getAll());
  }

  async remove(id) {
    await this.#transact("readwrite", (takes, chunks) => {
      takes.delete(id);
      chunks.delete(IDBKeyRange.bound([id, 0], [id, Infinity]));
    });
  }

  /** The content of a take in parts of one size, the same each time it is asked. */
  async *parts(id, partBytes = PART_BYTES) {
    let held = new Uint8Array();
    for (let number = 0; ; number += 1) {
      const chunk = await this.#transact("readonly", (_, chunks) => chunks.get([id, number]));
      if (!chunk) break;
      held = joined(held, new Uint8Array(chunk.bytes));
      while (held.length >= partBytes) {
        yield held.slice(0, partBytes);
        held = held.slice(partBytes);
      }
    }
    if (held.length > 0) yield held;
  }

  /** The whole content of a take, to be saved as a file. */
  async blob(take) {
    const parts = [];
    for await (const part of this.parts(take.id)) parts.push(part);
    return new Blob(parts, { type: take.media_type });
  }

  async #transact(mode, work) {
    this.#opened ??= open();
    const database = await this.#opened;
    return new Promise((resolve, reject) => {
      const transaction = database.transaction(["takes", "chunks"], mode);
      const request = work(transaction.objectStore("takes"), transaction.objectStore("chunks"));
      transaction.oncomplete = () => resolve(request?.result);
      transaction.onabort = () => reject(transaction.error);
      transaction.onerror = () => reject(transaction.error);
    });
  }
}

function joined(first, second) {
  if (first.length === 0) return second;
  const both = new Uint8Array(first.length + second.length);
  both.set(first);
  both.set(second, first.length);
  return both;
}

function open() {
  return new Promise((resolve, reject) => {
    const request = indexedDB.open(DATABASE, 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore("takes", { keyPath: "id" });
      request.result.createObjectStore("chunks", { keyPath: ["take_id", "number"] });
    };
    request.onerror = () => reject(request.error);
    request.onblocked = () => reject(new Error("IndexedDB is blocked"));
    request.onsuccess = () => resolve(request.result);
  });
}
