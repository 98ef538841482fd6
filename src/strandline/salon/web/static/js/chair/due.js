// New clocks: minutes to its aim of every foil under what is believed.

import { dot, middleOf, progressAt, rowOf, tau } from "./check.js";

/** @typedef {import("./check.js").Numbers} Numbers */
/** @typedef {import("./check.js").Hair} Hair */
/** @typedef {import("./check.js").Ground} Ground */
/** @typedef {{mean: number[], cov: number[][], own?: import("./learning.js").Own[]}} Believed */
/** @typedef {{low: number, middle: number, high: number, labelFirst: boolean}} Due */

/**
 * Progress at which a ground reaches a stage; infinite where it stalls below.
 * @param {Ground} ground
 * @param {number} aim
 */
export function wantedProgress(ground, aim) {
  if (aim <= Number(ground.stages[0])) return 0;
  return aim <= Number(ground.stages.at(-1)) ? progressAt(ground, aim).x : Infinity;
}

/**
 * Log rate of a foil's hair with its sd; of a checked foil with its own share.
 * @param {Numbers} numbers
 * @param {Believed} belief
 * @param {Hair} hair
 * @param {number} [foil]
 */
export function etaOf(numbers, belief, hair, foil) {
  const own = belief.own?.find((one) => one.foil === foil);
  const share = own?.share ?? 0;
  const row = rowOf(hair).map((value, at) => value - share * (own?.row[at] ?? 0));
  const sd = own?.sd ?? numbers["foil_sd"];
  const variance = dot(row, belief.cov.map((line) => dot(line, row))) + sd ** 2;
  const mean = middleOf(numbers, hair) + share * (own?.reading ?? 0) + dot(row, belief.mean);
  return { mean, sd: Math.sqrt(variance) };
}

/**
 * Set the clock of hair anew: 10, 50 and 90 % of the minutes to its aim, none past the label's
 * longest; infinite where the ground stalls below it.
 * @param {Numbers} numbers
 * @param {Believed} belief
 * @param {{hair: Hair, wanted: number, labelMin: number, foil?: number}} asked
 * @returns {Due}
 */
export function dueOf(numbers, belief, { hair, wanted, labelMin, foil }) {
  const { mean, sd } = etaOf(numbers, belief, hair, foil);
  const at = (/** @type {number} */ z) => minutesTo(numbers, mean + z * sd, wanted);
  const middle = at(0);
  const capped = (/** @type {number} */ minutes) =>
    wanted === Infinity ? Infinity : Math.min(minutes, labelMin);
  return {
    low: capped(at(numbers["z90"])),
    middle: capped(middle),
    high: capped(at(-numbers["z90"])),
    labelFirst: middle >= labelMin,
  };
}

/**
 * Minutes one bowl needs for a progress, by halving; infinite where it dries before.
 * @param {Numbers} numbers
 * @param {number} eta
 * @param {number} wanted
 */
function minutesTo(numbers, eta, wanted) {
  const needed = wanted * Math.exp(-eta);
  let [low, high] = [0, numbers["longest_min"]];
  if (tau(numbers, high) < needed) return Infinity;
  if (wanted <= 0) return 0;
  for (let turn = 0; turn < numbers["halvings"]; turn += 1) {
    const half = (low + high) / 2;
    if (tau(numbers, half) >= needed) high = half;
    else low = half;
  }
  return high;
}
