// The facts of this device: numbered as they are tapped, kept until the server has them, and after.

import { STORES, answered, openStore, together } from "./store.js";

/** @typedef {import("../facts/fact.js").Fact} Fact */
/** @typedef {{id: string, fact: Fact, waiting?: number}} Row `waiting` is the fact's number */
/** @typedef {{name: string, next: number, upTo: number}} Device */
/** @typedef {{stream: string, kind: string, payload: {[name: string]: any}, by: string}} Tap */

const DEVICE_KEY = "this";

export class Queue {
  /**
   * @param {IDBDatabase} database
   * @param {string} device the name this device is known by
   * @param {() => number} now ms since 1970
   */
  constructor(database, device, now) {
    this.database = database;
    this.device = device;
    this.now = now;
  }

  /**
   * @param {{factory: IDBFactory, now: () => number, newName: () => string, name?: string}} with_
   * @returns {Promise<Queue>}
   */
  static async open({ factory, now, newName, name }) {
    const database = await openStore(factory, name);
    const device = await together(database, [STORES.device], "readwrite", async (open) => {
      const store = open.objectStore(STORES.device);
      /** @type {Device | undefined} */
      const known = await answered(store.get(DEVICE_KEY));
      if (known) return known;
      const made = { name: newName(), next: 1, upTo: 0 };
      await answered(store.put(made, DEVICE_KEY));
      return made;
    });
    return new Queue(database, device.name, now);
  }

  /**
   * Make a fact of a tap and keep it: its number is this device's next, whichever tab asks.
   * @param {Tap} tap
   * @returns {Promise<Fact>}
   */
  async add(tap) {
    const [fact] = await this.addAll([tap]);
    return /** @type {Fact} */ (fact);
  }

  /**
   * Keep the facts of one movement of the hand, all of them or none.
   * @param {Tap[]} taps
   * @returns {Promise<Fact[]>}
   */
  addAll(taps) {
    return together(
      this.database, [STORES.device, STORES.facts], "readwrite", async (open) => {
        const devices = open.objectStore(STORES.device);
        const facts = open.objectStore(STORES.facts);
        /** @type {Device} */
        const device = await answered(devices.get(DEVICE_KEY));
        const time = new Date(this.now());
        const made = taps.map(({ stream, kind, payload, by }, at) => {
          const seq = device.next + at;
          return {
            id: `${device.name}-${seq}`,
            stream,
            kind,
            schema: 1,
            payload,
            by,
            device: device.name,
            device_seq: seq,
            device_time: time.toISOString(),
            offset: -time.getTimezoneOffset(),
          };
        });
        for (const fact of made) {
          await answered(facts.add({ id: fact.id, fact, waiting: fact.device_seq }));
        }
        await answered(devices.put({ ...device, next: device.next + made.length }, DEVICE_KEY));
        return made;
      },
    );
  }

  /**
   * Give the facts of a visit that are here, of every device.
   * @param {string} stream
   * @returns {Promise<Fact[]>}
   */
  facts(stream) {
    return together(this.database, [STORES.facts], "readonly", async (open) => {
      const index = open.objectStore(STORES.facts).index("stream");
      /** @type {Row[]} */
      const rows = await answered(index.getAll(stream));
      return rows.map((row) => row.fact);
    });
  }

  /**
   * Give the facts the server does not have yet, in the order of their numbers.
   * @param {number} [most]
   * @returns {Promise<Fact[]>}
   */
  waiting(most = 100) {
    return together(this.database, [STORES.facts], "readonly", async (open) => {
      const index = open.objectStore(STORES.facts).index("waiting");
      /** @type {Row[]} */
      const rows = await answered(index.getAll(null, most));
      return rows.map((row) => row.fact);
    });
  }

  /** @returns {Promise<number>} how many wait */
  countWaiting() {
    return together(this.database, [STORES.facts], "readonly", (open) =>
      answered(open.objectStore(STORES.facts).index("waiting").count()),
    );
  }

  /**
   * Take the server's word for facts that were sent. Where its number for this device is lower
   * than it once was, its record was restored from an older day: what came after waits anew.
   * @param {Fact[]} sent
   * @param {number} [upTo] number up to which the server has all of this device
   * @returns {Promise<void>}
   */
  acknowledged(sent, upTo) {
    return together(
      this.database, [STORES.device, STORES.facts], "readwrite", async (open) => {
        const devices = open.objectStore(STORES.device);
        const facts = open.objectStore(STORES.facts);
        for (const fact of sent) await answered(facts.put({ id: fact.id, fact }));
        if (upTo === undefined) return;
        /** @type {Device} */
        const device = await answered(devices.get(DEVICE_KEY));
        if (upTo < device.upTo) {
          const now = new Set(sent.map((fact) => fact.id));
          /** @type {Row[]} */
          const rows = await answered(facts.getAll());
          for (const { id, fact } of rows) {
            const lost = fact.device === device.name && fact.device_seq > upTo && !now.has(id);
            if (lost) await answered(facts.put({ id, fact, waiting: fact.device_seq }));
          }
        }
        await answered(devices.put({ ...device, upTo }, DEVICE_KEY));
      },
    );
  }

  /**
   * Keep facts that the server has, of other devices too; those here already stay as they are.
   * @param {Fact[]} facts
   * @returns {Promise<number>} how many are new here
   */
  keep(facts) {
    return together(this.database, [STORES.facts], "readwrite", async (open) => {
      const store = open.objectStore(STORES.facts);
      let fresh = 0;
      for (const fact of facts) {
        if (await answered(store.getKey(fact.id))) continue;
        await answered(store.put({ id: fact.id, fact }));
        fresh += 1;
      }
      return fresh;
    });
  }

  /**
   * Keep what a visit's page needs when the server is gone, or a word of the device.
   * @param {string} name
   * @param {unknown} value
   * @returns {Promise<void>}
   */
  remember(name, value) {
    return together(this.database, [STORES.visits], "readwrite", async (open) => {
      await answered(open.objectStore(STORES.visits).put(value, name));
    });
  }

  /**
   * Give what was remembered, undefined where nothing was.
   * @param {string} name
   * @returns {Promise<any>}
   */
  recall(name) {
    return together(this.database, [STORES.visits], "readonly", (open) =>
      answered(open.objectStore(STORES.visits).get(name)),
    );
  }
}
