// A toner that missed: what a fact says of it, and the plan's steps back from it.

import { said } from "./course.js";

/** @typedef {import("./plan.js").ChairPlan} ChairPlan */
/** @typedef {import("./plan.js").Miss} Miss */
/** @typedef {import("./plan.js").Back} Back */
/** @typedef {import("./plan.js").Visit} Visit */
/**
 * @typedef {object} Answer
 * @property {boolean} hurts she feels what is rinsed at once: no step stands beside that
 * @property {boolean} felt she felt something today
 * @property {boolean} rinse it is still on, and comes off first
 * @property {Back[]} steps
 * @property {boolean} held lightening again was left out
 * @property {string} miss the plan's own sentence for the place, where no step is computed
 */

const RELIGHT = "lighten again";

/**
 * Give the miss that her words for a tone name, as `miss_in_words` of the service does.
 * @template {Pick<Miss, "words">} Named
 * @param {Named[]} misses in order
 * @param {string} text
 * @returns {Named | undefined}
 */
export function missInWords(misses, text) {
  const words = text.split(/\s+/).map((one) => one.replace(/^[.,;:!]+|[.,;:!]+$/g, "").toLowerCase());
  return misses.find((miss) => miss.words.some((one) => words.includes(one)));
}

/**
 * Give what a tap on a miss says, or her own words for one.
 * @param {ChairPlan} plan
 * @param {string} place
 * @param {string} tone a miss's own words, or hers
 */
export function missSaid(plan, place, tone) {
  const turned = missInWords(plan.misses ?? [], tone)?.turned ?? "there";
  return said("gloss.seen", { place, turned, tone });
}

/**
 * Give the answer to a miss from the plan that is here.
 * @param {ChairPlan} plan
 * @param {Visit} visit
 * @param {string} place
 * @param {string} tone
 * @returns {Answer}
 */
export function answerTo(plan, visit, place, tone) {
  const told = missInWords(plan.misses ?? [], tone)?.back[place] ?? [];
  const felt = visit.feelings.length > 0;
  const weak = visit.tests.some(
    (one) => one["test"] === "stretch" && one["outcome"] !== "clear",
  );
  const hurts = visit.rinse_now;
  const steps = hurts ? [] : told.filter((one) => one.name !== RELIGHT || !(felt || weak));
  const on = visit.glosses.filter((one) => one["place"] === place).at(-1);
  return {
    hurts, felt, steps,
    rinse: on?.["rinsed"] === null,
    held: !hurts && steps.length < told.length,
    miss: told.length ? "" : (plan.gloss.find((step) => step.place === place)?.miss ?? ""),
  };
}
