// A check made into what it says of the log rate of lift. The steps and their reasons stand at the
// head of service/learning/check.py; the vectors checks_*.json hold for both.

/** @typedef {{[name: string]: any}} Numbers the constants of learning, as a vector carries them */
/** @typedef {{gained: number[], stages: number[]}} Ground progress and the stage reached at it */
/**
 * @typedef {object} Hair
 * @property {boolean} old_colour
 * @property {boolean} first_cm
 * @property {boolean} stacked
 * @property {number} developer_vol
 * @property {number} gray_under
 */
/**
 * @typedef {object} Check
 * @property {number} foil
 * @property {number} minutes in, from the foil's own start
 * @property {number} stage as seen
 * @property {string} sureness
 * @property {boolean | null} dried
 * @property {boolean} rinsed judged dry, after the rinse
 * @property {Hair} hair
 * @property {Ground} ground
 */
/**
 * @typedef {object} Observation
 * @property {number} foil
 * @property {number[]} h its row
 * @property {number} z its reading
 * @property {number} e its sd
 * @property {number} bound 1 at least, -1 at most, 0 ordinary
 * @property {number[]} key the order of checks
 */

const LOWEST_SEEN = 3;
const PERCENT_PER_VOL = 0.3;
const REFERENCE_PERCENT = 6;
const HALF_GRAY = 0.5;

/**
 * @param {number[]} a
 * @param {number[]} b
 */
export function dot(a, b) {
  return a.reduce((sum, value, at) => sum + value * (b[at] ?? 0), 0);
}

/**
 * Dose of a bowl that dries, in minutes at its full rate.
 * @param {Numbers} numbers
 * @param {number} minutes
 */
export function tau(numbers, minutes) {
  const slow = numbers["strength_exponent"] * numbers["decay_per_min"];
  const fast = slow + 1 / numbers["lag_min"];
  return (1 - Math.exp(-slow * minutes)) / slow - (1 - Math.exp(-fast * minutes)) / fast;
}

/**
 * Which unknowns the log rate stands on, and by how much.
 * @param {Hair} hair
 */
export function rowOf(hair) {
  const against = Math.log((hair.developer_vol * PERCENT_PER_VOL) / REFERENCE_PERCENT);
  const flags = [hair.old_colour, hair.first_cm, hair.stacked].map(Number);
  return [1, 1, 1, ...flags, against, 0];
}

/**
 * Log rate at the means, with what is known of white under old colour.
 * @param {Numbers} numbers
 * @param {Hair} hair
 */
export function middleOf(numbers, hair) {
  const white = numbers["old_colour_white"] * (hair.gray_under - HALF_GRAY);
  const known = hair.old_colour ? white : 0;
  return numbers["mu"] + dot(rowOf(hair), numbers["means"]) + known;
}

/**
 * The first progress at a stage above the ground's first, and its slope there.
 * @param {Ground} ground
 * @param {number} stage
 */
export function progressAt({ gained, stages }, stage) {
  const above = stages.findIndex((value) => value >= stage);
  const [x0, x1, s0, s1] = [gained[above - 1], gained[above], stages[above - 1], stages[above]].map(
    Number,
  );
  const rise = (x1 - x0) / (s1 - s0);
  return { x: x0 + rise * (stage - s0), rise };
}

/**
 * Say what a check tells; null where start and stall lie so near that no stage tells them apart.
 * @param {Numbers} numbers
 * @param {Check} check
 * @param {number} bias levels by which wet hair reads darker, the belief's mean
 * @returns {Observation | null}
 */
export function observed(numbers, check, bias) {
  const { stages } = check.ground;
  const share = numbers[`wet_share_${check.rinsed ? "dry" : check.dried ? "pinched" : "wiped"}`];
  const first = Number(stages[0]) + numbers["start_margin"];
  const best = Number(stages.at(-1)) - numbers["stall_margin"];
  if (!(first < best)) return null;
  const darkest = check.stage <= LOWEST_SEEN;
  const seen = check.stage + share * bias + (darkest ? numbers["start_margin"] : 0);
  const bound = seen >= best ? 1 : darkest || seen <= first ? -1 : 0;
  const { x, rise } = progressAt(check.ground, Math.min(Math.max(seen, first), best));
  const slope = bound ? 0 : (share * rise) / x;
  const eye = numbers["reading_sd"] * numbers[`sureness_${check.sureness}`];
  const step = bound ? 0 : ((numbers["call_step"] / Math.sqrt(12)) * rise) / x;
  const y = Math.log(x) - Math.log(tau(numbers, check.minutes));
  const row = rowOf(check.hair);
  const middle = middleOf(numbers, check.hair);
  const e = Math.sqrt(eye * eye + step * step);
  return {
    foil: check.foil,
    h: [...row.slice(0, -1), -slope],
    z: y - middle - slope * bias,
    e,
    bound,
    key: [check.minutes, check.foil, bound, y, slope, e, bias, middle, ...row],
  };
}
