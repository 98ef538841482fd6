// What she feels, and the cautions: one tap away at every minute of the visit.

import { said } from "../course.js";
import { timeOf, word } from "../words.js";
import { dialog, fill, find, made } from "./draw.js";

/** @typedef {import("../state.js").Now} Now */

/**
 * @param {(tap: import("../course.js").Said[]) => Promise<void>} tapped
 */
export function listenFelt(tapped) {
  for (const button of document.querySelectorAll("#felt [data-felt]")) {
    const what = /** @type {HTMLElement} */ (button).dataset["felt"];
    button.addEventListener("click", async () => {
      await tapped([said("felt", { what })]);
      scrollTo({ top: 0 });
    });
  }
  find("#felt-rinsed").addEventListener("click", async () => {
    await tapped([said("rinsed")]);
    dialog("#felt").close();
  });
}

/** @param {Now} now */
export function showFelt({ visit, plan }) {
  fill(find("#felt-told"), visit.feelings, () =>
    visit.feelings.map((one) => {
      const time = timeOf(Date.parse(one.time));
      const kept = word("felt_kept", { time, what: word(one["what"]) });
      const rinsed = one["rinsed"];
      const after = rinsed ? word("rinsed_at", { time: timeOf(Date.parse(rinsed)) }) : word("not_rinsed");
      return made("li", { text: `${kept} ${after}` });
    }),
  );
  fill(find("#cautions"), plan.cautions, () =>
    plan.cautions.map((one) =>
      made("div", { class: "told caution" }, made("b", { text: one.what }), one.do),
    ),
  );
}
