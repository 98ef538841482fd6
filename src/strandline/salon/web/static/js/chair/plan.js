// The plan as the chair gets it from the server: one JSON, whose shape is ChairPlan in
// salon/web/chair/model.py.

/** @typedef {import("./check.js").Hair} Hair */
/** @typedef {import("./check.js").Ground} Ground */
/** @typedef {import("../facts/fold.js").Visit} Visit */
/** @typedef {import("../facts/placed.js").PlacedFoil} PlacedFoil */
/**
 * A section of the order of work: foils that follow each other from one bowl.
 * @typedef {object} Section
 * @property {string} section
 * @property {number} first
 * @property {number} last
 * @property {string} bowl
 * @property {string} bowl_words
 * @property {string[]} lines where each run of foils is taken, how, at what space, how thick
 * @property {number} start_min
 * @property {string} out_how wipe or rinse
 * @property {number[]} pace_min minutes each foil takes at her pace
 * @property {{band: string, bowl: string, after_min: number}[]} later what is painted later
 */
/**
 * @typedef {object} Wait
 * @property {number} due_min
 * @property {number} out_min
 * @property {number} first_check_min
 * @property {number} longest_min the label's longest time
 */
/**
 * A stretch of hair under one bowl.
 * @typedef {object} Stretch
 * @property {string} bowl
 * @property {string} band
 * @property {number} length_cm
 * @property {number} after_min
 * @property {number} aim_stage
 * @property {Hair} hair
 * @property {Ground} ground
 */
/** @typedef {{stage: number, name: string, colour: string}} Stage */
/**
 * @typedef {object} Gloss
 * @property {string} place
 * @property {string} recipe
 * @property {string[]} grams
 * @property {number} first_look_min
 * @property {number} minutes_low
 * @property {number} minutes_high
 * @property {number} alone_min until the next place begins, or the rinse
 * @property {string} colour
 * @property {string} why
 * @property {string} miss
 */
/** @typedef {{name: string, what: string, away_de00: number, gate: string}} Back a step back */
/**
 * A way a toner may miss.
 * @typedef {object} Miss
 * @property {string} said what a fact says of it
 * @property {string[]} also words that say it at a glance
 * @property {string[]} words all words that name it
 * @property {string} turned how far a tone has turned that misses so
 * @property {{[place: string]: Back[]}} back
 */
/** @typedef {{what: string, do: string, step: string}} Caution */
/**
 * @typedef {object} Bowl
 * @property {string} name
 * @property {string} what
 * @property {number} count
 * @property {string[]} grams
 * @property {number} developer_vol
 * @property {number} developer_grams
 * @property {number} powder_grams
 * @property {string} serves
 */
/**
 * @typedef {object} ChairPlan
 * @property {string} client
 * @property {string} date
 * @property {string} technique
 * @property {number | null} label_min
 * @property {number} aim_stage
 * @property {Section[]} sections
 * @property {Bowl[]} bowls
 * @property {{[bowl: string]: Wait}} waits
 * @property {Stretch[]} stretches
 * @property {{mean: number[], cov: number[][]}} belief
 * @property {{[name: string]: any}} numbers
 * @property {number} check_every_min
 * @property {number} first_seen_min a check sooner than this says nothing
 * @property {number} no_more how near its last stage lift is left, levels
 * @property {Stage[]} stages
 * @property {Gloss[]} gloss
 * @property {Miss[]} [misses] none in a plan that a device keeps from before
 * @property {Caution[]} cautions
 * @property {string[]} order
 * @property {number} last_foil
 * @property {number} minutes
 */

/**
 * Give the bowl a foil was filled from: as recorded, else as planned, else the last there is.
 * @param {ChairPlan} plan
 * @param {PlacedFoil} foil
 */
export function bowlOf(plan, foil) {
  const recorded = (foil.bowl ?? "").trim().toLowerCase();
  const names = Object.keys(plan.waits);
  const planned = sectionOf(plan, foil.number)?.bowl ?? "";
  const known = [recorded, planned, "main", ...[...names].reverse()];
  return known.find((name) => names.includes(name)) ?? "";
}

/**
 * Give the planned section that holds a foil.
 * @param {ChairPlan} plan
 * @param {number} foil
 */
export function sectionOf(plan, foil) {
  return plan.sections.find(({ first, last }) => first <= foil && foil <= last);
}
