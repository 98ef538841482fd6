// The plain lists under the clocks: grams, the order of the sections.

import { said } from "../course.js";
import { foilsWord, timeOf, word } from "../words.js";
import { range } from "../course.js";
import { fill, find, made } from "./draw.js";

/** @typedef {import("../state.js").Now} Now */

/**
 * @param {Now} now
 * @param {(tap: import("../course.js").Said[]) => void} tapped
 */
export function showLists({ plan, visit }, tapped) {
  const mixed = visit.bowls.map((one) => [one["bowl"], one.time]);
  fill(find("#grams"), [plan.bowls, mixed], () => [
    ...plan.bowls.map((bowl) => bowlOf(bowl, mixed, tapped)),
    ...plan.gloss.map((gloss) =>
      made("li", {}, made("b", { text: gloss.place }), ...gloss.grams.map(line)),
    ),
  ]);
  fill(find("#sections"), [plan.sections, visit.sections], () =>
    plan.sections.map((section) => {
      const span = visit.sections.find(
        (one) => section.first <= one.first_foil && one.first_foil <= section.last,
      );
      const times = [span?.start, span?.end].flatMap((time) => (time ? timeOf(Date.parse(time)) : []));
      return made("li", {},
        made("b", { text: foilsWord(range(section.first, section.last), "head") }),
        made("span", { text: `${section.section}, ${section.bowl_words}` }),
        times.length > 0 && made("span", { class: "quiet", text: times.join("–") }));
    }),
  );
  const flagged = visit.flagged.length;
  find("#flagged").hidden = !flagged;
  if (flagged) fill(find("#flagged"), flagged, () => [word("flagged", { count: flagged })]);
}

/**
 * @param {import("../plan.js").Bowl} bowl
 * @param {string[][]} mixed
 * @param {(tap: import("../course.js").Said[]) => void} tapped
 */
function bowlOf(bowl, mixed, tapped) {
  const { name, developer_vol, developer_grams, powder_grams } = bowl;
  const times = mixed.filter(([of]) => of === name).map(([, time]) => timeOf(Date.parse(String(time))));
  const payload = { bowl: name, developer_vol, developer_grams, powder_grams };
  return made("li", {},
    made("b", { text: bowl.count > 1 ? `${bowl.what} × ${bowl.count}` : bowl.what }),
    ...bowl.grams.map(line),
    made("span", { class: "quiet", text: bowl.serves }),
    made("button", {
      type: "button", class: "way", text: word("mixed"), "data-key": `mixed ${name}`,
      "aria-label": `${word("mixed")}: ${bowl.what}`,
      on: { click: () => tapped([said("bowl.mixed", payload)]) },
    }),
    times.length > 0 && made("span", { class: "quiet", text: word("mixed_at", { time: times.join(", ") }) }));
}

/** @param {string} text */
function line(text) {
  return made("span", { class: "gram", text });
}
