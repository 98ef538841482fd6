// The way a visit takes: from its facts and the time to the one thing to do now, and the facts
// that a tap on it means.

import { milliseconds } from "../facts/fact.js";
import { foilByPace } from "./clocks.js";

/** @typedef {import("./plan.js").ChairPlan} ChairPlan */
/** @typedef {import("./plan.js").Section} Section */
/** @typedef {import("./plan.js").Gloss} Gloss */
/** @typedef {import("./plan.js").Visit} Visit */
/** @typedef {import("./clocks.js").Group} Group */
/** @typedef {import("./clocks.js").GlossClock} GlossClock */
/** @typedef {{kind: string, payload: {[name: string]: any}}} Said what a tap says */
/**
 * @typedef {object} Way
 * @property {"hurt" | "begin" | "place" | "check" | "out" | "wait" | "rinse" | "gloss" | "turning"
 *   | "finish" | "ended"} do
 * @property {Said[]} tap facts of the large way on, none where there is nothing to do yet
 * @property {Said[]} [pause] the same without beginning what comes next
 * @property {Section} [section]
 * @property {Section} [then] the section that the same tap begins
 * @property {number} [at] which of the sections
 * @property {number} [startMs] when it began
 * @property {number} [foil] the foil she is at by her pace
 * @property {Group} [group]
 * @property {Gloss} [gloss]
 * @property {number} [fromMs] when it may be done
 */

/**
 * Give the one thing to do now.
 * @param {ChairPlan} plan
 * @param {Visit} visit
 * @param {{groups: Group[], glosses: GlossClock[], nowMs: number, off?: number}} of `off` is by
 *     how many foils the count of the open section is off its plan
 * @returns {Way}
 */
export function wayOn(plan, visit, { groups, glosses, nowMs, off = 0 }) {
  if (visit.ended !== null) return { do: "ended", tap: [] };
  if (visit.rinse_now) return { do: "hurt", tap: [said("rinsed")] };
  return (
    placing(plan, visit, nowMs, off) ??
    lifting(plan, visit, groups) ??
    toning(plan, visit, glosses, nowMs)
  );
}

/**
 * Give the sections still to be placed, the open one first; none once the head was rinsed.
 * @param {ChairPlan} plan
 * @param {Visit} visit
 */
export function toPlace(plan, visit) {
  if (rinsedMs(visit) !== null || visit.changes.some((one) => one["what"] === "stop")) {
    return plan.sections.filter((section) => openSpan(visit, section) !== undefined);
  }
  const todo = plan.sections.filter((section) => {
    const span = spanOf(visit, section);
    return span ? span.last_foil === null : numbers(section).some((foil) => isTaken(visit, foil));
  });
  const open = todo.filter((section) => openSpan(visit, section));
  return [...open, ...todo.filter((section) => !open.includes(section))];
}

/**
 * @param {ChairPlan} plan
 * @param {Visit} visit
 * @param {number} nowMs
 * @param {number} off
 * @returns {Way | null}
 */
function placing(plan, visit, nowMs, off) {
  const [section, then] = toPlace(plan, visit);
  if (!section) return null;
  const at = plan.sections.indexOf(section);
  const span = openSpan(visit, section);
  if (!span) return { do: "begin", section, at, tap: [begun(section)] };
  const startMs = Number(milliseconds(String(span.start)));
  const foil = foilByPace(plan, section.first, startMs, nowMs);
  const pause = closed(plan, visit, section, off);
  const goesOn = then && then.bowl === section.bowl ? then : undefined;
  const tap = goesOn ? [...pause, begun(goesOn)] : pause;
  return {
    do: "place", section, at, startMs, foil, tap,
    ...(goesOn ? { then: goesOn, pause } : {}),
  };
}

/**
 * @param {ChairPlan} plan
 * @param {Visit} visit
 * @param {Group[]} groups
 * @returns {Way | null}
 */
function lifting(plan, visit, groups) {
  const group = groups[0];
  if (!group) {
    const isIn = visit.foils.length > 0 && rinsedMs(visit) === null;
    return isIn ? { do: "rinse", tap: [said("rinsed")] } : null;
  }
  const isLast = groups.length === 1;
  const isDue = ["due", "label", "unknown"].includes(group.state);
  if (isDue) {
    const planned = plan.sections.find(({ first }) => first === group.foils[0]);
    const rinses = isLast && (planned?.out_how ?? "rinse") === "rinse";
    const tap = rinses ? said("rinsed") : said("wiped", { foils: group.foils });
    return { do: "out", group, tap: [tap] };
  }
  const check = groups.find((one) => one.state === "check");
  if (check) return { do: "check", group: check, tap: [] };
  return { do: "wait", group, tap: [], fromMs: Math.min(group.checkMs ?? group.dueMs, group.dueMs) };
}

/**
 * @param {ChairPlan} plan
 * @param {Visit} visit
 * @param {GlossClock[]} glosses
 * @param {number} nowMs
 * @returns {Way}
 */
function toning(plan, visit, glosses, nowMs) {
  const since = rinsedMs(visit);
  const applied = visit.glosses.filter(
    (one) => since === null || Number(milliseconds(one.time)) >= since,
  );
  const isStopped = visit.changes.some((one) => one["what"] === "stop");
  const next = plan.gloss.find((step) => !applied.some((one) => one["place"] === step.place));
  const isRinsed = applied.length > 0 && glosses.length === 0;
  if (next && !isRinsed && !(isStopped && !applied.length)) {
    const payload = { place: next.place, recipe: next.recipe };
    const last = applied.at(-1);
    const before = plan.gloss.find((step) => step.place === last?.["place"]);
    const fromMs = last
      ? Number(milliseconds(last.time)) + (before?.alone_min ?? 0) * 60_000
      : nowMs;
    return { do: "gloss", gloss: next, fromMs, tap: [said("gloss.applied", payload)] };
  }
  if (glosses.length) {
    const isTurned = glosses.every(
      (one) => one.state === "window" || one.state === "past" || isThere(one.turned),
    );
    return { do: "turning", tap: isTurned ? [said("rinsed")] : [] };
  }
  return { do: "finish", tap: [said("visit.ended", { outcome: isStopped ? "stopped" : "finished" })] };
}

/** @param {string | null} turned */
function isThere(turned) {
  return turned === "there" || turned === "past";
}

/**
 * When the whole head was first rinsed after foils were in, ms since 1970; null where it was not.
 * @param {Visit} visit
 */
export function rinsedMs(visit) {
  const whole = visit.rinses.filter(
    (one) => one["foils"] === null && one["section"] === null && one["place"] === null,
  );
  return whole[0] ? Number(milliseconds(whole[0].time)) : null;
}

/**
 * Close a section, its count as it is: foils that are missing are dropped, those over are added.
 * @param {ChairPlan} plan
 * @param {Visit} visit
 * @param {Section} section
 * @param {number} off
 * @returns {Said[]}
 */
function closed(plan, visit, section, off) {
  const last = Math.max(section.first, section.last + Math.min(off, 0));
  const { section: name, first, bowl } = section;
  const out = [
    said("section.placed", { section: name, first_foil: first, last_foil: last, bowl }),
  ];
  const missing = range(last + 1, section.last);
  if (missing.length) out.push(said("foil.dropped", { foils: missing }));
  const free = Math.max(plan.last_foil, ...visit.foils_done) + 1;
  const more = range(free, free + off - 1);
  if (more.length) out.push(said("foil.added", { foils: more, section: name, bowl }));
  return out;
}

/** @param {Section} section */
function begun(section) {
  return said("section.begun", { section: section.section, first_foil: section.first });
}

/**
 * @param {string} kind
 * @param {{[name: string]: any}} [payload]
 * @returns {Said}
 */
export function said(kind, payload = {}) {
  return { kind, payload };
}

/**
 * @param {Visit} visit
 * @param {Section} section
 */
function spanOf(visit, section) {
  return visit.sections.find((one) => section.first <= one.first_foil && one.first_foil <= section.last);
}

/**
 * @param {Visit} visit
 * @param {Section} section
 */
function openSpan(visit, section) {
  const span = spanOf(visit, section);
  return span && span.last_foil === null ? span : undefined;
}

/**
 * Tell whether a planned foil is still to be taken: neither dropped nor in already.
 * @param {Visit} visit
 * @param {number} foil
 */
function isTaken(visit, foil) {
  return !visit.dropped.includes(foil) && !visit.foils_done.includes(foil);
}

/** @param {Section} section */
function numbers(section) {
  return range(section.first, section.last);
}

/**
 * @param {number} first
 * @param {number} last
 */
export function range(first, last) {
  return Array.from({ length: Math.max(0, last - first + 1) }, (_, at) => first + at);
}

/** What a step back leaves standing: what she felt, what began and what was taken back. */
const STAYS = ["felt", "taken.back", "visit.started"];

/**
 * Give the facts of the last movement of this device's hand, the newest first; none where nothing
 * is to be taken back.
 * @param {import("../facts/fact.js").Fact[]} facts
 * @param {string} device
 */
export function lastMovement(facts, device) {
  const taken = new Set(
    facts.filter((one) => one.kind === "taken.back").map((one) => one.payload["fact"]),
  );
  const own = facts
    .filter((one) => one.device === device && !taken.has(one.id) && !STAYS.includes(one.kind))
    .sort((a, b) => b.device_seq - a.device_seq);
  return own.filter((one) => one.device_time === own[0]?.device_time);
}
