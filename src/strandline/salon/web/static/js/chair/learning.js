// Checks teach: a belief and what was seen give a belief, by the scalar update of a check.

import { dot, observed } from "./check.js";

/** @typedef {import("./check.js").Numbers} Numbers */
/** @typedef {import("./check.js").Observation} Observation */
/** @typedef {{foil: number, share: number, row: number[], reading: number, sd: number}} Own */
/** @typedef {{mean: number[], cov: number[][], own: Own[]}} Belief */
/** @typedef {{mean: number[], cov: number[][], distance: number, count: number}} State */
/** @typedef {{one: Observation, noise: number}} Weighed an observation and its variance */

/** What may be felt without a rinse at once. A word that is not known is believed to hurt. */
const HARMLESS = ["itch"];

/**
 * Learn from all the checks of a visit.
 * @param {Numbers} numbers
 * @param {{mean: number[], cov: number[][]}} belief as the visit began
 * @param {import("./check.js").Check[]} checks all that were made so far, in any order
 * @param {string[]} felt what the client feels, or 'harm'
 * @returns {Belief | {override: string[]}}
 */
export function learnt(numbers, belief, checks, felt = []) {
  const hurts = felt.filter((word) => !HARMLESS.includes(word));
  if (hurts.length) return { override: hurts };
  const bias = belief.mean.at(-1) ?? 0;
  const told = checks.flatMap((check) => observed(numbers, check, bias) ?? []).sort(byKey);
  if (!told.length) return { mean: belief.mean, cov: belief.cov, own: [] };
  return weighedPasses(numbers, belief, told);
}

/**
 * @param {Numbers} numbers
 * @param {{mean: number[], cov: number[][]}} belief
 * @param {Observation[]} told
 * @returns {Belief}
 */
function weighedPasses(numbers, belief, told) {
  const nu = numbers["student_nu"];
  const s2 = numbers["foil_sd"] ** 2;
  const information = (nu + 1) / (nu + 3);
  const weights = new Map(told.map((one) => [one, 1]));
  /** @type {Weighed[]} */
  let used = [];
  /** @type {State} */
  let state = { mean: belief.mean, cov: belief.cov, distance: 0, count: 0 };
  let widen = 1;
  for (let pass = 0; pass < numbers["passes"]; pass += 1) {
    used = told.map((one) => ({ one, noise: one.e ** 2 / (information * (weights.get(one) ?? 1)) }));
    state = onePass(belief, used, s2);
    if (pass === 0) widen = Math.max(1, (nu + state.distance) / (nu + state.count));
    for (const one of told) {
      const r = (one.z - dot(one.h, state.mean)) / Math.sqrt(one.e ** 2 + s2);
      weights.set(one, (nu + 1) / (nu + r * r));
    }
  }
  return {
    mean: state.mean,
    cov: state.cov.map((row) => row.map((value) => value * widen)),
    own: ownShares(used, s2, widen),
  };
}

/**
 * Move a normal law by weighed observations: ordinary ones foil by foil, then the one-sided that
 * the mean violates, the most violated first, without those that no longer bind.
 * @param {{mean: number[], cov: number[][]}} belief
 * @param {Weighed[]} weighed
 * @param {number} s2 variance of a foil's own rate
 * @returns {State}
 */
function onePass(belief, weighed, s2) {
  /** @type {State} */
  let after = { mean: belief.mean, cov: belief.cov, distance: 0, count: 0 };
  for (const group of byFoil(weighed).values()) after = takeFoil(after, group, s2);
  let sided = weighed.filter(({ one }) => one.bound !== 0);
  for (;;) {
    const { state, taken } = takeSided(after, sided, s2);
    const loose = taken.filter((pair) => violation(pair, state) <= 0);
    if (!loose.length) return state;
    sided = sided.filter((pair) => !loose.includes(pair));
  }
}

/**
 * @param {State} before
 * @param {Weighed[]} group
 * @param {number} s2
 */
function takeFoil(before, group, s2) {
  const k = before.mean.length;
  const zeros = before.mean.map(() => 0);
  let state = {
    ...before,
    mean: [...before.mean, 0],
    cov: [...before.cov.map((row) => [...row, 0]), [...zeros, s2]],
  };
  for (const { one, noise } of group) state = moved(state, [...one.h, 1], one.z, noise);
  return {
    ...state,
    mean: state.mean.slice(0, k),
    cov: state.cov.slice(0, k).map((row) => row.slice(0, k)),
  };
}

/**
 * @param {State} before
 * @param {Weighed[]} sided
 * @param {number} s2
 */
function takeSided(before, sided, s2) {
  let state = before;
  /** @type {Weighed[]} */
  const taken = [];
  for (;;) {
    const now = state;
    const left = sided.filter((pair) => !taken.includes(pair));
    const most = left.reduce(
      (/** @type {Weighed | undefined} */ worst, pair) =>
        worst && violation(worst, now) >= violation(pair, now) ? worst : pair,
      undefined,
    );
    if (!most || violation(most, now) <= 0) return { state, taken };
    state = moved(state, most.one.h, most.one.z, most.noise + s2);
    taken.push(most);
  }
}

/**
 * Condition on z = h . unknowns + an error of variance `noise`.
 * @param {State} state
 * @param {number[]} h
 * @param {number} z
 * @param {number} noise
 * @returns {State}
 */
function moved(state, h, z, noise) {
  const p = state.cov.map((row) => dot(row, h));
  const predicted = dot(h, p) + noise;
  const step = z - dot(h, state.mean);
  return {
    mean: state.mean.map((value, at) => value + (Number(p[at]) * step) / predicted),
    cov: state.cov.map((row, i) =>
      row.map((value, j) => value - (Number(p[i]) * Number(p[j])) / predicted),
    ),
    distance: state.distance + (step * step) / predicted,
    count: state.count + 1,
  };
}

/**
 * @param {Weighed} pair
 * @param {State} state
 */
function violation({ one }, state) {
  return (one.bound * (one.z - dot(one.h, state.mean))) / one.e;
}

/**
 * What a checked foil keeps to itself, by number.
 * @param {Weighed[]} used
 * @param {number} s2
 * @param {number} widen
 * @returns {Own[]}
 */
function ownShares(used, s2, widen) {
  const groups = [...byFoil(used)].sort(([a], [b]) => a - b);
  return groups.map(([foil, group]) => {
    const total = group.reduce((sum, { noise }) => sum + 1 / noise, 0);
    const whole = total + 1 / s2;
    const mean = (/** @type {(one: Observation) => number} */ of) =>
      group.reduce((sum, { one, noise }) => sum + of(one) / noise, 0) / total;
    return {
      foil,
      share: total / whole,
      row: (group[0]?.one.h ?? []).map((_, at) => mean((one) => one.h[at] ?? 0)),
      reading: mean((one) => one.z),
      sd: Math.sqrt(widen / whole),
    };
  });
}

/**
 * Group ordinary observations by foil, foils as they first come.
 * @param {Weighed[]} weighed
 */
function byFoil(weighed) {
  /** @type {Map<number, Weighed[]>} */
  const groups = new Map();
  for (const pair of weighed) {
    if (pair.one.bound !== 0) continue;
    groups.set(pair.one.foil, [...(groups.get(pair.one.foil) ?? []), pair]);
  }
  return groups;
}

/**
 * @param {Observation} a
 * @param {Observation} b
 */
function byKey(a, b) {
  const at = a.key.findIndex((value, index) => value !== b.key[index]);
  return at < 0 ? 0 : Number(a.key[at]) - Number(b.key[at]);
}
