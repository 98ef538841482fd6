// The fold against the vectors that Python runs too, in any order and with every fact twice.

import assert from "node:assert/strict";
import test from "node:test";

import { canonical, factOf, milliseconds } from "../../src/strandline/salon/web/static/js/facts/fact.js";
import { fold } from "../../src/strandline/salon/web/static/js/facts/fold.js";
import { shuffled, vectors } from "./vectors.js";

const FACTS = vectors("facts_");

test("there are at least eight vectors", () => assert.ok(FACTS.length >= 8));

for (const [name, vector] of FACTS) {
  test(`${name} folds as it says, in any order and however often`, () => {
    const { facts, upcasters } = vector;
    const backwards = [...facts].reverse();
    const orders = [facts, backwards, [...facts, ...backwards]];
    for (let seed = 0; seed < 24; seed += 1) orders.push(shuffled(facts, seed));
    for (const records of orders) {
      const read = records.map(factOf);
      assert.ok(read.every(Boolean));
      const visit = JSON.parse(JSON.stringify(fold(read, { upcasters })));
      const told = Object.fromEntries(Object.keys(vector.visit).map((key) => [key, visit[key]]));
      assert.deepEqual(told, vector.visit);
    }
  });
}

test("a fold has every part that a vector may name, and no other", () => {
  const whole = FACTS.find(([name]) => name === "facts_old_schema")[1].visit;
  assert.deepEqual(Object.keys(fold([])).sort(), Object.keys(whole).sort());
});

test("folding leaves the facts as they were", () => {
  for (const [, vector] of FACTS) {
    const before = canonical(vector.facts);
    fold(vector.facts, { upcasters: vector.upcasters });
    assert.equal(canonical(vector.facts), before);
  }
});

test("canonical text is what the server writes", () => {
  const said = { b: [3.0, 0.1, 1e21, -0, 1e-7], a: 'q"\\\n\u007f\ud800é😀', __proto__x: null };
  assert.equal(
    canonical(said),
    '{"__proto__x":null,"a":"q\\"\\\\\\n\\u007f\\ud800\\u00e9\\ud83d\\ude00",' +
      '"b":[3,0.1,1e+21,0,1e-7]}',
  );
});

test("a time is read only where it is in the calendar", () => {
  assert.equal(milliseconds("2026-02-28T10:05:00Z"), 1772273100000);
  assert.equal(milliseconds("2026-02-28T10:05:00.5Z"), 1772273100500);
  for (const text of ["2026-02-29T10:05:00Z", "2026-12-09T24:00:00Z", "1969-12-31T23:59:59Z",
    "2026-12-09T10:05:00", "2026-12-09T10:05:00.1234Z", "2026-12-09 10:05:00Z"]) {
    assert.equal(milliseconds(text), null, text);
  }
});

test("what is no fact is told apart", () => {
  const fact = FACTS[0][1].facts[0];
  assert.ok(factOf(fact));
  for (const other of [null, [], 3, {}, { ...fact, more: 1 }, { ...fact, offset: "60" },
    { ...fact, schema: 1.5 }, { ...fact, payload: [] }, { ...fact, by: undefined }]) {
    assert.equal(factOf(other), null);
  }
});
