// Alarms as a picture: the gravest in large words, the others counted under it.

import { foilsWord, word } from "../words.js";
import { fill, find, made } from "./draw.js";

/** @typedef {import("../alarms.js").Alarm} Alarm */

/** @param {Alarm[]} all the gravest first; beside what hurts nothing else is shown */
export function showAlarms(all) {
  const alarms = all[0]?.sort === "hurt" ? all.slice(0, 1) : all;
  const place = find("#alarm");
  place.hidden = !alarms.length;
  place.dataset["sort"] = alarms[0]?.sort ?? "";
  document.title = [alarms[0] && wordsOf(alarms[0]), place.dataset["title"]]
    .filter(Boolean)
    .join(" · ");
  fill(find("#alarm-words"), alarms.map((one) => one.key), () =>
    alarms.map((one, at) => made(at ? "span" : "strong", { text: wordsOf(one) })),
  );
}

/** @param {Alarm} alarm */
function wordsOf({ sort, foils, place }) {
  return word(`alarm_${sort}`, { foils: foilsWord(foils), place });
}

