// Which foils are in, since when, and until when: sections, dropped and added foils, wipes.

import { compare, milliseconds, utcText } from "./fact.js";

/** @typedef {import("./fact.js").Fact} Fact */
/** @typedef {import("./sort_out.js").Conflict} Conflict */
/**
 * A section joined from its taps; `closing` is the last tap that closed it.
 * @typedef {object} Span
 * @property {string} section
 * @property {number} first
 * @property {number | null} last
 * @property {number | null} startMs
 * @property {number | null} endMs
 * @property {string | null} bowl
 * @property {Fact | null} closing
 */
/**
 * @typedef {object} PlacedFoil
 * @property {number} number
 * @property {string} section
 * @property {string | null} bowl
 * @property {string | null} start
 * @property {string | null} out
 * @property {"wiped" | "rinsed" | null} how
 * @property {number | null} in_min
 */
/**
 * @typedef {object} Placed
 * @property {Map<number, PlacedFoil>} foils by number, rising
 * @property {Map<number, number | null>} starts ms since 1970
 * @property {number[]} dropped
 * @property {number[]} added
 * @property {Conflict[]} conflicts
 */

/**
 * The time of an understood fact, ms since 1970.
 * @param {Fact} fact
 */
export function timeMs(fact) {
  return milliseconds(fact.device_time) ?? 0;
}

/**
 * Minutes cut to the hundredth; null where one end is not known or they run back.
 * @param {number | null | undefined} startMs
 * @param {number | null | undefined} endMs
 */
export function minutesBetween(startMs, endMs) {
  if (startMs == null || endMs == null || endMs < startMs) return null;
  return Math.floor((endMs - startMs) / 600) / 100;
}

/** @param {number | null | undefined} time */
export function textOrNull(time) {
  return time == null ? null : utcText(time);
}

/**
 * Join the taps of each section; sections in the order of their end, the open ones last.
 * @param {Fact[]} facts understood, in the order of the fold
 * @returns {Span[]}
 */
export function spansOf(facts) {
  const begun = grouped(facts, "section.begun");
  const placed = grouped(facts, "section.placed");
  /** @type {Span[]} */
  const out = [];
  for (const taps of placed.values()) {
    const [opening, closing] = [taps[0], taps.at(-1)];
    if (!opening || !closing) continue;
    const endMs = timeMs(opening);
    const { section, first_foil: first } = opening.payload;
    const earlier = (begun.get(keyOf(opening)) ?? []).map(timeMs).filter((one) => one <= endMs);
    const took = lastSaid(taps, "took_min");
    const startMs = took === null ? earlier.at(-1) ?? null : endMs - Math.floor(took * 60000 + 0.5);
    const bowl = lastSaid(taps, "bowl");
    out.push({ section, first, last: closing.payload["last_foil"], startMs, endMs, bowl, closing });
  }
  for (const [key, taps] of begun) {
    const latest = taps.at(-1);
    if (!latest || placed.has(key)) continue;
    const { section, first_foil: first } = latest.payload;
    const startMs = timeMs(latest);
    out.push({ section, first, last: null, startMs, endMs: null, bowl: null, closing: null });
  }
  return out;
}

/**
 * Give every foil that is in, with its start and its way out.
 * @param {Fact[]} facts understood, in the order of the fold
 * @param {Span[]} spans
 * @returns {Placed}
 */
export function foilsOf(facts, spans) {
  /** @type {Map<number, Fact>} */
  const word = new Map();
  for (const fact of facts) {
    if (fact.kind !== "foil.dropped" && fact.kind !== "foil.added") continue;
    for (const number of fact.payload["foils"]) word.set(number, fact);
  }
  const isDropped = (/** @type {number} */ number) => word.get(number)?.kind === "foil.dropped";
  /** @type {Map<number, PlacedFoil>} */
  const foils = new Map();
  /** @type {Map<number, number | null>} */
  const starts = new Map();
  /** @type {Map<number, number>} */
  const knownFrom = new Map();
  for (const span of spans) {
    const kept = numbersOf(span).filter((number) => !isDropped(number));
    const end = span.endMs ?? 0;
    kept.forEach((number, index) => {
      const start = span.startMs;
      const at = start === null ? null : start + Math.floor(((end - start) * index) / kept.length);
      foils.set(number, foilIn(number, span.section, span.bowl, at));
      starts.set(number, at);
      knownFrom.set(number, at ?? end);
    });
  }
  for (const [number, fact] of word) {
    if (fact.kind !== "foil.added") continue;
    const at = timeMs(fact);
    starts.set(number, at);
    knownFrom.set(number, at);
    foils.set(number, foilIn(number, fact.payload["section"], fact.payload["bowl"] ?? null, at));
  }
  const rising = [...foils.values()].sort((a, b) => compare(a.number, b.number));
  const ways = facts.filter((one) => one.kind === "wiped" || one.kind === "rinsed");
  const numbers = [...word.keys()].sort(compare);
  return {
    foils: new Map(
      rising.map((one) => [one.number, ended(one, knownFrom.get(one.number) ?? 0, ways)]),
    ),
    starts,
    dropped: numbers.filter(isDropped),
    added: numbers.filter((number) => !isDropped(number)),
    conflicts: claimedTwice(spans),
  };
}

/**
 * The foils of a section's range, none while it is open.
 * @param {Span} span
 * @returns {number[]}
 */
export function numbersOf(span) {
  const { first, last } = span;
  return last === null ? [] : Array.from({ length: last - first + 1 }, (_, index) => first + index);
}

/**
 * Tell whether a rinse is of the whole head.
 * @param {Fact} rinse
 */
export function isWhole(rinse) {
  return !["foils", "section", "place"].some((name) => Object.hasOwn(rinse.payload, name));
}

/**
 * Find the foils in two ranges; each later section against the one that had them last.
 * @param {Span[]} spans
 */
function claimedTwice(spans) {
  /** @type {Map<number, Fact>} */
  const owner = new Map();
  /** @type {Conflict[]} */
  const out = [];
  for (const span of spans) {
    const kept = span.closing;
    if (!kept) continue;
    /** @type {Map<string, {had: Fact, numbers: number[]}>} */
    const claims = new Map();
    for (const number of numbersOf(span)) {
      const had = owner.get(number);
      if (had) {
        const claim = claims.get(had.id) ?? { had, numbers: [] };
        claim.numbers.push(number);
        claims.set(had.id, claim);
      }
      owner.set(number, kept);
    }
    for (const { had, numbers } of claims.values()) {
      out.push({ code: "two_sections", foils: numbers, kept, left: [had] });
    }
  }
  return out;
}

/**
 * Find the first wipe or rinse that takes a foil out, not before it is known to be in.
 * @param {PlacedFoil} foil
 * @param {number} knownFrom ms since 1970
 * @param {Fact[]} ways
 * @returns {PlacedFoil}
 */
function ended(foil, knownFrom, ways) {
  const way = ways.find((one) => {
    if (timeMs(one) < knownFrom) return false;
    const { foils = [], section } = one.payload;
    const named = foils.includes(foil.number) || section === foil.section;
    return named || (one.kind === "rinsed" && isWhole(one));
  });
  if (!way) return foil;
  const start = foil.start === null ? null : knownFrom;
  const how = way.kind === "wiped" ? "wiped" : "rinsed";
  return { ...foil, out: utcText(timeMs(way)), how, in_min: minutesBetween(start, timeMs(way)) };
}

/**
 * @param {number} number
 * @param {string} section
 * @param {string | null} bowl
 * @param {number | null} at
 * @returns {PlacedFoil}
 */
function foilIn(number, section, bowl, at) {
  return { number, section, bowl, start: textOrNull(at), out: null, how: null, in_min: null };
}

/**
 * @param {Fact[]} facts
 * @param {string} kind
 */
function grouped(facts, kind) {
  /** @type {Map<string, Fact[]>} */
  const out = new Map();
  for (const fact of facts) {
    if (fact.kind === kind) out.set(keyOf(fact), [...(out.get(keyOf(fact)) ?? []), fact]);
  }
  return out;
}

/** @param {Fact} fact */
function keyOf(fact) {
  return JSON.stringify([fact.payload["section"], fact.payload["first_foil"]]);
}

/**
 * @param {Fact[]} facts
 * @param {string} name
 */
function lastSaid(facts, name) {
  return facts.filter((one) => Object.hasOwn(one.payload, name)).at(-1)?.payload[name] ?? null;
}
