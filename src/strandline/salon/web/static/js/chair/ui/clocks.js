// The clocks of what runs, who is due next first; each with its look and its way out.

import { groupWord, timeOf, word } from "../words.js";
import { said } from "../course.js";
import { fill, find, made, say } from "./draw.js";

/** @typedef {import("../state.js").Now} Now */
/** @typedef {import("../clocks.js").Group} Group */
/** @typedef {import("../clocks.js").GlossClock} GlossClock */
/** @typedef {(tap: import("../course.js").Said[]) => void} Tapped */

const MINUTE = 60_000;
/** More clocks than this are not read at a glance; the rest are counted. */
export const MOST = 6;

/**
 * @param {Now} now
 * @param {{check: (group: Group) => void, missed: (place: string) => void, tapped: Tapped}} hands
 */
export function showClocks(now, { check, missed, tapped }) {
  const groups = now.groups.slice(0, MOST);
  const more = now.groups.length - groups.length;
  const told = groups.map((one) => [one.key, one.foils, one.state, one.isOpen]);
  const glosses = now.glosses.map((one) => [one.place, one.startMs, one.state, one.turned]);
  fill(find("#clocks"), [told, glosses, more], () => [
    ...groups.map((group) => groupClock(group, check, tapped)),
    ...now.glosses.map((gloss) => glossClock(gloss, missed, tapped)),
    more > 0 && made("p", { class: "quiet", text: word("more_groups", { count: more }) }),
    !groups.length && !glosses.length && made("p", { class: "quiet", text: word("no_clocks") }),
  ]);
  for (const group of groups) tell(group, now.nowMs);
  for (const gloss of now.glosses) tellGloss(gloss, now.nowMs);
}

/**
 * @param {Group} group
 * @param {(group: Group) => void} check
 * @param {Tapped} tapped
 */
function groupClock(group, check, tapped) {
  const foils = groupWord(group);
  const { key } = group;
  return made(
    "article", { class: "clock", "data-state": group.state, "data-clock": key },
    made("strong", { class: "left" }),
    made("div", { class: "of" },
      made("b", { text: foils }),
      made("span", { class: "quiet", text: group.section }),
      made("span", { class: "state", text: word(`state_${group.state}`) }),
      made("span", { class: "when quiet" })),
    made("div", { class: "hands" },
      made("button", {
        type: "button", class: "way", text: word("check"), "data-key": `check ${key}`,
        "aria-label": `${word("check")}: ${foils}`, on: { click: () => check(group) },
      }),
      !group.isOpen && made("button", {
        type: "button", class: "way", text: word("wiped"), "data-key": `wiped ${key}`,
        "aria-label": `${word("wiped")}: ${foils}`,
        on: { click: () => tapped([said("wiped", { foils: group.foils })]) },
      })),
  );
}

/**
 * @param {Group} group
 * @param {number} nowMs
 */
function tell(group, nowMs) {
  const place = document.querySelector(`[data-clock="${CSS.escape(group.key)}"]`);
  if (!place || group.startMs === null) return;
  const isPast = group.state === "label";
  const until = isPast ? group.latestMs : group.dueMs;
  say(place.querySelector(".left"), minutesLeft(until, nowMs));
  const when = [word("due_at", { time: timeOf(group.dueMs) })];
  if (group.checkMs !== null) when.unshift(word("check_at", { time: timeOf(group.checkMs) }));
  when.push(word("label_at", { time: timeOf(group.latestMs) }));
  say(place.querySelector(".when"), when.join(" · "));
}

/**
 * @param {GlossClock} gloss
 * @param {(place: string) => void} missed
 * @param {Tapped} tapped
 */
function glossClock(gloss, missed, tapped) {
  const { place } = gloss;
  const turned = ["not yet", "nearly", "there", "past"].map((how) =>
    made("button", {
      type: "button", class: "way", text: word(how), "data-key": `${place} ${how}`,
      "aria-pressed": String(gloss.turned === how),
      on: { click: () => tapped([said("gloss.seen", { place, turned: how })]) },
    }),
  );
  return made(
    "article", { class: "clock gloss", "data-state": gloss.state, "data-clock": `gloss ${place}` },
    made("strong", { class: "left" }),
    made("div", { class: "of" },
      made("b", { text: place }),
      made("span", { class: "state" })),
    made("div", { class: "hands", role: "group", "aria-label": word("turned") }, ...turned,
      made("button", {
        type: "button", class: "way", text: word("missed"), "data-key": `${place} missed`,
        "aria-label": `${word("missed")}: ${place}`, on: { click: () => missed(place) },
      }),
      made("button", {
        type: "button", class: "way", text: word("rinse_place"), "data-key": `${place} rinsed`,
        "aria-label": `${word("rinse_place")}: ${place}`,
        on: { click: () => tapped([said("rinsed", { place })]) },
      })),
  );
}

/**
 * @param {GlossClock} gloss
 * @param {number} nowMs
 */
function tellGloss(gloss, nowMs) {
  const place = document.querySelector(`[data-clock="${CSS.escape(`gloss ${gloss.place}`)}"]`);
  if (!place) return;
  const { lookMs, highMs } = gloss;
  const next = gloss.state === "waits" ? lookMs : highMs;
  say(place.querySelector(".left"), minutesLeft(next, nowMs));
  say(place.querySelector(".state"), word(`gloss_${gloss.state}`, { time: timeOf(next) }));
}

/**
 * @param {number} untilMs
 * @param {number} nowMs
 */
function minutesLeft(untilMs, nowMs) {
  const left = untilMs - nowMs;
  if (left >= 0) return word("in_min", { minutes: Math.ceil(left / MINUTE) });
  return word("over_min", { minutes: Math.floor(-left / MINUTE) });
}
