// A fact: one thing that happened at a chair. The same rules as docs/facts.md, which both
// languages run on the vectors of tests/contract.

/** @typedef {{[name: string]: any}} Payload */
/**
 * @typedef {object} Fact
 * @property {string} id
 * @property {string} stream
 * @property {string} kind
 * @property {number} schema
 * @property {Payload} payload
 * @property {string} by
 * @property {string} device
 * @property {number} device_seq
 * @property {string} device_time
 * @property {number} offset
 */

export const NAME = /^[A-Za-z0-9._:-]{1,64}$/;
export const WIDEST_OFFSET_MIN = 14 * 60;
const TIME =
  /^([0-9]{4}-[0-9]{2}-[0-9]{2})T(?:[01][0-9]|2[0-3]):[0-5][0-9]:[0-5][0-9](?:\.[0-9]{1,3})?Z$/;
const DAY = /^[0-9]{4}-[0-9]{2}-[0-9]{2}$/;
const HALF_PAIR = /\p{Surrogate}/u;

/** What every fact has, in its order, with the type of each. */
export const FIELDS = Object.freeze(
  /** @type {[string, string][]} */ ([
    ["id", "string"],
    ["stream", "string"],
    ["kind", "string"],
    ["schema", "whole"],
    ["payload", "object"],
    ["by", "string"],
    ["device", "string"],
    ["device_seq", "whole"],
    ["device_time", "string"],
    ["offset", "whole"],
  ]),
);

/**
 * Make a fact of a record read from JSON; null where it is not the record of one.
 * @param {unknown} record
 * @returns {Fact | null}
 */
export function factOf(record) {
  if (!isObject(record) || Object.keys(record).length !== FIELDS.length) return null;
  const holds = FIELDS.every(([name, type]) => {
    if (!Object.hasOwn(record, name)) return false;
    const value = record[name];
    if (type === "whole") return Number.isInteger(value);
    return type === "object" ? isObject(value) : typeof value === type;
  });
  return holds ? /** @type {Fact} */ (/** @type {unknown} */ (record)) : null;
}

/**
 * @param {unknown} value
 * @returns {value is Payload}
 */
export function isObject(value) {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/**
 * Read a UTC time in milliseconds since 1970; null where it is not written as one.
 * @param {string} text
 * @returns {number | null}
 */
export function milliseconds(text) {
  const found = TIME.exec(text);
  if (!found || !dateHolds(found[1] ?? "")) return null;
  const count = Date.parse(text);
  return count >= 0 ? count : null;
}

/**
 * Write milliseconds since 1970 as 2026-12-09T10:05:00.000Z.
 * @param {number} count
 */
export function utcText(count) {
  return new Date(count).toISOString();
}

/**
 * Tell whether text is a day of the calendar, written 2026-12-09.
 * @param {string} text
 */
export function dateHolds(text) {
  if (!DAY.test(text) || text.startsWith("0000")) return false;
  const count = Date.parse(`${text}T00:00:00Z`);
  return Number.isFinite(count) && new Date(count).toISOString().startsWith(text);
}

/**
 * Tell whether a text holds half a character, which no file can carry.
 * @param {string} text
 */
export function hasHalfPair(text) {
  return HALF_PAIR.test(text);
}

/**
 * Count the characters of Unicode, not the units they are stored in.
 * @param {string} text
 */
export function characters(text) {
  let count = 0;
  for (const _ of text) count += 1;
  return count;
}

/**
 * Write a value so that equal ones read alike and sort alike in every language: keys sorted, no
 * spaces, all but printable ASCII as \uXXXX, numbers as ECMAScript prints them.
 * @param {any} value
 * @returns {string}
 */
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map(canonical).join(",")}]`;
  if (isObject(value)) {
    const pairs = Object.keys(value).map((key) => [text(key), canonical(value[key])]);
    pairs.sort(([a = ""], [b = ""]) => compare(a, b));
    return `{${pairs.map((pair) => pair.join(":")).join(",")}}`;
  }
  return typeof value === "string" ? text(value) : JSON.stringify(value);
}

/** @param {string} value */
function text(value) {
  return JSON.stringify(value).replace(
    /[^\x20-\x7e]/g,
    (letter) => `\\u${letter.charCodeAt(0).toString(16).padStart(4, "0")}`,
  );
}

/**
 * Compare as text by character code, or as numbers.
 * @template {string | number} T
 * @param {T} a
 * @param {T} b
 */
export function compare(a, b) {
  return a < b ? -1 : a > b ? 1 : 0;
}
