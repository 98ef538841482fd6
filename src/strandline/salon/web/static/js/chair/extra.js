// Foils that the plan made anew adds: a section more, placed after the others.

/** @typedef {import("./plan.js").ChairPlan} ChairPlan */
/** @typedef {import("./plan.js").Section} Section */
/**
 * What the server plans anew, as far as it adds foils.
 * @typedef {object} Anew
 * @property {number} added
 * @property {{foils: string, section: string, bowl: string, how: string}[]} groups
 * @property {{what: string}[]} steps
 */

/** Minutes a foil takes where the plan does not say; her pace is of planned foils. */
const FOIL_MIN = 1.5;

/**
 * Give the sections that a plan made anew adds beyond the last planned foil.
 * @param {ChairPlan} plan as it was at first
 * @param {Anew} anew
 * @returns {Section[]}
 */
export function extraOf(plan, anew) {
  if (!anew.added) return [];
  return anew.groups.flatMap(({ foils, section, bowl, how }) => {
    const [first = 0, last = first] = foils.split(/[-\u2013]/).map(Number);
    if (!(first > plan.last_foil)) return [];
    const told = anew.steps.find(({ what }) => what.includes(foils));
    return {
      section, first, last, bowl,
      bowl_words: bowl,
      lines: told ? [told.what] : [],
      start_min: 0,
      out_how: how,
      pace_min: Array.from({ length: last - first + 1 }, () => FOIL_MIN),
      later: [],
    };
  });
}

/**
 * Give the plan with sections added to it.
 * @param {ChairPlan} plan as it was at first
 * @param {Section[]} extra
 * @returns {ChairPlan}
 */
export function withExtra(plan, extra) {
  const last_foil = Math.max(plan.last_foil, ...extra.map(({ last }) => last));
  return { ...plan, sections: [...plan.sections, ...extra], last_foil };
}
