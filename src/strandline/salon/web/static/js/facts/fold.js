// The fold: all facts of a visit to what they say, whatever order they came in and how often.

import { canonical, compare } from "./fact.js";
import { bowlsOf, checksOf, feelingsOf, glossesOf, listed, resultsOf, timeText } from "./joined.js";
import { foilsOf, spansOf, textOrNull } from "./placed.js";
import { sortOut } from "./sort_out.js";
import { flag } from "./understand.js";

/** @typedef {import("./fact.js").Fact} Fact */
/** @typedef {import("./understand.js").Flag} Flag */
/** @typedef {ReturnType<typeof fold>} Visit */

/** What says rinse now. */
export const RINSE_AT_ONCE = Object.freeze(["burning", "pain", "heat"]);

/**
 * Fold the facts of one visit; docs/facts.md says every rule.
 * @param {Fact[]} facts in any order, any of them more than once
 * @param {{unread?: {line: number}[], upcasters?: import("./understand.js").Upcaster[]}} [more]
 *     lines that are no facts, to be flagged; steps from older schemas
 */
export function fold(facts, { unread = [], upcasters = [] } = {}) {
  const { stream, standing, believed, takenBack, conflicts, flags } = sortOut(facts, upcasters);
  const spans = spansOf(standing);
  const placed = foilsOf(standing, spans);
  const begun = standing.filter((one) => one.kind === "visit.started");
  const over = standing.filter((one) => one.kind === "visit.ended").at(-1);
  const [first, start] = [begun[0], begun.at(-1)];
  const feelings = feelingsOf(standing, believed);
  const bowls = bowlsOf(standing, flags);
  const glosses = glossesOf(standing, flags);
  /** @param {string} kind */
  const outs = (kind) => listed(standing, kind, "foils", "section", "place");
  return {
    stream,
    client: start?.payload["client"] ?? null,
    date: start?.payload["date"] ?? null,
    plan: start?.payload["plan"] ?? null,
    started: first ? timeText(first) : null,
    offset: start?.offset ?? null,
    ended: over ? timeText(over) : null,
    outcome: over?.payload["outcome"] ?? null,
    sections: spans.map((span) => ({
      section: span.section,
      first_foil: span.first,
      last_foil: span.last,
      start: textOrNull(span.startMs),
      end: textOrNull(span.endMs),
      bowl: span.bowl,
    })),
    foils: [...placed.foils.values()],
    dropped: placed.dropped,
    added: placed.added,
    bowls,
    checks: checksOf(standing, placed),
    wipes: outs("wiped"),
    rinses: outs("rinsed"),
    glosses,
    changes: listed(standing, "changed", "what", "minutes", "foils", "section", "why"),
    feelings,
    rinse_now: feelings.some(
      (one) => RINSE_AT_ONCE.includes(one["what"]) && one.rinsed === null,
    ),
    ...resultsOf(standing),
    tests: listed(standing, "test.done", "test", "outcome", "where"),
    notes: standing
      .filter((one) => one.kind === "note")
      .map((one) => ({ time: timeText(one), by: one.by, text: one.payload["text"] })),
    taken_back: takenBack,
    conflicts: [...conflicts, ...placed.conflicts],
    flagged: flagsInOrder([...flags, ...unread.map(({ line }) => flag("", "", "line", "", line))]),
    foils_done: [...placed.foils.keys()],
  };
}

/**
 * Sort flags by what they say; of those that say the same, one.
 * @param {Flag[]} flags
 */
function flagsInOrder(flags) {
  const found = new Map(
    flags.map((one) => [canonical([one.id, one.kind, one.code, one.field, one.line]), one]),
  );
  return [...found].sort(([a], [b]) => compare(a, b)).map(([, one]) => one);
}
