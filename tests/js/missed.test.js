// A toner that missed: what is said of it, and the steps back that are on the device.

import assert from "node:assert/strict";
import test from "node:test";

import { fold } from "../../src/strandline/salon/web/static/js/facts/fold.js";
import { understand } from "../../src/strandline/salon/web/static/js/facts/understand.js";
import { answerTo, missInWords, missSaid } from "../../src/strandline/salon/web/static/js/chair/missed.js";
import { facts, vectors } from "./vectors.js";

const [[, vector]] = vectors("misses_");
const back = (...names) => names.map((name) => ({ name, what: name, away_de00: 2, gate: "" }));
const plan = {
  gloss: [{ place: "mids", miss: "m" }, { place: "ends", miss: "look sooner" }],
  misses: vector.misses.map((one) => ({
    ...one,
    also: [],
    turned: one.said === "too warm" ? "there" : "past",
    back: { mids: one.said === "too warm" ? back("tone again", "lighten again") : back("wash") },
  })),
};
const ON = [0, "gloss.applied", { place: "mids", recipe: "b" }];
const names = (answer) => answer.steps.map(({ name }) => name);
const answer = (told, tone = "too warm", place = "mids", of = plan) =>
  answerTo(of, fold(facts(told)), place, tone);

for (const [text, said] of vector.cases) {
  test(`words name their miss: ${JSON.stringify(text)}`, () => {
    assert.equal(missInWords(vector.misses, text)?.said ?? null, said);
  });
}

test("what is said of a miss is understood, and folded into its gloss", () => {
  for (const tone of ["too warm", "too deep", "like straw"]) {
    const { kind, payload } = missSaid(plan, "mids", tone);
    const told = facts([ON, [9, kind, payload]]);
    for (const fact of told) assert.ok("fact" in understand(fact, []), JSON.stringify(fact));
    const [gloss] = fold(told).glosses;
    assert.deepEqual([gloss.tone, gloss.turned], [tone, tone === "too deep" ? "past" : "there"]);
  }
});

test("the steps back follow in the plan's order, a gloss that is on is rinsed first", () => {
  assert.deepEqual(names(answer([ON])), ["tone again", "lighten again"]);
  assert.equal(answer([ON]).rinse, true);
  assert.equal(answer([ON, [9, "rinsed", {}]]).rinse, false);
  assert.deepEqual(names(answer([ON], "all muddy")), ["wash"]);
});

test("hair is not lightened again once something was felt or a stretch test was not clear", () => {
  const stretch = (outcome) => [3, "test.done", { test: "stretch", outcome }];
  for (const one of [[3, "felt", { what: "itch" }], stretch("doubtful"), stretch("failed")]) {
    const found = answer([ON, one]);
    assert.deepEqual(names(found), ["tone again"], JSON.stringify(one));
    assert.equal(found.held, true);
  }
  assert.equal(answer([ON, stretch("clear")]).held, false);
});

test("no step stands beside what is rinsed at once", () => {
  const found = answer([ON, [3, "felt", { what: "burning" }]]);
  assert.deepEqual([found.hurts, names(found), found.held], [true, [], false]);
});

test("where no step is computed the plan's sentence stands, in a plan kept from before too", () => {
  assert.deepEqual([names(answer([ON], "too warm", "ends")), answer([ON], "too warm", "ends").miss], [[], "look sooner"]);
  assert.equal(answer([ON], "like straw").miss, "m");
  assert.equal(answer([ON], "too warm", "mids", { gloss: plan.gloss }).miss, "m");
  assert.equal(missSaid({ gloss: [] }, "mids", "too warm").payload.turned, "there");
});
