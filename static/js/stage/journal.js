// The journal of one run: every event this device knows of, and which of them the server has.
// An event is in memory and in localStorage before `append` returns and in IndexedDB when its
// promise resolves. Nothing is deleted locally before the server has acknowledged it.

export class Journal {
  #runId;
  #local;
  #indexed;
  #events = new Map();
  #acknowledged = new Set();
  #notOnDisk = new Map();
  #onChange;

  /** `onChange` is called as soon as an event is known of, or known to be on the server. */
  constructor(runId, local, indexed, onChange = () => {}) {
    this.#runId = runId;
    this.#local = local;
    this.#indexed = indexed;
    this.#onChange = onChange;
  }

  get events() {
    return [...this.#events.values()];
  }

  has(id) {
    return this.#events.has(id);
  }

  /** Whether the server acknowledged anything of this run. */
  get isKnownThere() {
    return this.#acknowledged.size > 0;
  }

  /** Events the server has not acknowledged, in the order they were made. */
  get pending() {
    return this.events
      .filter((event) => !this.#acknowledged.has(event.id))
      .sort((a, b) => a.seq - b.seq);
  }

  get nextSeq() {
    return this.events.reduce((most, event) => Math.max(most, event.seq + 1), 0);
  }

  /**
   * Fills the journal with the union, by id, of what the server knows and what each of the two
   * stores kept; gives each store what it lacks of the events the server has not got.
   */
  async load(serverEvents) {
    const inLocal = this.#mine(this.#local.all());
    for (const event of inLocal) this.#events.set(event.id, event);
    this.takeFromServer(serverEvents);
    const inIndexed = this.#mine(await this.#indexed.all());
    for (const event of inIndexed) if (!this.#events.has(event.id)) this.#events.set(event.id, event);
    const localIds = new Set(inLocal.map((event) => event.id));
    const indexedIds = new Set(inIndexed.map((event) => event.id));
    for (const event of this.pending) {
      if (!localIds.has(event.id)) this.#local.put(this.#runId, event);
      if (!indexedIds.has(event.id)) this.#notOnDisk.set(event.id, event);
    }
    this.#writeToDisk();
  }

  /** Takes an event in. Resolves to whether at least one store holds it for good. */
  async append(event) {
    this.#events.set(event.id, event);
    const isLocal = this.#local.put(this.#runId, event);
    this.#onChange();
    this.#notOnDisk.set(event.id, event);
    const isOnDisk = await this.#writeToDisk();
    return isLocal || isOnDisk;
  }

  /** Takes in what another tab wrote. */
  takeFromTab(event) {
    if (!this.#events.has(event.id)) this.#events.set(event.id, event);
    this.#onChange();
  }

  /** Takes in what the server holds; where the two differ, the server's stands. */
  takeFromServer(events) {
    for (const event of events) {
      this.#events.set(event.id, event);
      this.#acknowledged.add(event.id);
    }
    this.#onChange();
  }

  acknowledge(ids) {
    for (const id of ids) this.#acknowledged.add(id);
    this.#onChange();
  }

  /** Deletes the local copies of what the server has; what it has not got stays. */
  tidy() {
    const ids = [...this.#acknowledged].filter((id) => this.#events.has(id));
    this.#local.remove(this.#runId, ids);
    return this.#indexed.remove(this.#runId, ids);
  }

  // Writes what IndexedDB still lacks, this event and any that failed before.
  async #writeToDisk() {
    const lacking = [...this.#notOnDisk.values()];
    if (lacking.length === 0) return true;
    const written = await this.#indexed.put(this.#runId, lacking);
    if (written) for (const event of lacking) this.#notOnDisk.delete(event.id);
    return written;
  }

  #mine(entries) {
    return entries.filter((entry) => entry.runId === this.#runId).map((entry) => entry.event);
  }
}
