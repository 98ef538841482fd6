// Waits against the server's vectors; clocks from facts and the present time alone.

import assert from "node:assert/strict";
import test from "node:test";

import { fold } from "../../src/strandline/salon/web/static/js/facts/fold.js";
import { awaited } from "../../src/strandline/salon/web/static/js/chair/awaited.js";
import {
  foilByPace, glossClocks, groupsOf,
} from "../../src/strandline/salon/web/static/js/chair/clocks.js";
import { facts, vectors } from "./vectors.js";

const AWAITED = vectors("awaited_");
const MINUTE = 60_000;
const BEGIN = Date.parse("2026-12-09T10:00:00Z");
const at = (minutes) => BEGIN + minutes * MINUTE;

for (const [name, { plan, facts: told, expected }] of AWAITED) {
  test(`${name} waits as the server does`, () => {
    const { taught, waits } = awaited(plan, fold(told));
    assert.equal(taught, expected.taught);
    assert.deepEqual(Object.keys(waits).sort(), Object.keys(expected.waits).sort());
    for (const [bowl, wanted] of Object.entries(expected.waits)) {
      for (const [end, minutes] of Object.entries(wanted)) {
        const found = waits[bowl][end];
        if (minutes === null) assert.equal(found, Infinity, `${bowl} ${end}`);
        else assert.ok(Math.abs(found - minutes) < 1e-9 * Math.max(1, minutes), `${bowl} ${end}`);
      }
    }
  });
}

const { plan } = AWAITED.find(([name]) => name === "awaited_noor_unchecked")[1];
const nape = { section: "nape hairline", first_foil: 1 };
const strip = { section: "centre strip", first_foil: 3 };
const PLACED = [
  [0, "section.begun", nape],
  [3, "section.placed", { ...nape, last_foil: 2 }],
  [4, "section.begun", strip],
  [26, "section.placed", { ...strip, last_foil: 24 }],
];

function clocks(told, minute) {
  const visit = fold(facts(told));
  return groupsOf(plan, visit, awaited(plan, visit).waits, at(minute));
}

test("clocks stand in the order of who is due next, and count from facts", () => {
  const [first, second] = clocks(PLACED, 27);
  assert.deepEqual([first.section, second.section], ["nape hairline", "centre strip"]);
  assert.deepEqual(first.foils, [1, 2]);
  assert.equal(second.foils.length, 22);
  assert.equal(first.startMs, at(0));
  assert.equal(first.latestMs, at(50));
  assert.equal(first.checkMs, at(15));
  assert.equal(first.state, "check");
  const { weak } = AWAITED.find(([name]) => name === "awaited_noor_unchecked")[1].expected.waits;
  assert.ok(Math.abs(first.dueMs - at(weak.out)) < 1);
});

test("a jump in time, as after sleep, gives the state of the new time", () => {
  const states = [10, 16, 45, 49.99, 50].map((minute) => clocks(PLACED, minute)[0].state);
  assert.deepEqual(states, ["waits", "check", "due", "due", "label"]);
});

test("a check puts off the next look, and teaches the clock", () => {
  const seen = [16, "check.seen", { foil: 1, stage: 6.5, sureness: "sure" }];
  const [before] = clocks(PLACED, 17);
  const [after] = clocks([...PLACED, seen], 17);
  assert.equal(after.checkMs, at(16 + plan.check_every_min));
  assert.equal(after.state, "waits");
  assert.ok(after.dueMs < before.dueMs - MINUTE);
});

test("an open section runs from its first foil, and ends with a rinse", () => {
  const open = [...PLACED, [33, "section.begun", { section: "centre strip", first_foil: 25 }]];
  const running = clocks(open, 34).find((group) => group.foils.includes(25));
  assert.equal(running.startMs, at(33));
  assert.equal(running.bowl, "main");
  assert.deepEqual(clocks([...open, [40, "rinsed", {}]], 41), []);
});

test("foils that came out have no clock, those that stay have theirs", () => {
  const wiped = [...PLACED, [44, "wiped", { foils: [1, 2] }]];
  assert.deepEqual(clocks(wiped, 45).map((group) => group.section), ["centre strip"]);
});

test("added foils have a clock of their own start", () => {
  const told = [...PLACED, [30, "foil.added", { foils: [58], section: "front", bowl: "main" }]];
  const added = clocks(told, 31).find((group) => group.foils.includes(58));
  assert.equal(added.startMs, at(30));
  assert.equal(added.section, "front");
});

test("a section whose start no tap says is shown first, without a clock", () => {
  const told = [[5, "section.placed", { ...nape, last_foil: 2 }], ...PLACED.slice(2)];
  const [first] = clocks(told, 27);
  assert.equal(first.state, "unknown");
  assert.equal(first.startMs, null);
});

test("the foil by her pace never passes the last of its section", () => {
  assert.equal(foilByPace(plan, 3, at(0), at(0)), 3);
  assert.equal(foilByPace(plan, 3, at(0), at(10.5)), 13);
  assert.equal(foilByPace(plan, 3, at(0), at(500)), 24);
});

test("a gloss has its look and its window", () => {
  const gloss = [{ place: "mids", first_look_min: 5, minutes_low: 8, minutes_high: 12 }];
  const told = fold(facts([[0, "gloss.applied", { place: "mids", recipe: "x" }]]));
  const states = [1, 5, 8, 12].map((minute) => glossClocks({ gloss }, told, at(minute))[0].state);
  assert.deepEqual(states, ["waits", "look", "window", "past"]);
  const rinsed = fold(facts([[0, "gloss.applied", { place: "mids", recipe: "x" }],
    [9, "rinsed", {}]]));
  assert.deepEqual(glossClocks({ gloss }, rinsed, at(10)), []);
});
