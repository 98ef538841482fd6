// The vocabulary of a visit, made from base/facts/kinds.py; never written by hand:
// python -m strandline.base.facts.vocabulary

/** @typedef {"text" | "name" | "date" | "word" | "whole" | "number" | "wholes" | "yes"} Type */
/**
 * @typedef {object} Field
 * @property {Type} type
 * @property {number} low
 * @property {number} high
 * @property {string[]} words
 * @property {boolean} needed
 */
/**
 * @typedef {object} Kind
 * @property {number} schema
 * @property {{[name: string]: Field}} fields
 * @property {string[]} one_of
 * @property {string[]} rising
 */

/** How many foils a list names at most. */
export const MOST_FOILS = 400;

/** @type {{[kind: string]: Kind}} */
export const KINDS = {
  "visit.started": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "date": {"type": "date", "low": 0, "high": 0, "words": [], "needed": true},
      "client": {"type": "text", "low": 1, "high": 80, "words": [], "needed": true},
      "plan": {"type": "text", "low": 1, "high": 64, "words": [], "needed": false},
    },
  },
  "test.done": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "test": {"type": "word", "low": 0, "high": 0, "words": ["alert", "strand", "stretch"], "needed": true},
      "outcome": {"type": "word", "low": 0, "high": 0, "words": ["clear", "doubtful", "failed"], "needed": true},
      "where": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
    },
  },
  "bowl.mixed": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "bowl": {"type": "text", "low": 1, "high": 60, "words": [], "needed": true},
      "developer_vol": {"type": "number", "low": 0, "high": 100, "words": [], "needed": true},
      "developer_grams": {"type": "number", "low": 0, "high": 2000, "words": [], "needed": true},
      "powder_grams": {"type": "number", "low": 0, "high": 2000, "words": [], "needed": true},
      "colour_grams": {"type": "number", "low": 0, "high": 2000, "words": [], "needed": false},
    },
  },
  "bowl.left": {
    schema: 1,
    one_of: ["grams", "amount"],
    rising: [],
    fields: {
      "bowl": {"type": "text", "low": 1, "high": 60, "words": [], "needed": true},
      "grams": {"type": "number", "low": 0, "high": 4000, "words": [], "needed": false},
      "amount": {"type": "word", "low": 0, "high": 0, "words": ["none", "some", "half"], "needed": false},
    },
  },
  "section.begun": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "section": {"type": "text", "low": 1, "high": 60, "words": [], "needed": true},
      "first_foil": {"type": "whole", "low": 1, "high": 400, "words": [], "needed": true},
    },
  },
  "section.placed": {
    schema: 1,
    one_of: [],
    rising: ["first_foil", "last_foil"],
    fields: {
      "section": {"type": "text", "low": 1, "high": 60, "words": [], "needed": true},
      "first_foil": {"type": "whole", "low": 1, "high": 400, "words": [], "needed": true},
      "last_foil": {"type": "whole", "low": 1, "high": 400, "words": [], "needed": true},
      "took_min": {"type": "number", "low": 0, "high": 600, "words": [], "needed": false},
      "bowl": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
    },
  },
  "foil.dropped": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "foils": {"type": "wholes", "low": 1, "high": 400, "words": [], "needed": true},
      "why": {"type": "text", "low": 1, "high": 200, "words": [], "needed": false},
    },
  },
  "foil.added": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "foils": {"type": "wholes", "low": 1, "high": 400, "words": [], "needed": true},
      "section": {"type": "text", "low": 1, "high": 60, "words": [], "needed": true},
      "bowl": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
    },
  },
  "check.seen": {
    schema: 1,
    one_of: ["foil", "section"],
    rising: [],
    fields: {
      "foil": {"type": "whole", "low": 1, "high": 400, "words": [], "needed": false},
      "section": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
      "stage": {"type": "number", "low": 3, "high": 10.5, "words": [], "needed": true},
      "sureness": {"type": "word", "low": 0, "high": 0, "words": ["sure", "fair", "guess"], "needed": true},
      "band": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
      "dried": {"type": "yes", "low": 0, "high": 0, "words": [], "needed": false},
    },
  },
  "wiped": {
    schema: 1,
    one_of: ["foils", "section"],
    rising: [],
    fields: {
      "foils": {"type": "wholes", "low": 1, "high": 400, "words": [], "needed": false},
      "section": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
    },
  },
  "rinsed": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "foils": {"type": "wholes", "low": 1, "high": 400, "words": [], "needed": false},
      "section": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
      "place": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
    },
  },
  "gloss.applied": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "place": {"type": "text", "low": 1, "high": 60, "words": [], "needed": true},
      "recipe": {"type": "text", "low": 1, "high": 200, "words": [], "needed": true},
    },
  },
  "gloss.seen": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "place": {"type": "text", "low": 1, "high": 60, "words": [], "needed": true},
      "turned": {"type": "word", "low": 0, "high": 0, "words": ["not yet", "nearly", "there", "past"], "needed": true},
      "tone": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
    },
  },
  "changed": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "what": {"type": "word", "low": 0, "high": 0, "words": ["late", "brighter", "darker", "stop", "bleed", "slip", "helper", "other"], "needed": true},
      "minutes": {"type": "number", "low": 0, "high": 600, "words": [], "needed": false},
      "foils": {"type": "wholes", "low": 1, "high": 400, "words": [], "needed": false},
      "section": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
      "why": {"type": "text", "low": 1, "high": 200, "words": [], "needed": false},
    },
  },
  "felt": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "what": {"type": "word", "low": 0, "high": 0, "words": ["burning", "pain", "heat", "itch"], "needed": true},
      "where": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
    },
  },
  "result.seen": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "area": {"type": "word", "low": 0, "high": 0, "words": ["front", "crown", "back", "sides", "whole"], "needed": true},
      "stage": {"type": "number", "low": 3, "high": 10.5, "words": [], "needed": false},
      "evenness": {"type": "word", "low": 0, "high": 0, "words": ["even", "back light", "band warm", "spot", "ends grabbed"], "needed": true},
      "tone": {"type": "text", "low": 1, "high": 60, "words": [], "needed": false},
      "remedy": {"type": "word", "low": 0, "high": 0, "words": ["left", "lightened again", "toned deeper", "lowlights"], "needed": false},
    },
  },
  "note": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "text": {"type": "text", "low": 1, "high": 2000, "words": [], "needed": true},
    },
  },
  "taken.back": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "fact": {"type": "name", "low": 0, "high": 0, "words": [], "needed": true},
      "why": {"type": "text", "low": 1, "high": 200, "words": [], "needed": false},
    },
  },
  "visit.ended": {
    schema: 1,
    one_of: [],
    rising: [],
    fields: {
      "outcome": {"type": "word", "low": 0, "high": 0, "words": ["finished", "changed", "stopped"], "needed": false},
    },
  },
};
