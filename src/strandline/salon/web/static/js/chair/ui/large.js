// The one thing: the current section, its clock, and the large way on.

import { timeOf, foilsWord, runs, word } from "../words.js";
import { RINSE_AT_ONCE } from "../../facts/fold.js";
import { range } from "../course.js";
import { fill, find, made, say } from "./draw.js";

/** @typedef {import("../state.js").Now} Now */
/** @typedef {import("../course.js").Way} Way */

const MINUTE = 60_000;

/** @param {Now} now */
export function showLarge(now) {
  const { way, off, plan } = now;
  const place = find("#large");
  place.dataset["do"] = way.do;
  place.dataset["state"] = way.do === "out" ? way.group?.state ?? "" : "";
  const { title, lead, lines, tap } = told(now);
  fill(find("#large-words"), [way.do, title, lead, lines, tap], () => [
    lead && made("span", { class: "lead", text: lead }),
    made("strong", { class: "title", text: title }),
    ...lines.map((line) => made("span", { class: "line", text: line })),
    tap && made("span", { class: "tap", text: tap }),
  ]);
  say(find("#large-clock"), clock(now));
  const isPlacing = way.do === "place" && way.section;
  place.toggleAttribute("data-idle", !tap);
  find("#count").hidden = !isPlacing;
  if (way.section) {
    const count = way.section.last - way.section.first + 1 + off;
    say(find("#count-words"), word(count === 1 ? "count_one" : "count", { count }));
    find("#count-less").toggleAttribute("disabled", count <= 1);
  }
  const pause = find("#pause");
  pause.hidden = !way.pause;
  showBack(now);
  const order = plan.sections.length ? plan.sections : null;
  find("#order").hidden = !order;
}

/** @param {Now} now */
function showBack({ back }) {
  const button = find("#back");
  const time = back[0] ? timeOf(Date.parse(back[0].device_time)) : "";
  button.toggleAttribute("disabled", !back.length);
  button.title = word(back.length ? "back_takes" : "nothing_back", { time });
  say(find("#back-words"), back.length ? `${word("back")} ${time}` : word("back"));
}

/**
 * @param {Now} now
 * @returns {{title: string, lead: string, lines: string[], tap: string}}
 */
function told({ way, plan, visit, nowMs }) {
  const { section, group } = way;
  const nothing = { title: "", lead: "", lines: /** @type {string[]} */ ([]), tap: "" };
  switch (way.do) {
    case "begin":
    case "place": {
      if (!section) return nothing;
      const lead = word("section_of", { at: Number(way.at) + 1, of: plan.sections.length });
      const then = way.then ? runs(range(way.then.first, way.then.last)) : "";
      const tap = then ? word("place_then", { foils: then }) : word(way.do);
      return {
        title: foilsWord(range(section.first, section.last), "head"),
        lead: `${lead}: ${section.section}`,
        lines: [...section.lines, ...bowlLines(way, plan), ...later(way)],
        tap,
      };
    }
    case "check":
      return {
        ...nothing,
        title: word("check_now", { foils: foilsWord(group?.foils ?? []) }),
        lines: [word("check_how")],
        tap: word("tap_check"),
      };
    case "out": {
      const rinses = way.tap[0]?.kind === "rinsed";
      const foils = foilsWord(group?.foils ?? []);
      return {
        ...nothing,
        lead: word(`state_${group?.state}`),
        title: word(rinses ? "rinse_now" : "wipe_now", { foils }),
        tap: word(rinses ? "tap_rinsed" : "tap_wiped"),
      };
    }
    case "wait": {
      const isCheck = way.fromMs === group?.checkMs;
      const foils = foilsWord(group?.foils ?? []);
      return {
        ...nothing,
        lead: word("all_placed"),
        title: word("wait_until", { time: timeOf(way.fromMs ?? 0) }),
        lines: [word(isCheck ? "wait_for_check" : "wait_for_out", { foils })],
      };
    }
    case "rinse":
      return { ...nothing, title: word("rinse_head"), tap: word("tap_rinsed") };
    case "hurt":
      return { ...nothing, title: word("hurt"), lines: [word("hurt_why")], tap: word("tap_rinsed") };
    case "gloss":
      return {
        ...nothing,
        title: word("gloss_next", { place: way.gloss?.place ?? "" }),
        lead: Number(way.fromMs) > nowMs ? word("gloss_at", { time: timeOf(way.fromMs ?? 0) }) : "",
        lines: [...feltLines(visit), ...(way.gloss?.grams ?? []), way.gloss?.why ?? ""],
        tap: word("tap_gloss"),
      };
    case "turning": {
      const tap = way.tap.length ? word("tap_rinsed") : "";
      return { ...nothing, title: word("turning"), lines: [word("turning_how")], tap };
    }
    case "finish":
      return { ...nothing, title: word("finish"), tap: word("tap_finish") };
    default:
      return { ...nothing, title: word("ended"), tap: word("tap_ended") };
  }
}

/**
 * The bowl it is taken from; before the first foil of another bowl, its grams.
 * @param {Way} way
 * @param {import("../plan.js").ChairPlan} plan
 */
function bowlLines({ do: what, section, at }, plan) {
  if (!section) return [];
  const from = word("from_bowl", { bowl: section.bowl_words });
  const isSame = plan.sections[Number(at) - 1]?.bowl === section.bowl;
  if (what !== "begin" || isSame) return [from];
  const names = section.bowl === "strong" ? ["strong", "main"] : [section.bowl];
  const bowls = plan.bowls.filter((bowl) => names.includes(bowl.name));
  const grams = bowls.map((bowl) => `${bowl.what}: ${bowl.grams.join(" + ")}`);
  return grams.length ? grams : [from];
}

/** What she felt stands before anything more goes on. @param {Now["visit"]} visit */
function feltLines(visit) {
  const hurt = visit.feelings.filter((one) => RINSE_AT_ONCE.includes(one["what"]));
  return hurt.length ? [word("felt_before")] : [];
}

/** @param {Way} way */
function later({ section, startMs }) {
  return (section?.later ?? []).map(({ band, bowl, after_min: minutes }) => {
    const values = { band, bowl, minutes };
    if (startMs === undefined) return word("later_plan", values);
    return word("later", { ...values, time: timeOf(startMs + minutes * MINUTE) });
  });
}

/** @param {Now} now */
function clock({ way, nowMs }) {
  if (way.do !== "place" || way.startMs === undefined) return "";
  const minutes = Math.max(0, Math.floor((nowMs - way.startMs) / MINUTE));
  return `${word("about_foil", { foil: way.foil ?? "" })} · ${word("since", { minutes })}`;
}
