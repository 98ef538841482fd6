// What is due now and was not answered: shown and rung, overdue ones on wake too.

/** @typedef {import("./clocks.js").Group} Group */
/** @typedef {import("./clocks.js").GlossClock} GlossClock */
/** @typedef {"hurt" | "label" | "due" | "unknown" | "check" | "gloss" | "gloss_look"} Sort gravest first */
/** @typedef {{key: string, sort: Sort, foils: number[], place: string, sinceMs: number}} Alarm */

/** @type {Sort[]} */
const ORDER = ["hurt", "label", "gloss", "due", "unknown", "gloss_look", "check"];
/** How long until it rings again while nobody answers, ms; what was made quiet rings no more. */
export const AGAIN_MS = {
  hurt: 15_000, label: 20_000, gloss: 30_000, due: 60_000, unknown: 60_000, gloss_look: 120_000,
  check: 120_000,
};

/**
 * Give what is due now, the gravest first.
 * @param {{groups: Group[], glosses: GlossClock[], visit: import("./plan.js").Visit}} now
 * @returns {Alarm[]}
 */
export function alarmsOf({ groups, glosses, visit }) {
  const of = groups.flatMap((group) => {
    const { state, key, foils } = group;
    if (state === "waits") return [];
    const sinceMs = { label: group.latestMs, due: group.dueMs, unknown: 0 }[
      /** @type {"label" | "due" | "unknown"} */ (state)
    ] ?? group.checkMs ?? 0;
    return { key: `${state} ${key} ${sinceMs}`, sort: state, foils, place: "", sinceMs };
  });
  const toned = glosses.flatMap(({ place, state, highMs, lookMs, startMs, turned }) => {
    const isPast = state === "past";
    if (!isPast && (turned !== null || state === "waits")) return [];
    const sort = /** @type {Sort} */ (isPast ? "gloss" : "gloss_look");
    const sinceMs = isPast ? highMs : lookMs;
    return { key: `${state} ${place} ${startMs}`, sort, foils: [], place, sinceMs };
  });
  const felt = visit.feelings.filter((one) => visit.rinse_now && one["rinsed"] === null);
  const hurts = felt.slice(0, 1).map((one) => ({
    key: `hurt ${one.time}`,
    sort: /** @type {Sort} */ ("hurt"),
    foils: [],
    place: "",
    sinceMs: Date.parse(one.time),
  }));
  return [...hurts, ...of, ...toned].sort(
    (a, b) => ORDER.indexOf(a.sort) - ORDER.indexOf(b.sort) || a.sinceMs - b.sinceMs,
  );
}

/** Decides what rings: each once when it comes, then again until it is answered or made quiet. */
export class Ringing {
  constructor() {
    /** @type {Map<string, number>} */
    this.rung = new Map();
    /** @type {Set<string>} */
    this.quiet = new Set();
  }

  /**
   * Give the gravest alarm that is to ring at this time, null where none is.
   * @param {Alarm[]} alarms
   * @param {number} nowMs
   */
  next(alarms, nowMs) {
    const due = alarms.filter((one) => {
      const last = this.rung.get(one.key);
      return !this.quiet.has(one.key) && (last === undefined || nowMs - last >= AGAIN_MS[one.sort]);
    });
    for (const one of due) this.rung.set(one.key, nowMs);
    return due[0] ?? null;
  }

  /** @param {Alarm[]} alarms */
  hush(alarms) {
    for (const one of alarms) this.quiet.add(one.key);
  }
}
