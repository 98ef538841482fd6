// What the checks of this visit teach, and how long each bowl's hair is waited for under it: as
// service/anew/checked.py, on the vectors awaited_*.json.

import { tau } from "./check.js";
import { dueOf, etaOf, wantedProgress } from "./due.js";
import { learnt } from "./learning.js";
import { bowlOf } from "./plan.js";

/** @typedef {import("./plan.js").ChairPlan} ChairPlan */
/** @typedef {import("./plan.js").Stretch} Stretch */
/** @typedef {import("./plan.js").Visit} Visit */
/** @typedef {import("./plan.js").PlacedFoil} PlacedFoil */
/** @typedef {{[bowl: string]: number}} Poured strength as mixed, vol */
/** @typedef {{low: number, middle: number, high: number, out: number}} Awaited minutes from start */

/**
 * Learn from the checks of a visit and give each bowl's wait.
 * @param {ChairPlan} plan
 * @param {Visit} visit
 * @returns {{taught: number, waits: {[bowl: string]: Awaited}}}
 */
export function awaited(plan, visit) {
  const poured = Object.fromEntries(
    visit.bowls.map((one) => [one["bowl"].trim().toLowerCase(), one["developer_vol"]]),
  );
  const checks = checksOf(plan, visit, poured);
  const found = learnt(plan.numbers, plan.belief, checks);
  const belief = "override" in found ? plan.belief : found;
  const waits = Object.keys(plan.waits).map((bowl) => [
    bowl,
    waitOf(plan, bowl, belief, poured),
  ]);
  return { taught: checks.length, waits: Object.fromEntries(waits) };
}

/**
 * @param {ChairPlan} plan
 * @param {Visit} visit
 * @param {Poured} poured
 * @returns {import("./check.js").Check[]}
 */
function checksOf(plan, visit, poured) {
  return visit.checks.flatMap((seen) => {
    const foil = foilOf(visit, seen);
    const minutes = seen["minutes"] ?? 0;
    const told = minutes > plan.first_seen_min && minutes <= plan.numbers["longest_min"];
    const stretch = foil && told ? stretchOf(plan, seen["band"], bowlOf(plan, foil)) : undefined;
    if (!foil || !stretch) return [];
    return {
      foil: foil.number,
      minutes,
      stage: seen["stage"],
      sureness: seen["sureness"],
      dried: seen["dried"],
      rinsed: false,
      hair: mixed(stretch, recorded(foil, stretch, poured)),
      ground: stretch.ground,
    };
  });
}

/**
 * @param {Visit} visit
 * @param {{[name: string]: any}} seen
 * @returns {PlacedFoil | undefined}
 */
function foilOf(visit, seen) {
  if (seen["foil"] !== null) return visit.foils.find((foil) => foil.number === seen["foil"]);
  return visit.foils.find((foil) => foil.section === seen["section"]);
}

/**
 * Give the stretch a check was made on: the one named, else the longest of the bowl.
 * @param {ChairPlan} plan
 * @param {string | null} band
 * @param {string} bowl
 */
function stretchOf(plan, band, bowl) {
  const served = served_(plan, bowl);
  const isRegrowth = (band ?? "").toLowerCase().includes("regrowth");
  const named = served.filter((one) => one.band.startsWith("regrowth") === isRegrowth);
  const among = band && named.length ? named : served;
  return among.reduce(
    (/** @type {Stretch | undefined} */ longest, one) =>
      longest && longest.length_cm >= one.length_cm ? longest : one,
    undefined,
  );
}

/**
 * @param {ChairPlan} plan
 * @param {string} bowl
 */
function served_(plan, bowl) {
  return plan.stretches.filter((one) => bowl === "strong" || bowl === one.bowl);
}

/**
 * Give the strengths as mixed, with the bowl the foil was filled from for its stretch's own.
 * @param {PlacedFoil} foil
 * @param {Stretch} stretch
 * @param {Poured} poured
 */
function recorded(foil, stretch, poured) {
  const name = (foil.bowl ?? "").trim().toLowerCase();
  const vol = poured[name];
  return vol === undefined || name === "strong" ? poured : { ...poured, [stretch.bowl]: vol };
}

/**
 * @param {Stretch} stretch
 * @param {Poured} poured
 */
function mixed(stretch, poured) {
  return { ...stretch.hair, developer_vol: poured[stretch.bowl] ?? stretch.hair.developer_vol };
}

/**
 * Give the wait of a bowl's foils: of the stretch that takes longest, its delay included.
 * @param {ChairPlan} plan
 * @param {string} bowl
 * @param {import("./due.js").Believed} belief
 * @param {Poured} poured
 * @returns {Awaited}
 */
function waitOf(plan, bowl, belief, poured) {
  const wait = /** @type {import("./plan.js").Wait} */ (plan.waits[bowl]);
  const asPlanned = { low: wait.due_min, middle: wait.due_min, high: wait.due_min };
  const found = served_(plan, bowl).map((one) =>
    ofStretch(plan, one, belief, poured, wait.longest_min),
  );
  return found.reduce(
    (/** @type {Awaited | undefined} */ latest, one) =>
      latest && latest.out >= one.out ? latest : one,
    undefined,
  ) ?? { ...asPlanned, out: wait.out_min };
}

/**
 * @param {ChairPlan} plan
 * @param {Stretch} stretch
 * @param {import("./due.js").Believed} unchecked
 * @param {Poured} poured
 * @param {number} labelMin
 * @returns {Awaited}
 */
function ofStretch(plan, stretch, { mean, cov }, poured, labelMin) {
  const { numbers } = plan;
  const belief = { mean, cov };
  const hair = mixed(stretch, poured);
  const longest = labelMin - stretch.after_min;
  const wanted = wantedProgress(stretch.ground, stretch.aim_stage);
  const due = dueOf(numbers, belief, { hair, wanted, labelMin: longest });
  let out = due.middle;
  if (!(due.middle < longest)) {
    const gained = Math.exp(etaOf(numbers, belief, hair).mean) * tau(numbers, longest);
    const last = stageAt(stretch.ground, gained) - plan.no_more;
    const less = wantedProgress(stretch.ground, last);
    out = dueOf(numbers, belief, { hair, wanted: less, labelMin: longest }).middle;
  }
  const after = stretch.after_min;
  return {
    low: due.low + after,
    middle: due.middle + after,
    high: due.high + after,
    out: Math.min(out + after, labelMin),
  };
}

/**
 * The stage a ground has at a progress, held at its ends.
 * @param {import("./check.js").Ground} ground
 * @param {number} progress
 */
function stageAt({ gained, stages }, progress) {
  const above = gained.findIndex((value) => value >= progress);
  if (above < 0) return Number(stages.at(-1));
  if (above === 0) return Number(stages[0]);
  const [x0, x1, s0, s1] = [gained[above - 1], gained[above], stages[above - 1], stages[above]].map(
    Number,
  );
  return s0 + ((progress - x0) / (x1 - x0)) * (s1 - s0);
}
