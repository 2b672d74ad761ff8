// Takes (recordings of a run, made on this device) in IndexedDB, chunk by chunk as they come, so
// that a crash costs the last second. A database of its own: the marks have theirs.

import { IndexedDatabase } from "./indexed.js";

const DATABASE = "ninefifty-recordings";
const STORES = { takes: "id", chunks: ["take_id", "number"] };
const PART_BYTES = 512 * 1024;

export class TakeStore {
  #database = new IndexedDatabase(DATABASE, STORES);

  /** Writes a take down: { id, run_id, kind, started_ms, lasts_ms, size_bytes, closed }. */
  async save(take) {
    await this.#database.transact("readwrite", (takes) => takes.put({ ...take }));
  }

  /** Adds chunk `number` of a take and writes the take down with it. */
  async add(take, number, bytes) {
    await this.#database.transact("readwrite", (takes, chunks) => {
      chunks.put({ take_id: take.id, number, bytes });
      takes.put({ ...take });
    });
  }

  /** Every take on this device. */
  all() {
    return this.#database.transact("readonly", (takes) => takes.getAll());
  }

  async remove(id) {
    await this.#database.transact("readwrite", (takes, chunks) => {
      takes.delete(id);
      chunks.delete(IDBKeyRange.bound([id, 0], [id, Infinity]));
    });
  }

  /** The content of a take in parts of one size, the same each time it is asked. */
  async *parts(id, partBytes = PART_BYTES) {
    let held = new Uint8Array();
    for (let number = 0; ; number += 1) {
      const chunk = await this.#database.transact("readonly", (_, chunks) => chunks.get([id, number]));
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
}

function joined(first, second) {
  if (first.length === 0) return second;
  const both = new Uint8Array(first.length + second.length);
  both.set(first);
  both.set(second, first.length);
  return both;
}
