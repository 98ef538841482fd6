// Which colour a strand has at a distance from the scalp in a week: what the shader does, in words.

import { inUnits } from "./bytes.js";

/** @typedef {import("./bytes.js").Told} Told */

/**
 * Give sRGB, 0-255, of a strand at a stretched distance, or null past its tip.
 * @param {Told} told
 * @param {number} way place among the ways
 * @param {number} strand
 * @param {number} week place among the weeks
 * @param {number} along cm from the scalp, stretched
 * @returns {[number, number, number] | null}
 */
export function colourAt(told, way, strand, week, along) {
  const { starts_cm: starts, grown, ages } = told.head.ways[way];
  const [length, growth, start, shed, tip] = ["length", "growth", "start", "shed", "tip"].map(
    (name) => inUnits(told, name)[strand],
  );
  const age = ages[week];
  const gone = shed <= age;
  const end = gone ? growth * (age - shed) : tip + growth * age;
  if (along > Math.min(end, length)) return null;
  const past = gone ? -1 : along - start - growth * age;
  const pace = growth / told.head.rate;
  let far = 0;
  const stretch = starts.filter((one, k) => {
    far = Math.max(far, one * (grown[k] ? pace : 1));
    return past >= far;
  }).length;
  const kind = told.arrays[`kind_${way}`][strand];
  const [, kinds, stretches] = told.head.arrays[`colour_${way}`].shape;
  const at = 3 * ((week * kinds + kind) * stretches + stretch);
  const colour = told.arrays[`colour_${way}`];
  return [colour[at], colour[at + 1], colour[at + 2]];
}
