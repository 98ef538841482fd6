// Clocks from facts and the present time alone: right after sleep, reload and loss of the server.

import { milliseconds } from "../facts/fact.js";
import { bowlOf, sectionOf } from "./plan.js";

/** @typedef {import("./plan.js").ChairPlan} ChairPlan */
/** @typedef {import("./plan.js").Visit} Visit */
/** @typedef {import("./awaited.js").Awaited} Awaited */
/** @typedef {"waits" | "check" | "due" | "label" | "unknown"} State what it asks for, least first */
/**
 * @typedef {object} Group
 * @property {string} key
 * @property {string} section
 * @property {number[]} foils that are in, rising
 * @property {string} bowl
 * @property {number | null} startMs of its first foil; null where no tap says it
 * @property {number | null} checkMs the next look, null where it comes out before
 * @property {number} lowMs
 * @property {number} dueMs
 * @property {number} highMs
 * @property {number} latestMs the label's longest time, from its first foil
 * @property {State} state
 * @property {boolean} isOpen its section is still being placed
 */
/** @typedef {{place: string, startMs: number, lookMs: number, lowMs: number, highMs: number,
 *   turned: string | null, state: "waits" | "look" | "window" | "past"}} GlossClock */

const MINUTE = 60_000;

/**
 * Give the clocks of the foils that are in, who is due next first.
 * @param {ChairPlan} plan
 * @param {Visit} visit
 * @param {{[bowl: string]: Awaited}} waits minutes, as believed now
 * @param {number} nowMs
 * @returns {Group[]}
 */
export function groupsOf(plan, visit, waits, nowMs) {
  /** @type {Map<string, {section: string, bowl: string, foils: number[], starts: number[],
   *   unknown: boolean, isOpen: boolean}>} */
  const groups = new Map();
  /** @param {string} section @param {string} bowl @param {number} first */
  const of = (section, bowl, first) => {
    const key = `${section}, ${first}, ${bowl}`;
    const made = { section, bowl, foils: [], starts: [], unknown: false, isOpen: false };
    const group = groups.get(key) ?? made;
    groups.set(key, group);
    return group;
  };
  for (const foil of visit.foils) {
    if (foil.out !== null) continue;
    const planned = sectionOf(plan, foil.number);
    const section = planned?.section ?? foil.section;
    const group = of(section, bowlOf(plan, foil), planned?.first ?? 0);
    group.foils.push(foil.number);
    if (foil.start === null) group.unknown = true;
    else group.starts.push(Number(milliseconds(foil.start)));
  }
  for (const span of visit.sections) {
    if (span.last_foil !== null || span.start === null || isOut(visit, span)) continue;
    const planned = sectionOf(plan, span.first_foil);
    const foil = { number: span.first_foil, bowl: span.bowl };
    const bowl = bowlOf(plan, /** @type {any} */ (foil));
    const group = of(planned?.section ?? span.section, bowl, planned?.first ?? 0);
    group.starts.push(Number(milliseconds(span.start)));
    group.isOpen = true;
    if (!group.foils.includes(span.first_foil)) group.foils.unshift(span.first_foil);
  }
  return [...groups]
    .map(([key, group]) => clockOf(key, group, plan, visit, waits, nowMs))
    .sort((a, b) => soonest(a) - soonest(b) || Number(a.foils[0]) - Number(b.foils[0]));
}

/**
 * Tell whether an open section was wiped or rinsed since it began.
 * @param {Visit} visit
 * @param {Visit["sections"][number]} span
 */
function isOut(visit, span) {
  const whole = (/** @type {{[name: string]: any}} */ out) =>
    out["foils"] === null && out["section"] === null && out["place"] === null;
  return [...visit.wipes, ...visit.rinses].some(
    (out) =>
      out.time >= String(span.start) &&
      (whole(out) || out["section"] === span.section || out["foils"]?.includes(span.first_foil)),
  );
}

/** @param {Group} group */
function soonest(group) {
  return group.state === "unknown" ? 0 : Math.min(group.dueMs, group.latestMs);
}

/**
 * @param {string} key
 * @param {{section: string, bowl: string, foils: number[], starts: number[], unknown: boolean,
 *   isOpen: boolean}} of
 * @param {ChairPlan} plan
 * @param {Visit} visit
 * @param {{[bowl: string]: Awaited}} waits
 * @param {number} nowMs
 * @returns {Group}
 */
function clockOf(key, { section, bowl, foils, starts, unknown, isOpen }, plan, visit, waits, nowMs) {
  const startMs = unknown || !starts.length ? null : Math.min(...starts);
  const wait = waits[bowl];
  const planned = plan.waits[bowl];
  const at = (/** @type {number | undefined} */ minutes) =>
    (startMs ?? nowMs) + (minutes ?? 0) * MINUTE;
  const dueMs = at(wait?.out);
  const latestMs = at(planned?.longest_min);
  const seen = visit.checks
    .filter((one) => foils.includes(one["foil"]) || one["section"] === section)
    .map((one) => Number(milliseconds(one.time)));
  const next = seen.length
    ? Math.max(...seen) + plan.check_every_min * MINUTE
    : at(planned?.first_check_min);
  const checkMs = next < Math.min(dueMs, latestMs) ? next : null;
  /** @type {State} */
  let state = "waits";
  if (startMs === null) state = "unknown";
  else if (nowMs >= latestMs) state = "label";
  else if (nowMs >= dueMs) state = "due";
  else if (checkMs !== null && nowMs >= checkMs) state = "check";
  return {
    key, section, foils, bowl, isOpen, startMs, checkMs, dueMs, latestMs, state,
    lowMs: at(wait?.low),
    highMs: at(wait?.high),
  };
}

/**
 * Give the clocks of the glosses that are on.
 * @param {ChairPlan} plan
 * @param {Visit} visit
 * @param {number} nowMs
 * @returns {GlossClock[]}
 */
export function glossClocks(plan, visit, nowMs) {
  return visit.glosses.flatMap((one) => {
    if (one["rinsed"] !== null) return [];
    const planned = plan.gloss.find((step) => step.place === one["place"]);
    const startMs = Number(milliseconds(one.time));
    const at = (/** @type {number} */ minutes) => startMs + minutes * MINUTE;
    const lookMs = at(planned?.first_look_min ?? 0);
    const lowMs = at(planned?.minutes_low ?? 0);
    const highMs = at(planned?.minutes_high ?? 0);
    const state =
      nowMs >= highMs ? "past" : nowMs >= lowMs ? "window" : nowMs >= lookMs ? "look" : "waits";
    return { place: one["place"], startMs, lookMs, lowMs, highMs, turned: one["turned"], state };
  });
}

/**
 * The foil she is at by her pace in a section that is open, and the share of it that is behind.
 * @param {ChairPlan} plan
 * @param {number} first
 * @param {number} startMs
 * @param {number} nowMs
 */
export function foilByPace(plan, first, startMs, nowMs) {
  const section = sectionOf(plan, first);
  if (!section) return first;
  let left = (nowMs - startMs) / MINUTE;
  let foil = section.first;
  for (const minutes of section.pace_min) {
    left -= minutes;
    if (left < 0 || foil === section.last) break;
    foil += 1;
  }
  return Math.max(foil, first);
}
