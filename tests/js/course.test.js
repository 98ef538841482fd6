// The way a visit takes, tap by tap, from facts alone.

import assert from "node:assert/strict";
import test from "node:test";

import { fold } from "../../src/strandline/salon/web/static/js/facts/fold.js";
import { understand } from "../../src/strandline/salon/web/static/js/facts/understand.js";
import { awaited } from "../../src/strandline/salon/web/static/js/chair/awaited.js";
import { glossClocks, groupsOf } from "../../src/strandline/salon/web/static/js/chair/clocks.js";
import { lastMovement, wayOn } from "../../src/strandline/salon/web/static/js/chair/course.js";
import { facts, vectors } from "./vectors.js";

const plan = {
  ...vectors("awaited_noor_unchecked")[0][1].plan,
  last_foil: 57,
  gloss: [
    { place: "root shadow", recipe: "a", first_look_min: 3, minutes_low: 10, minutes_high: 15, alone_min: 1.5 },
    { place: "mids", recipe: "b", first_look_min: 5, minutes_low: 8, minutes_high: 12, alone_min: 12 },
  ],
};
const BEGIN = Date.parse("2026-12-09T10:00:00Z");

class Visit {
  constructor(minute = 0, of = plan) {
    this.told = [];
    this.minute = minute;
    this.plan = of;
  }

  way(off = 0) {
    const records = facts(this.told);
    for (const fact of records) assert.ok("fact" in understand(fact, []), JSON.stringify(fact));
    this.visit = fold(records);
    const nowMs = BEGIN + this.minute * 60_000;
    const { plan: own } = this;
    const groups = groupsOf(own, this.visit, awaited(own, this.visit).waits, nowMs);
    const glosses = glossClocks(own, this.visit, nowMs);
    return wayOn(own, this.visit, { groups, glosses, nowMs, off });
  }

  say(...tap) {
    this.told.push(...tap.map(({ kind, payload }) => [this.minute, kind, payload]));
  }

  go(minutes, off = 0) {
    this.minute += minutes;
    const way = this.way(off);
    this.say(...way.tap);
    return way;
  }
}

test("a whole visit goes by the large way on alone", () => {
  const visit = new Visit();
  const done = [];
  for (let turn = 0; turn < 400 && done.at(-1) !== "ended"; turn += 1) {
    const way = visit.go(1);
    if (way.do === "check") {
      visit.say({ kind: "check.seen", payload: { foil: way.group.foils[0], stage: 7, sureness: "fair" } });
    }
    if (way.do !== done.at(-1)) done.push(way.do);
  }
  assert.equal(done.at(-1), "ended");
  const { visit: end } = visit;
  assert.deepEqual(end.foils_done.length, 57);
  assert.ok(end.foils.every((foil) => foil.out !== null && foil.in_min <= 51));
  assert.equal(end.glosses.length, 2);
  assert.ok(end.glosses.every((one) => one.rinsed !== null));
  assert.equal(end.outcome, "finished");
  assert.deepEqual(end.conflicts, []);
});

for (const [name, { plan: own }] of vectors("awaited_")) {
  test(`the plan of ${name} goes to its end, no foil past its label`, () => {
    const visit = new Visit(0, { ...own, gloss: [], last_foil: own.sections.at(-1).last });
    for (let turn = 0; turn < 300 && visit.go(1).do !== "ended"; turn += 1) {
      if (visit.visit.checks.length < turn / 20) {
        const foil = visit.visit.foils.find((one) => one.out === null)?.number;
        if (foil) visit.say({ kind: "check.seen", payload: { foil, stage: 7, sureness: "fair" } });
      }
    }
    const { visit: end } = visit;
    assert.equal(end.outcome, "finished");
    assert.equal(end.foils_done.length, own.sections.at(-1).last);
    for (const foil of end.foils) {
      const { bowl } = own.sections.find(({ first, last }) => first <= foil.number && foil.number <= last);
      assert.ok(foil.in_min <= own.waits[bowl].longest_min + 2, `${foil.number}: ${foil.in_min}`);
    }
  });
}

test("one tap closes a section and begins the next of the same bowl", () => {
  const visit = new Visit();
  assert.equal(visit.go(0).do, "begin");
  const way = visit.go(3);
  assert.equal(way.do, "place");
  assert.deepEqual(way.tap.map((one) => one.kind), ["section.placed", "section.begun"]);
  assert.deepEqual(way.pause.map((one) => one.kind), ["section.placed"]);
  assert.equal(visit.way().section.first, 3);
});

test("before another bowl she mixes: the next section waits for its own tap", () => {
  const visit = new Visit();
  visit.go(0);
  visit.go(3);
  assert.deepEqual(visit.go(20).tap.map((one) => one.kind), ["section.placed"]);
  const way = visit.way();
  assert.equal(way.do, "begin");
  assert.equal(way.section.first, 25);
});

test("a count under the plan drops foils, one over it adds some", () => {
  const visit = new Visit();
  visit.go(0);
  visit.go(3, -1);
  assert.deepEqual(visit.way().section.first, 3);
  assert.deepEqual(visit.visit.dropped, [2]);
  visit.go(20, 2);
  visit.way();
  assert.deepEqual(visit.visit.added, [58, 59]);
  assert.deepEqual(visit.visit.conflicts, []);
});

test("before anything is due the large way on does nothing", () => {
  const visit = new Visit();
  for (let turn = 0; turn < 12; turn += 1) visit.go(1);
  const way = visit.way();
  assert.ok(way.do === "wait" || way.do === "check");
  assert.deepEqual(way.tap, []);
});

test("burning stands above everything, and a rinse of the head answers it", () => {
  const visit = new Visit();
  visit.go(0);
  visit.say({ kind: "felt", payload: { what: "burning" } });
  const way = visit.go(1);
  assert.equal(way.do, "hurt");
  assert.deepEqual(way.tap.at(-1), { kind: "rinsed", payload: {} });
  assert.equal(visit.way().do, "gloss");
});

test("a rinse closes the open section at the foil she is at, and no foil is in after it", () => {
  const visit = new Visit();
  visit.go(0);
  visit.go(3);
  visit.say({ kind: "felt", payload: { what: "heat" } });
  const way = visit.go(4.5);
  assert.deepEqual(way.tap[0].payload, { section: "centre strip", first_foil: 3, last_foil: 7 });
  assert.equal(visit.way().do, "gloss");
  assert.deepEqual(visit.visit.foils.map((foil) => foil.out === null), Array(7).fill(false));
});

test("after a stop nothing more is begun; what is in comes out", () => {
  const visit = new Visit();
  visit.go(0);
  visit.go(3);
  visit.say({ kind: "changed", payload: { what: "stop" } });
  assert.equal(visit.way().do, "place");
  visit.go(2);
  const next = visit.way();
  assert.ok(["wait", "check", "out"].includes(next.do), next.do);
  visit.say({ kind: "rinsed", payload: {} });
  const end = visit.way();
  assert.equal(end.do, "finish");
  assert.equal(end.tap[0].payload.outcome, "stopped");
});

test("dropped sections are not asked for", () => {
  const visit = new Visit();
  visit.say({ kind: "foil.dropped", payload: { foils: [1, 2] } });
  assert.equal(visit.way().section.first, 3);
});

test("a step back takes the last movement of this device, whole, and never a feeling", () => {
  const visit = new Visit();
  visit.go(0);
  visit.go(3);
  visit.minute += 1;
  visit.say({ kind: "felt", payload: { what: "itch" } });
  const records = facts(visit.told);
  const back = lastMovement(records, "tablet").map((one) => one.kind);
  assert.deepEqual(back, ["section.begun", "section.placed"]);
  assert.deepEqual(lastMovement(records, "another"), []);
});
