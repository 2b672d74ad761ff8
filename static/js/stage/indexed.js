// A database of this device (IndexedDB) that heals itself: browsers lose connections, Safari in the
// background, all of them when site data are cleared; a lost one is opened anew.

const OPEN_WITHIN_MS = 1500;

export class IndexedDatabase {
  #name;
  #stores;
  #durability;
  #connection = null;

  /** `stores` is { name: keyPath }; durability "strict" has it on disk once a promise resolves. */
  constructor(name, stores, durability = "default") {
    this.#name = name;
    this.#stores = stores;
    this.#durability = durability;
  }

  /**
   * Resolves to the result of the request that `work(...stores)` returns, once all of it is stored.
   * Done twice at most, because a lost connection shows only when it is used: what `work` asks for
   * must do no harm when it is asked again.
   */
  async transact(mode, work) {
    try {
      return await this.#once(mode, work);
    } catch {
      return this.#once(mode, work);
    }
  }

  async #once(mode, work) {
    const connection = (this.#connection ??= this.#open());
    try {
      return await this.#run(await connection, mode, work);
    } catch (error) {
      if (this.#connection === connection) this.#connection = null;
      connection.then((database) => database.close(), () => {});
      throw error;
    }
  }

  #run(database, mode, work) {
    const names = Object.keys(this.#stores);
    return new Promise((resolve, reject) => {
      const transaction = database.transaction(names, mode, { durability: this.#durability });
      const request = work(...names.map((name) => transaction.objectStore(name)));
      transaction.oncomplete = () => resolve(request?.result);
      transaction.onabort = () => reject(transaction.error);
      transaction.onerror = () => reject(transaction.error);
    });
  }

  #open() {
    const lose = (database) => {
      database.close();
      this.#connection = null;
    };
    return new Promise((resolve, reject) => {
      let isLate = false;
      const timer = setTimeout(() => {
        isLate = true;
        reject(new Error("IndexedDB does not answer"));
      }, OPEN_WITHIN_MS);
      const request = indexedDB.open(this.#name, 1);
      request.onupgradeneeded = () => {
        for (const [name, keyPath] of Object.entries(this.#stores)) {
          request.result.createObjectStore(name, { keyPath });
        }
      };
      request.onerror = () => reject(request.error);
      request.onblocked = () => reject(new Error("IndexedDB is blocked"));
      request.onsuccess = () => {
        clearTimeout(timer);
        const database = request.result;
        if (isLate) database.close();
        database.onclose = () => lose(database);
        database.onversionchange = () => lose(database);
        resolve(database);
      };
    });
  }
}
