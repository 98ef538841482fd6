// Facts sorted out before any fold: those that stand in order, and what became of the others.

import { canonical, compare } from "./fact.js";
import { believedFeeling, flag, order, understand } from "./understand.js";

/** @typedef {import("./fact.js").Fact} Fact */
/** @typedef {import("./understand.js").Flag} Flag */
/** @typedef {import("./understand.js").Upcaster} Upcaster */
/** @typedef {{code: string, foils: number[], kept: Fact, left: Fact[]}} Conflict */
/**
 * @typedef {object} Sorted
 * @property {string} stream
 * @property {Fact[]} standing
 * @property {Fact[]} believed
 * @property {string[]} takenBack
 * @property {Conflict[]} conflicts
 * @property {Flag[]} flags
 */

/**
 * Flag, choose the stream, let one fact of each id stand, and take back slips.
 * @param {Fact[]} facts in any order, any of them more than once
 * @param {Upcaster[]} upcasters
 * @returns {Sorted}
 */
export function sortOut(facts, upcasters) {
  /** @type {Flag[]} */
  const flags = [];
  /** @type {Fact[]} */
  const known = [];
  /** @type {Map<string, Fact>} */
  const felt = new Map();
  const ids = new Set(facts.map((one) => one.id));
  for (const fact of facts) {
    const found = understand(fact, upcasters);
    if ("fact" in found) {
      known.push(found.fact);
      continue;
    }
    flags.push(found.flag);
    const feeling = believedFeeling(fact, found.flag);
    if (feeling) felt.set(canonical(feeling), feeling);
  }
  const stream = mostTold(known);
  for (const one of known) {
    if (one.stream !== stream) flags.push(flag(one.id, one.kind, "stream", "stream"));
  }
  const alike = byId(known.filter((one) => one.stream === stream));
  const firsts = alike.map(([first]) => /** @type {Fact} */ (first));
  const withdrawals = firsts.filter((one) => one.kind === "taken.back");
  const back = new Set(withdrawals.map((one) => one.payload["fact"]));
  for (const one of withdrawals) {
    if (!ids.has(one.payload["fact"])) flags.push(flag(one.id, one.kind, "orphan", "fact"));
  }
  const slips = new Set(
    firsts.filter((one) => back.has(one.id) && one.kind !== "taken.back").map((one) => one.id),
  );
  const others = alike.flatMap((same) => same.slice(1));
  others.push(...[...felt.values()].filter((one) => one.stream === stream));
  return {
    stream,
    standing: firsts.filter((one) => !slips.has(one.id)),
    believed: others.filter((one) => !back.has(one.id)),
    takenBack: [...slips].sort(compare),
    conflicts: alike.flatMap(([kept, ...left]) =>
      kept && left.length ? [{ code: "same_id", foils: [], kept, left }] : [],
    ),
    flags,
  };
}

/**
 * Group understood facts by id, each group the different texts of one id, all in order.
 * @param {Fact[]} facts
 * @returns {Fact[][]}
 */
function byId(facts) {
  /** @type {Map<string, Map<string, Fact>>} */
  const found = new Map();
  for (const fact of [...facts].sort(order)) {
    const same = found.get(fact.id) ?? new Map();
    const text = canonical(fact);
    if (!same.has(text)) same.set(text, fact);
    found.set(fact.id, same);
  }
  return [...found.values()].map((same) => [...same.values()]);
}

/**
 * Give the visit with the most facts, each id once; of equals the first by name.
 * @param {Fact[]} known
 */
function mostTold(known) {
  /** @type {Map<string, Set<string>>} */
  const counted = new Map();
  for (const fact of known) {
    counted.set(fact.stream, (counted.get(fact.stream) ?? new Set()).add(fact.id));
  }
  const ranked = [...counted].sort(
    ([a, few], [b, many]) => compare(many.size, few.size) || compare(a, b),
  );
  return ranked[0]?.[0] ?? "";
}
