// It missed: one tap says how, and the plan's steps back follow on this device at once.

import { answerTo, missSaid } from "../missed.js";
import { word } from "../words.js";
import { dialog, fill, find, made } from "./draw.js";

/** @typedef {import("../state.js").State} State */
/** @typedef {import("../missed.js").Answer} Answer */
/** @typedef {import("./draw.js").Child} Child */

export class AskMissed {
  /**
   * @param {State} state
   * @param {{tapped: (tap: import("../course.js").Said[]) => Promise<void>,
   *   follow: (atOnce: () => Child[], stays: boolean) => Promise<void>}} hands
   */
  constructor(state, { tapped, follow }) {
    this.state = state;
    this.tapped = tapped;
    this.follow = follow;
    find("#missed-other").addEventListener("submit", (event) => {
      event.preventDefault();
      const field = /** @type {HTMLInputElement} */ (find("#missed-words"));
      const text = field.value.trim();
      field.value = "";
      if (text) void this.chosen(text);
    });
  }

  /** @param {string} [place] the gloss put on last unless named */
  open(place) {
    const { plan, visit } = this.state.look();
    const places = [...new Set(visit.glosses.map((one) => String(one["place"])))];
    const at = place ?? places.at(-1);
    fill(find("#missed-places"), [places, at, Date.now()], () =>
      places.map((one) =>
        made("label", {},
          made("input", { type: "radio", name: "place", value: one, checked: one === at }), one)),
    );
    fill(find("#misses"), plan.misses ?? [], () =>
      (plan.misses ?? []).map(({ said, also }) =>
        made("button", {
          type: "button", class: "way", "data-miss": said,
          on: { click: () => void this.chosen(said) },
        }, made("b", { text: said }), made("span", { class: "quiet", text: also.join(", ") }))),
    );
    dialog("#missed").showModal();
  }

  /** @param {string} tone a miss's own words, or hers */
  async chosen(tone) {
    const ask = dialog("#missed");
    if (!ask.open) return;
    ask.close();
    const form = new FormData(/** @type {HTMLFormElement} */ (find("#missed-where")));
    const place = String(form.get("place"));
    const { plan, visit } = this.state.look();
    const answer = answerTo(plan, visit, place, tone);
    await this.tapped([missSaid(plan, place, tone)]);
    await this.follow(() => drawn(answer, place, tone), answer.steps.length === 0);
  }
}

/**
 * @param {Answer} answer
 * @param {string} place
 * @param {string} tone
 * @returns {Child[]}
 */
function drawn({ hurts, felt, rinse, steps, held, miss }, place, tone) {
  if (hurts) return [made("p", { class: "told stop" }, made("b", { text: word("hurt") }))];
  return [
    made("p", { class: "lead", text: `${place}: ${tone}` }),
    felt && made("p", { class: "told caution", text: word("felt_before") }),
    rinse && made("p", {}, made("b", { text: word("miss_rinse", { place }) })),
    steps.length > 0 && made("ol", { class: "steps" }, ...steps.map((step) =>
      made("li", { "data-step": step.name },
        made("span", { text: step.what }),
        made("span", { class: "quiet", text: word("miss_then", { away: step.away_de00 }) }),
        step.gate && made("span", { class: "told caution", text: step.gate })))),
    held && made("p", { class: "told caution", text: word("no_relight") }),
    !steps.length && !held && made("p", { text: miss || word("miss_untold") }),
  ];
}
