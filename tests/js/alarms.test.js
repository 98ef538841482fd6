// Alarms: what is due and not answered, the gravest first; each rings once, then again in time.

import assert from "node:assert/strict";
import test from "node:test";

import { AGAIN_MS, alarmsOf, Ringing } from "../../src/strandline/salon/web/static/js/chair/alarms.js";
import { extraOf, withExtra } from "../../src/strandline/salon/web/static/js/chair/extra.js";

const plan = { sections: [], last_foil: 10 };
const quietVisit = { rinse_now: false, feelings: [] };
const group = (state, more = {}) => ({
  key: `g ${state}`, state, foils: [1, 2], startMs: 0, checkMs: 10, dueMs: 20, latestMs: 30, ...more,
});
const look = (more) => alarmsOf({ groups: [], glosses: [], visit: quietVisit, plan, nowMs: 0, ...more });

test("the gravest comes first, and what waits is none", () => {
  const groups = ["waits", "check", "due", "label"].map((state) => group(state));
  assert.deepEqual(look({ groups }).map((one) => one.sort), ["label", "due", "check"]);
});

test("what hurts stands above the label", () => {
  const visit = {
    rinse_now: true,
    feelings: [{ time: "2026-12-09T10:00:00.000Z", what: "pain", rinsed: null }],
  };
  assert.deepEqual(look({ visit, groups: [group("label")] }).map((one) => one.sort), ["hurt", "label"]);
});

test("a gloss asks for a look until one was taken, and is grave past its window", () => {
  const gloss = { place: "mids", startMs: 0, lookMs: 5, highMs: 12, state: "look", turned: null };
  const sorts = (one) => look({ glosses: [{ ...gloss, ...one }] }).map(({ sort }) => sort);
  assert.deepEqual(sorts({}), ["gloss_look"]);
  assert.deepEqual(sorts({ turned: "nearly" }), []);
  assert.deepEqual(sorts({ state: "past", turned: "there" }), ["gloss"]);
});

test("a stretch that is painted later is called for in its time", () => {
  const sections = [{ first: 1, last: 2, later: [{ band: "regrowth", bowl: "main", after_min: 12 }] }];
  const at = (minutes) =>
    look({ plan: { ...plan, sections }, groups: [group("waits")], nowMs: minutes * 60_000 });
  assert.deepEqual(at(11.9), []);
  assert.deepEqual(at(12).map(({ sort, place }) => [sort, place]), [["paint", "regrowth"]]);
  assert.deepEqual(at(20), []);
});

test("it rings when it comes, again while nobody answers, and no more once quiet", () => {
  const ringing = new Ringing();
  const alarms = look({ groups: [group("label"), group("due")] });
  assert.equal(ringing.next(alarms, 0)?.sort, "label");
  assert.equal(ringing.next(alarms, 1000), null);
  assert.equal(ringing.next(alarms, AGAIN_MS.label)?.sort, "label");
  ringing.hush(alarms);
  assert.equal(ringing.next(alarms, 10 * AGAIN_MS.due), null);
  assert.equal(ringing.next(look({ groups: [group("label", { latestMs: 99 })] }), 0)?.sort, "label");
});

test("foils that a plan made anew adds are a section more", () => {
  const anew = {
    added: 5,
    groups: [
      { foils: "1-10", section: "sides", bowl: "main", how: "wipe" },
      { foils: "11-15", section: "front, brighter", bowl: "main", how: "rinse" },
    ],
    steps: [{ what: "Add 5 fine weaves at the front, foils 11-15" }],
  };
  const [extra, ...more] = extraOf(plan, anew);
  assert.deepEqual(more, []);
  assert.deepEqual([extra.first, extra.last, extra.pace_min.length], [11, 15, 5]);
  assert.equal(extra.lines.length, 1);
  assert.equal(withExtra(plan, [extra]).last_foil, 15);
  assert.deepEqual(extraOf(plan, { ...anew, added: 0 }), []);
});
