// Sends what waits, in order, one tab at a time; waits longer each time the server is gone.

/** @typedef {import("../facts/fact.js").Fact} Fact */
/** @typedef {import("./queue.js").Queue} Queue */
/** @typedef {{up_to: {[device: string]: number}}} Taken */
/** @typedef {"sent" | "waits" | "refused"} Standing */
/** @typedef {(work: () => Promise<void>) => Promise<void>} Alone runs where no other tab sends */

export const FIRST_WAIT_MS = 1000;
export const LONGEST_WAIT_MS = 30_000;

/** The server answered, and will not have what was sent; it is kept here. */
export class Refused extends Error {}

export class Sender {
  /**
   * @param {Queue} queue
   * @param {(facts: Fact[]) => Promise<Taken>} post throws where the server cannot be reached
   * @param {{alone: Alone, later: (run: () => void, ms: number) => () => void,
   *   told: (standing: Standing, waiting: number) => void}} hands
   */
  constructor(queue, post, { alone, later, told }) {
    this.queue = queue;
    this.post = post;
    this.alone = alone;
    this.later = later;
    this.told = told;
    this.failures = 0;
    this.busy = false;
    this.again = false;
    this.cancel = () => {};
  }

  /** Send what waits now; a call while one is under way is heard when that is done. */
  async send() {
    this.cancel();
    this.cancel = () => {};
    if (this.busy) {
      this.again = true;
      return;
    }
    this.busy = true;
    /** @type {Standing} */
    let standing = "sent";
    try {
      do {
        this.again = false;
        await this.alone(() => this.empty());
      } while (this.again);
      this.failures = 0;
    } catch (error) {
      standing = error instanceof Refused ? "refused" : "waits";
      this.failures += 1;
      this.cancel = this.later(() => void this.send(), this.waitMs());
    } finally {
      this.busy = false;
    }
    this.told(standing, await this.queue.countWaiting());
  }

  /** How long to wait after so many failures, ms. */
  waitMs() {
    return Math.min(FIRST_WAIT_MS * 2 ** (this.failures - 1), LONGEST_WAIT_MS);
  }

  async empty() {
    for (;;) {
      const facts = await this.queue.waiting();
      if (!facts.length) return;
      const taken = await this.post(facts);
      await this.queue.acknowledged(facts, taken.up_to[this.queue.device]);
    }
  }
}
