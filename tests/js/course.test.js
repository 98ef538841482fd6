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
  constructor(minute = 0) {
    this.told = [];
    this.minute = minute;
  }

  way(off = 0) {
    const records = facts(this.told);
    for (const fact of records) assert.ok("fact" in understand(fact, []), JSON.stringify(fact));
    this.visit = fold(records);
    const nowMs = BEGIN + this.minute * 60_000;
    const groups = groupsOf(plan, this.visit, awaited(plan, this.visit).waits, nowMs);
    const glosses = glossClocks(plan, this.visit, nowMs);
    return wayOn(plan, this.visit, { groups, glosses, nowMs, off });
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
  assert.deepEqual(way.tap, [{ kind: "rinsed", payload: {} }]);
  assert.notEqual(visit.way().do, "hurt");
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
