// Words of the page, filled in. The page hands them over; there is no sentence here.

/** @type {{[key: string]: string}} */
let words = {};
let hours = 24;

/** @param {{[key: string]: string}} all @param {number} clock 24 or 12 hours */
export function useWords(all, clock) {
  words = all;
  hours = clock;
}

/**
 * Give a text by its key with {names} filled in.
 * @param {string} key
 * @param {{[name: string]: string | number}} [values]
 */
export function word(key, values = {}) {
  return (words[key] ?? key).replace(/\{(\w+)\}/g, (whole, name) =>
    name in values ? String(values[name]) : whole,
  );
}

/**
 * Write a time of day as this device has it.
 * @param {number} ms since 1970
 */
export function timeOf(ms) {
  const options = /** @type {const} */ ({ hour: "2-digit", minute: "2-digit" });
  const locale = hours === 12 ? "en-US" : "en-GB";
  return new Date(ms).toLocaleTimeString(locale, { ...options, hour12: hours === 12 });
}

/**
 * Write foil numbers as runs: 3–24, 30.
 * @param {number[]} foils rising
 */
export function runs(foils) {
  /** @type {[number, number][]} */
  const out = [];
  for (const foil of foils) {
    const last = out.at(-1);
    if (last && last[1] === foil - 1) last[1] = foil;
    else out.push([foil, foil]);
  }
  return out.map(([a, b]) => (a === b ? `${a}` : `${a}–${b}`)).join(", ");
}

/**
 * Write what a clock is of; of a section that is open, from which foil on.
 * @param {import("./clocks.js").Group} group
 */
export function groupWord({ foils, isOpen }) {
  return isOpen ? word("foils_open", { foil: Number(foils[0]) }) : foilsWord(foils, "head");
}

/**
 * Write foils with their word, as a heading or within a sentence.
 * @param {number[]} foils
 * @param {"head" | "inside"} [where]
 */
export function foilsWord(foils, where = "inside") {
  const key = foils.length === 1 ? "foil" : "foils";
  return word(`${key}_${where}`, { foils: runs(foils) });
}
