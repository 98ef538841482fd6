// Learning from checks against the vectors that Python runs too, to 1e-9 in any order.

import assert from "node:assert/strict";
import test from "node:test";

import { dueOf, wantedProgress } from "../../src/strandline/salon/web/static/js/chair/due.js";
import { learnt } from "../../src/strandline/salon/web/static/js/chair/learning.js";
import { shuffled, vectors } from "./vectors.js";

const CHECKS = vectors("checks_");

function close(found, wanted, where = "") {
  if (typeof wanted === "number") {
    const bound = 1e-9 * Math.max(1, Math.abs(wanted));
    assert.ok(Math.abs(found - wanted) <= bound, `${where}: ${found}, not ${wanted}`);
  } else if (wanted !== null && typeof wanted === "object") {
    assert.deepEqual(Object.keys(found).sort(), Object.keys(wanted).sort(), where);
    for (const key of Object.keys(wanted)) close(found[key], wanted[key], `${where}.${key}`);
  } else assert.equal(found, wanted, where);
}

function worked(vector, checks) {
  const { numbers, belief, grounds } = vector;
  const told = checks.map((one) => ({ ...one, ground: grounds[one.ground] }));
  const found = learnt(numbers, belief, told, vector.felt);
  if ("override" in found) return found;
  const due = vector.foils.map(({ foil, hair, ground, aim_stage, label_min }) =>
    dueOf(numbers, found, {
      hair,
      foil,
      wanted: wantedProgress(grounds[ground], aim_stage),
      labelMin: label_min,
    }),
  );
  const minutes = (end) => due.map((one) => (Number.isFinite(one[end]) ? one[end] : null));
  return {
    belief: { mean: found.mean, cov: found.cov },
    own: found.own,
    due: {
      low: minutes("low"),
      middle: minutes("middle"),
      high: minutes("high"),
      label_first: due.map((one) => one.labelFirst),
    },
  };
}

test("there are at least eight vectors and one hurts", () => {
  assert.ok(CHECKS.length >= 8);
  assert.ok(CHECKS.some(([, vector]) => "override" in vector.expected));
});

for (const [name, vector] of CHECKS) {
  test(`${name} teaches what it says, in any order`, () => {
    for (let seed = 0; seed < 4; seed += 1) {
      const checks = seed ? shuffled(vector.checks, seed) : vector.checks;
      close(worked(vector, checks), vector.expected);
    }
  });
}
