// Events in localStorage: written before the call returns, so a reload or a crash of the page
// loses nothing. (A crash of the whole browser may: the browser writes to disk seconds later.)

// The presenter's marks and the remarks of one who watches are kept apart, also where one device
// does both.
const MARKS_PREFIX = "ninefifty.event.";
export const REMARKS_PREFIX = "ninefifty.remark.";

/** One key per event, so that two tabs never overwrite each other. */
export class LocalStore {
  #storage = storageOrNull();
  #prefix;

  constructor(prefix = MARKS_PREFIX) {
    this.#prefix = prefix;
  }

  /** Whether the event is written. */
  put(runId, event) {
    try {
      this.#storage.setItem(`${this.#prefix}${runId}.${event.id}`, JSON.stringify(event));
      return true;
    } catch {
      return false; // Storage is switched off or full: the journal falls back on IndexedDB.
    }
  }

  /** [{ runId, event }] of every run on this device. */
  all() {
    return Object.keys(this.#storage ?? {})
      .map((key) => readEntry(this.#prefix, key, this.#storage[key]))
      .filter((entry) => entry !== null);
  }

  remove(runId, ids) {
    for (const id of ids) this.#storage?.removeItem(`${this.#prefix}${runId}.${id}`);
  }

  /** Calls back with { runId, event } for each event that another tab writes. */
  onForeign(callback) {
    addEventListener("storage", ({ key, newValue }) => {
      const entry = readEntry(this.#prefix, key ?? "", newValue);
      if (entry !== null) callback(entry);
    });
  }
}

/** A small setting of this device; null when there is none or storage is switched off. */
export function readSetting(name) {
  return storageOrNull()?.getItem(`ninefifty.${name}`) ?? null;
}

export function writeSetting(name, value) {
  try {
    storageOrNull()?.setItem(`ninefifty.${name}`, value);
  } catch {
    // A full storage only costs the setting; marks are looked after by the journal.
  }
}

function readEntry(prefix, key, value) {
  if (!key.startsWith(prefix) || !value) return null;
  try {
    return { runId: key.slice(prefix.length).split(".")[0], event: JSON.parse(value) };
  } catch {
    return null;
  }
}

function storageOrNull() {
  try {
    return window.localStorage;
  } catch {
    return null;
  }
}
