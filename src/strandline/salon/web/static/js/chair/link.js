// The server, as far as it is there.

import { Refused } from "./sender.js";

/** @typedef {import("../facts/fact.js").Fact} Fact */

const PATIENCE_MS = 10_000;
const LONG_MS = 60_000;

/**
 * @param {string} address
 * @param {RequestInit} [more]
 * @param {number} [patience]
 * @returns {Promise<any>}
 */
async function asked(address, more = {}, patience = PATIENCE_MS) {
  const answer = await fetch(address, { ...more, signal: AbortSignal.timeout(patience) });
  const said = await answer.json().catch(() => ({}));
  if (answer.ok) return said;
  const { what = `${answer.status}` } = said.error ?? {};
  if (answer.status >= 500 && !said.error) throw new Error(what);
  throw new Refused(what);
}

/**
 * @param {Fact[]} facts
 * @returns {Promise<import("./sender.js").Taken>}
 */
export function postFacts(facts) {
  const headers = { "content-type": "application/json" };
  return asked("/api/facts", { method: "POST", headers, body: JSON.stringify({ facts }) });
}

/**
 * @param {string} visit
 * @returns {Promise<Fact[]>}
 */
export async function getFacts(visit) {
  return (await asked(`/api/visits/${visit}/facts`)).facts;
}

/**
 * @param {string} visit
 * @returns {Promise<import("./plan.js").ChairPlan>}
 */
export function getPlan(visit) {
  return asked(`/api/visits/${visit}/chair`, {}, LONG_MS);
}

/**
 * @param {string} visit
 * @param {string} time HH:MM
 */
export function getAnew(visit, time) {
  return asked(`/api/visits/${visit}/anew?now=${time}`, {}, LONG_MS);
}
