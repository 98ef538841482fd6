// What the device keeps in IndexedDB: its name and numbers, the facts of its visits, their plans.

export const STORES = Object.freeze({ device: "device", facts: "facts", visits: "visits" });
const VERSION = 1;

/**
 * Open the device's database, made where it is missing.
 * @param {IDBFactory} factory
 * @param {string} name
 * @returns {Promise<IDBDatabase>}
 */
export function openStore(factory, name = "strandline-chair") {
  const asked = factory.open(name, VERSION);
  asked.onupgradeneeded = () => {
    const made = asked.result;
    made.createObjectStore(STORES.device);
    made.createObjectStore(STORES.visits);
    const facts = made.createObjectStore(STORES.facts, { keyPath: "id" });
    facts.createIndex("stream", "fact.stream");
    facts.createIndex("waiting", "waiting");
  };
  return answered(asked);
}

/**
 * Wait for a request's answer.
 * @template T
 * @param {IDBRequest<T>} request
 * @returns {Promise<T>}
 */
export function answered(request) {
  return new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
}

/**
 * Run a piece of work in one transaction; what it gives is given once all of it is on the disk.
 * Transactions on the same stores wait for each other, in this tab and in others.
 * @template T
 * @param {IDBDatabase} database
 * @param {string[]} stores
 * @param {"readonly" | "readwrite"} mode
 * @param {(open: IDBTransaction) => Promise<T>} work of requests of this transaction alone
 * @returns {Promise<T>}
 */
export async function together(database, stores, mode, work) {
  const open = database.transaction(stores, mode, { durability: "strict" });
  const done = new Promise((resolve, reject) => {
    open.oncomplete = () => resolve(undefined);
    open.onabort = () => reject(open.error ?? new Error("The device could not keep it."));
  });
  try {
    const given = await work(open);
    await done;
    return given;
  } catch (error) {
    done.catch(() => {});
    try {
      open.abort();
    } catch {
      // it is over already
    }
    throw error;
  }
}
