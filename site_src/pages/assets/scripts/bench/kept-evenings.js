// The evenings in this browser's own database: each step is on the disk before it counts as kept.

const NAME = "sealbook-bench";
const STORE = "evenings";

/** @typedef {import("./evening.js").Evening} Evening */

export class KeptEvenings {
  /** @param {IDBDatabase} base */
  constructor(base) {
    this.base = base;
  }

  /** Opens what is kept; rejects where the browser keeps nothing. @returns {Promise<KeptEvenings>} */
  static open() {
    return new Promise((resolve, reject) => {
      const asked = indexedDB.open(NAME, 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore(STORE, { keyPath: "id" });
      asked.onsuccess = () => resolve(new KeptEvenings(asked.result));
      asked.onerror = () => reject(asked.error ?? new Error("the browser keeps nothing"));
    });
  }

  /** Every evening, the newest first. @returns {Promise<Evening[]>} */
  async all() {
    const asked = this.base.transaction(STORE).objectStore(STORE).getAll();
    const found = await new Promise((resolve, reject) => {
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => reject(asked.error ?? new Error("nothing could be read"));
    });
    const evenings = /** @type {Evening[]} */ (found);
    return evenings.sort((a, b) => (a.made < b.made ? 1 : -1));
  }

  put(/** @type {Evening} */ evening) {
    return this.change((store) => store.put(evening));
  }

  remove(/** @type {string} */ id) {
    return this.change((store) => store.delete(id));
  }

  /**
   * Done once it is on the disk.
   * @param {(store: IDBObjectStore) => IDBRequest} act
   * @returns {Promise<void>}
   */
  change(act) {
    return new Promise((resolve, reject) => {
      const transaction = this.base.transaction(STORE, "readwrite", { durability: "strict" });
      transaction.oncomplete = () => resolve();
      transaction.onabort = () => reject(transaction.error ?? new Error("nothing could be written"));
      act(transaction.objectStore(STORE));
    });
  }
}
