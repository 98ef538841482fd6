// What belongs together: a bowl and its rest, a gloss and its rinse, a check and its minutes.

import { utcText } from "./fact.js";
import { isWhole, minutesBetween, textOrNull, timeMs } from "./placed.js";
import { flag, order } from "./understand.js";

/** @typedef {import("./fact.js").Fact} Fact */
/** @typedef {import("./understand.js").Flag} Flag */
/** @typedef {import("./placed.js").Placed} Placed */
/** @typedef {{time: string, [name: string]: any}} Told one thing said, with its time */

/**
 * Give named fields of a payload, null where it does not say.
 * @param {Fact} fact
 * @param {string[]} names
 * @returns {{[name: string]: any}}
 */
export function say(fact, ...names) {
  return Object.fromEntries(names.map((name) => [name, fact.payload[name] ?? null]));
}

/** @param {Fact} fact */
export function timeText(fact) {
  return utcText(timeMs(fact));
}

/**
 * Give every fact of a kind with its time and what it says.
 * @param {Fact[]} standing
 * @param {string} kind
 * @param {string[]} names
 * @returns {Told[]}
 */
export function listed(standing, kind, ...names) {
  return standing
    .filter((one) => one.kind === kind)
    .map((one) => ({ time: timeText(one), ...say(one, ...names) }));
}

/**
 * Give each check with its minutes since that foil, or the section's first, went in.
 * @param {Fact[]} standing
 * @param {Placed} placed
 * @returns {Told[]}
 */
export function checksOf(standing, placed) {
  return standing
    .filter((one) => one.kind === "check.seen")
    .map((fact) => {
      const said = say(fact, "foil", "section", "band", "stage", "sureness", "dried");
      let since = placed.starts.get(said["foil"]) ?? null;
      if (said["section"] !== null) {
        const starts = [...placed.foils.values()]
          .filter((foil) => foil.section === said["section"])
          .flatMap((foil) => placed.starts.get(foil.number) ?? []);
        since = starts.length ? Math.min(...starts) : null;
      }
      return { time: timeText(fact), ...said, minutes: minutesBetween(since, timeMs(fact)) };
    });
}

/**
 * Join each bowl with what was left of it, the last word standing.
 * @param {Fact[]} standing
 * @param {Flag[]} flags
 * @returns {Told[]}
 */
export function bowlsOf(standing, flags) {
  /** @type {Fact[]} */
  const mixed = [];
  /** @type {Map<string, Fact>} */
  const left = new Map();
  for (const fact of standing) {
    if (fact.kind === "bowl.mixed") mixed.push(fact);
    if (fact.kind !== "bowl.left") continue;
    const same = mixed.filter((one) => one.payload["bowl"] === fact.payload["bowl"]).at(-1);
    if (same) left.set(same.id, fact);
    else flags.push(flag(fact.id, fact.kind, "orphan", "bowl"));
  }
  const names = ["developer_vol", "developer_grams", "powder_grams", "colour_grams"];
  return mixed.map((fact) => {
    const rest = left.get(fact.id);
    return {
      bowl: fact.payload["bowl"],
      time: timeText(fact),
      ...say(fact, ...names),
      left_grams: rest?.payload["grams"] ?? null,
      left_amount: rest?.payload["amount"] ?? null,
    };
  });
}

/**
 * Join each gloss with how it was last seen and the first rinse after it that is of it.
 * @param {Fact[]} standing
 * @param {Flag[]} flags
 * @returns {Told[]}
 */
export function glossesOf(standing, flags) {
  /** @type {{fact: Fact, seen: Fact | null, rinsed: number | null}[]} */
  const applied = [];
  for (const fact of standing) {
    const place = fact.payload["place"];
    const here = applied.filter((one) => one.fact.payload["place"] === place);
    if (fact.kind === "gloss.applied") applied.push({ fact, seen: null, rinsed: null });
    if (fact.kind === "gloss.seen") {
      const latest = here.at(-1);
      if (latest) latest.seen = fact;
      else flags.push(flag(fact.id, fact.kind, "orphan", "place"));
    }
    if (fact.kind === "rinsed") {
      for (const one of isWhole(fact) ? applied : here) one.rinsed ??= timeMs(fact);
    }
  }
  return applied.map(({ fact, seen, rinsed }) => ({
    ...say(fact, "place", "recipe"),
    time: timeText(fact),
    turned: seen?.payload["turned"] ?? null,
    tone: seen?.payload["tone"] ?? null,
    rinsed: textOrNull(rinsed),
    minutes: minutesBetween(timeMs(fact), rinsed),
  }));
}

/**
 * Give what was felt, in facts that stand and in others where a feeling is believed.
 * @param {Fact[]} standing
 * @param {Fact[]} believed
 * @returns {Told[]}
 */
export function feelingsOf(standing, believed) {
  const both = [...standing, ...believed].filter((one) => one.kind === "felt").sort(order);
  const rinses = standing.filter((one) => one.kind === "rinsed" && isWhole(one));
  return both.map((fact) => {
    const after = rinses.find((rinse) => order(rinse, fact) > 0);
    const rinsed = after ? timeText(after) : null;
    return { time: timeText(fact), ...say(fact, "what", "where"), rinsed };
  });
}

/**
 * Give the last judgement of each area, and those it replaced.
 * @param {Fact[]} standing
 */
export function resultsOf(standing) {
  const names = ["area", "stage", "evenness", "tone", "remedy"];
  const every = listed(standing, "result.seen", ...names);
  const last = new Map(every.map((one, at) => [one["area"], at]));
  /** @type {(one: {[name: string]: any}, at: number) => boolean} */
  const stands = (one, at) => last.get(one["area"]) === at;
  return {
    results: every.filter(stands),
    results_before: every.filter((one, at) => !stands(one, at)),
  };
}
