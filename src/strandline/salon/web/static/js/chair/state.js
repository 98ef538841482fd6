// All that the chair knows: its plan, the facts that are here, the present time, what follows.

import { fold } from "../facts/fold.js";
import { awaited } from "./awaited.js";
import { glossClocks, groupsOf } from "./clocks.js";
import { lastMovement, wayOn } from "./course.js";

/** @typedef {import("./plan.js").ChairPlan} ChairPlan */
/** @typedef {import("../facts/fact.js").Fact} Fact */
/** @typedef {import("./course.js").Said} Said */
/** @typedef {ReturnType<State["look"]>} Now all that the page shows */

/** A second tap so soon is the same tap: a bounce of the pedal or of a gloved finger. */
export const BOUNCE_MS = 700;

export class State {
  /**
   * @param {{queue: import("./queue.js").Queue, present: import("./present.js").Present,
   *   plan: ChairPlan, visit: string, by: string, saved: () => void}} with_
   */
  constructor({ queue, present, plan, visit, by, saved }) {
    this.queue = queue;
    this.present = present;
    this.plan = plan;
    this.stream = visit;
    this.by = by;
    this.saved = saved;
    this.off = 0;
    /** @type {Fact[]} */
    this.facts = [];
    this.visit = fold([]);
    this.learnt = awaited(plan, this.visit);
    this.lastOnMs = -Infinity;
  }

  /** Read the facts that are here, and fold them anew. */
  async read() {
    this.facts = await this.queue.facts(this.stream);
    this.visit = fold(this.facts);
    this.learnt = awaited(this.plan, this.visit);
  }

  /** Give all that is to be shown at the present time. */
  look() {
    const { plan, visit, off } = this;
    const nowMs = this.present.now();
    const groups = groupsOf(plan, visit, this.learnt.waits, nowMs);
    const glosses = glossClocks(plan, visit, nowMs);
    const way = wayOn(plan, visit, { groups, glosses, nowMs, off });
    return { plan, visit, off, nowMs, groups, glosses, way, back: this.movement() };
  }

  movement() {
    return lastMovement(this.facts, this.queue.device);
  }

  /**
   * Keep what a tap says, and fold it in.
   * @param {Said[]} tap
   */
  async say(tap) {
    if (!tap.length) return;
    const { stream, by } = this;
    await this.queue.addAll(tap.map((one) => ({ stream, by, ...one })));
    this.off = 0;
    await this.read();
    this.saved();
  }

  /**
   * Go on; a bounce of the hand is the same tap.
   * @param {(now: Now) => Said[]} [of] what of the way is said, all of it unless named
   * @returns {Promise<Said[]>} what was said
   */
  async on(of = ({ way }) => way.tap) {
    const now = this.look();
    if (now.nowMs - this.lastOnMs < BOUNCE_MS) return [];
    const tap = of(now);
    if (tap.length) this.lastOnMs = now.nowMs;
    await this.say(tap);
    return tap;
  }

  /** Take the last movement of this device back. */
  async back() {
    const now = this.present.now();
    if (now - this.lastOnMs < BOUNCE_MS) return;
    this.lastOnMs = now;
    const payload = (/** @type {Fact} */ fact) => ({ fact: fact.id });
    await this.say(
      this.movement().map((fact) => ({ kind: "taken.back", payload: payload(fact) })),
    );
  }
}
