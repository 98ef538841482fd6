// How a kind is described, and whether a payload holds.

import { NAME, canonical, characters, compare, dateHolds, hasHalfPair } from "./fact.js";
import { MOST_FOILS } from "./kinds.js";

/** @typedef {import("./kinds.js").Field} Field */
/** @typedef {import("./kinds.js").Kind} Kind */
/** @typedef {import("./fact.js").Payload} Payload */

/**
 * Tell whether a value can be understood in a field.
 * @param {Field} field
 * @param {unknown} value
 */
export function holds(field, value) {
  switch (field.type) {
    case "yes":
      return typeof value === "boolean";
    case "wholes":
      return (
        Array.isArray(value) &&
        value.length >= 1 &&
        value.length <= MOST_FOILS &&
        value.every((one) => Number.isInteger(one) && inRange(field, one)) &&
        new Set(value).size === value.length
      );
    case "whole":
      return Number.isInteger(value) && inRange(field, value);
    case "number":
      return inRange(field, value);
    default:
      return typeof value === "string" && textHolds(field, value);
  }
}

/**
 * @param {Field} field
 * @param {unknown} value
 */
function inRange(field, value) {
  return typeof value === "number" && field.low <= value && value <= field.high;
}

/**
 * @param {Field} field
 * @param {string} value
 */
function textHolds(field, value) {
  if (field.type === "word") return field.words.includes(value);
  if (field.type === "date") return dateHolds(value);
  if (field.type === "name") return NAME.test(value);
  const length = characters(value);
  const whole = !hasHalfPair(value) && !value.includes("\0");
  return field.low <= length && length <= field.high && whole;
}

/**
 * Give the first field of a payload that cannot be understood, '' where all can: those of the
 * table in its order, then unknown ones, then `one_of` by its first name, `rising` by its second.
 * @param {Kind} kind
 * @param {Payload} payload
 */
export function fieldAtFault(kind, payload) {
  for (const [name, field] of Object.entries(kind.fields)) {
    if (Object.hasOwn(payload, name)) {
      if (!holds(field, payload[name])) return name;
    } else if (field.needed) return name;
  }
  const unknown = Object.keys(payload)
    .filter((name) => !Object.hasOwn(kind.fields, name))
    .map((name) => canonical(name).slice(1, -1))
    .sort(compare);
  if (unknown[0] !== undefined) return unknown[0];
  const said = kind.one_of.filter((name) => Object.hasOwn(payload, name)).length;
  if (kind.one_of[0] !== undefined && said !== 1) return kind.one_of[0];
  const [lower, upper] = kind.rising;
  if (lower !== undefined && upper !== undefined && payload[lower] > payload[upper]) return upper;
  return "";
}
