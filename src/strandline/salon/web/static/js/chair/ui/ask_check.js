// A check: one tap on the stage that is seen; which foil, how sure and how dry are set before it.

import { said } from "../course.js";
import { word } from "../words.js";
import { dialog, fill, find, made, say, swatch } from "./draw.js";

/** @typedef {import("../clocks.js").Group} Group */
/** @typedef {import("../plan.js").ChairPlan} ChairPlan */

export class AskCheck {
  /**
   * @param {ChairPlan} plan
   * @param {(tap: import("../course.js").Said[]) => Promise<void>} tapped
   */
  constructor(plan, tapped) {
    this.plan = plan;
    this.tapped = tapped;
    /** @type {number[]} */
    this.foils = [];
    this.foil = 0;
    find("#check-less").addEventListener("click", () => this.step(-1));
    find("#check-more").addEventListener("click", () => this.step(1));
  }

  /** @param {Group} group */
  open(group) {
    this.foils = group.foils;
    this.foil = Number(group.foils[0]);
    const { stages, aim_stage: aim } = this.plan;
    fill(find("#stages"), stages, () =>
      stages.map(({ stage, name, colour }) => {
        const isWhole = Number.isInteger(stage) || stage > 10;
        return made(
          "button", {
            type: "button", class: isWhole ? "stage" : "stage half",
            "aria-label": word("stage", { stage, name }),
            on: { click: () => void this.seen(stage) },
          },
          made("span", { class: "colour" }, swatch(colour)),
          made("b", { text: `${stage}` }),
          isWhole && made("span", { class: "name", text: name }),
          stage === aim && made("span", { class: "aim", text: word("aim") }),
        );
      }),
    );
    this.told();
    dialog("#check").showModal();
  }

  /** @param {number} by */
  step(by) {
    const at = this.foils.indexOf(this.foil) + by;
    this.foil = this.foils[Math.min(Math.max(at, 0), this.foils.length - 1)] ?? this.foil;
    this.told();
  }

  told() {
    say(find("#check-title"), word("stage_of", { foil: this.foil }));
    find("#check-less").toggleAttribute("disabled", this.foil === this.foils[0]);
    find("#check-more").toggleAttribute("disabled", this.foil === this.foils.at(-1));
  }

  /** @param {number} stage */
  async seen(stage) {
    const ask = dialog("#check");
    if (!ask.open) return;
    ask.close();
    const form = new FormData(/** @type {HTMLFormElement} */ (find("#check-how")));
    const payload = {
      foil: this.foil,
      stage,
      sureness: String(form.get("sureness")),
      dried: form.get("dried") === "yes",
    };
    await this.tapped([said("check.seen", payload)]);
  }
}
