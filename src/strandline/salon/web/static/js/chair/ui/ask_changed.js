// Things changed: one tap opens, one says what. The server plans anew and what follows is shown.

import { said, toPlace } from "../course.js";
import { extraOf } from "../extra.js";
import { Refused } from "../sender.js";
import { runs, word } from "../words.js";
import { dialog, fill, find, made, say } from "./draw.js";

/** @typedef {import("../state.js").State} State */
/** @typedef {import("../course.js").Said} Said */

/** Results that an uneven head asks a remedy for. */
const UNEVEN = ["even", "back light", "band warm", "spot", "ends grabbed"];

export class AskChanged {
  /**
   * @param {State} state
   * @param {{tapped: (tap: Said[]) => Promise<void>, plan: () => Promise<any>, missed: () => void}} hands
   *     `plan` gives the rest of the visit, and throws where the server is gone
   */
  constructor(state, { tapped, plan, missed }) {
    this.state = state;
    this.tapped = tapped;
    this.plan = plan;
    this.foil = 1;
    this.owed = false;
    /** @type {() => import("./draw.js").Child[]} what this device knows before the server answers */
    this.atOnce = () => [];
    this.stays = false;
    for (const button of document.querySelectorAll("#changed [data-what]")) {
      button.addEventListener("click", () => void this.chosen(/** @type {HTMLElement} */ (button)));
    }
    find("#missed-open").addEventListener("click", () => {
      dialog("#changed").close();
      missed();
    });
    find("#changed-less").addEventListener("click", () => this.step(-1));
    find("#changed-more").addEventListener("click", () => this.step(1));
  }

  open() {
    const { way, visit, plan } = this.state.look();
    this.foil = way.foil ?? visit.foils_done.at(-1) ?? toPlace(plan, visit)[0]?.first ?? 1;
    this.step(0);
    find("#changed-toner").hidden = visit.glosses.length === 0;
    dialog("#changed").showModal();
  }

  /** @param {number} by */
  step(by) {
    this.foil = Math.min(Math.max(this.foil + by, 1), 400);
    for (const place of document.querySelectorAll("#changed .foil")) say(place, `${this.foil}`);
  }

  /** @param {HTMLElement} button */
  async chosen(button) {
    const ask = dialog("#changed");
    if (!ask.open) return;
    ask.close();
    await this.tapped(this.saidBy(button));
    await this.follow();
  }

  /**
   * @param {HTMLElement} button
   * @returns {Said[]}
   */
  saidBy(button) {
    const what = button.dataset["what"] ?? "other";
    const foils = [this.foil];
    const { plan, visit } = this.state.look();
    if (what === "dropped") return [said("foil.dropped", { foils })];
    if (what === "added") {
      const of = toPlace(plan, visit)[0] ?? plan.sections.at(-1);
      const number = Math.max(plan.last_foil, ...visit.foils_done, ...visit.added) + 1;
      const { section = "front", bowl = "main" } = of ?? {};
      return [said("foil.added", { foils: [number], section, bowl })];
    }
    if (UNEVEN.includes(what)) {
      const form = new FormData(/** @type {HTMLFormElement} */ (find("#changed-where")));
      return [said("result.seen", { area: String(form.get("area")), evenness: what })];
    }
    const minutes = Number(button.dataset["minutes"] ?? 0);
    const more = ["bleed", "slip"].includes(what) ? { foils } : {};
    return [said("changed", { what, ...(minutes ? { minutes } : {}), ...more })];
  }

  /**
   * Show what follows; where the server is gone, say that it is owed.
   * @param {() => import("./draw.js").Child[]} [atOnce] what is known here already
   * @param {boolean} [stays] it stands beside what the server says
   */
  async follow(atOnce = () => [], stays = false) {
    this.atOnce = atOnce;
    this.stays = stays;
    const shown = dialog("#follows");
    if (!shown.open) shown.showModal();
    this.tell(word("planning"));
    try {
      const anew = await this.plan();
      this.owed = false;
      await this.state.add(extraOf(this.state.first, anew));
      this.show(anew);
    } catch (error) {
      this.owed = !(error instanceof Refused);
      const isRefused = error instanceof Refused;
      this.tell(isRefused ? word("anew_failed", { what: error.message }) : word("changed_kept"));
    }
  }

  /** The server is there again: show what was owed. */
  async paid() {
    if (!this.owed) return;
    this.owed = false;
    await this.follow(this.atOnce, this.stays);
  }

  /** @param {string} words */
  tell(words) {
    fill(find("#follows-words"), [words, Date.now()], () => [
      ...this.atOnce(),
      made("p", { class: "lead", text: words }),
    ]);
  }

  /** @param {any} anew as the server plans it */
  show(anew) {
    const { finish, finish_low: low, finish_high: high, booked_until: booked } = anew;
    const leftOut = /** @type {number[]} */ (anew.dropped);
    fill(find("#follows-words"), [anew, Date.now()], () => [
      anew.rinse_now && made("p", { class: "told stop" }, made("b", { text: anew.rinse_now })),
      ...(this.stays && !anew.rinse_now ? this.atOnce() : []),
      finish && made("p", { class: "lead", text: word("finish_at", { time: finish, low, high, booked }) }),
      made("ol", { class: "steps" }, ...anew.steps.map(
        (/** @type {{at: string | null, what: string, why: string, caution: string}} */ step) =>
          made("li", {},
            made("b", { class: "at", text: step.at ?? "" }),
            made("span", { text: step.what }),
            made("span", { class: "quiet", text: step.why }),
            step.caution && made("span", { class: "told caution", text: step.caution })),
      )),
      leftOut.length > 0 && this.leaveOut(leftOut),
      ...anew.cautions.map((/** @type {string} */ one) =>
        made("p", { class: "told caution", text: one })),
    ]);
  }

  /** @param {number[]} foils */
  leaveOut(foils) {
    const button = made("button", {
      type: "button", class: "go", text: word("leave_out", { foils: runs(foils) }),
      on: {
        click: async () => {
          button.setAttribute("disabled", "");
          await this.tapped([said("foil.dropped", { foils, why: "time" })]);
          say(button, word("left_out"));
        },
      },
    });
    return made("p", {}, button);
  }
}

/**
 * The local time that the server plans from, HH:MM: the minute that begins next, for facts after
 * it are not looked at, and what was tapped just now must be.
 * @param {number} ms
 */
export function clockOf(ms) {
  return new Date(ms + 59_999).toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
}

