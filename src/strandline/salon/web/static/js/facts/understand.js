// From a fact as it came to one that can be folded, or to the flag that says why not.

import {
  NAME, WIDEST_OFFSET_MIN, canonical, characters, compare, hasHalfPair, milliseconds,
} from "./fact.js";
import { fieldAtFault, holds } from "./field.js";
import { KINDS } from "./kinds.js";

/** @typedef {import("./fact.js").Fact} Fact */
/** @typedef {{id: string, kind: string, code: string, field: string, line: number}} Flag */
/**
 * A step from one schema of a kind to a newer one, as data.
 * @typedef {object} Upcaster
 * @property {string} kind
 * @property {number} schema
 * @property {string} to_kind
 * @property {number} to_schema
 * @property {{[name: string]: string}} [rename]
 * @property {{[name: string]: any}} [fill]
 * @property {string[]} [drop]
 */

/** A longer chain of steps is a ring; it is left, and the fact is flagged by its schema. */
const MOST_STEPS = 32;

/**
 * @param {string} id
 * @param {string} kind
 * @param {string} code
 * @param {string} [field]
 * @param {number} [line]
 * @returns {Flag}
 */
export function flag(id, kind, code, field = "", line = 0) {
  return { id, kind, code, field, line };
}

/**
 * Compare facts by the order of the fold: time, device, its number, id, then all they say.
 * @param {Fact} a
 * @param {Fact} b
 */
export function order(a, b) {
  return (
    compare(milliseconds(a.device_time) ?? -1, milliseconds(b.device_time) ?? -1) ||
    compare(a.device, b.device) ||
    compare(a.device_seq, b.device_seq) ||
    compare(a.id, b.id) ||
    compare(canonical(a), canonical(b))
  );
}

/**
 * Read a fact as the newest schema of its kind.
 * @param {Fact} fact
 * @param {Upcaster[]} upcasters
 * @returns {{fact: Fact} | {flag: Flag}}
 */
export function understand(fact, upcasters) {
  const fault = valueAtFault(fact);
  if (fault) return { flag: flag(fact.id, fact.kind, "fact", fault) };
  const newest = upcast(fact, upcasters);
  const known = Object.hasOwn(KINDS, newest.kind) ? KINDS[newest.kind] : undefined;
  if (!known) return { flag: flag(fact.id, fact.kind, "kind") };
  if (newest.schema !== known.schema) return { flag: flag(fact.id, fact.kind, "schema") };
  const field = fieldAtFault(known, newest.payload);
  return field ? { flag: flag(fact.id, fact.kind, "payload", field) } : { fact: newest };
}

/**
 * Give the feeling in a fact that is otherwise not understood: what hurts is believed, whatever
 * newer software says beside it.
 * @param {Fact} fact
 * @param {Flag} found
 * @returns {Fact | null}
 */
export function believedFeeling(fact, found) {
  const felt = KINDS["felt"];
  if (!felt || fact.kind !== "felt" || !["schema", "payload"].includes(found.code)) return null;
  const said = Object.entries(felt.fields)
    .filter(([name, field]) => Object.hasOwn(fact.payload, name) && holds(field, fact.payload[name]))
    .map(([name]) => [name, fact.payload[name]]);
  const payload = Object.fromEntries(said);
  return "what" in payload ? { ...fact, schema: felt.schema, payload } : null;
}

/**
 * Take every step there is from a fact's kind and schema on.
 * @param {Fact} fact
 * @param {Upcaster[]} upcasters
 * @returns {Fact}
 */
function upcast(fact, upcasters) {
  let { kind, schema, payload } = fact;
  for (let taken = 0; taken < MOST_STEPS; taken += 1) {
    const step = upcasters.find((one) => one.kind === kind && one.schema === schema);
    if (!step) break;
    const { rename = {}, fill = {}, drop = [] } = step;
    const kept = Object.entries(payload).filter(([name]) => !drop.includes(name));
    const renamed = kept.map(([name, value]) => [
      Object.hasOwn(rename, name) ? rename[name] : name,
      value,
    ]);
    payload = { ...fill, ...Object.fromEntries(renamed) };
    kind = step.to_kind;
    schema = step.to_schema;
  }
  return { ...fact, kind, schema, payload };
}

/** @param {Fact} fact */
function valueAtFault(fact) {
  for (const name of /** @type {const} */ (["id", "stream", "device"])) {
    if (!NAME.test(fact[name])) return name;
  }
  if (fact.schema < 1) return "schema";
  const length = characters(fact.by);
  if (length < 1 || length > 60 || hasHalfPair(fact.by)) return "by";
  if (fact.device_seq < 0 || fact.device_seq > Number.MAX_SAFE_INTEGER) return "device_seq";
  if (milliseconds(fact.device_time) === null) return "device_time";
  return Math.abs(fact.offset) <= WIDEST_OFFSET_MIN ? "" : "offset";
}
