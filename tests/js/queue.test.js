// The queue on a whole IndexedDB: numbers, order, acknowledgement, two tabs, a server that is gone.

import assert from "node:assert/strict";
import test from "node:test";

import { IDBFactory } from "fake-indexeddb";

import { factOf } from "../../src/strandline/salon/web/static/js/facts/fact.js";
import { understand } from "../../src/strandline/salon/web/static/js/facts/understand.js";
import { Present } from "../../src/strandline/salon/web/static/js/chair/present.js";
import { Queue } from "../../src/strandline/salon/web/static/js/chair/queue.js";
import {
  LONGEST_WAIT_MS, Refused, Sender,
} from "../../src/strandline/salon/web/static/js/chair/sender.js";

let names = 0;
const START = Date.parse("2026-12-09T09:00:00Z");

function opened(factory = new IDBFactory(), now = () => START) {
  return Queue.open({ factory, now, newName: () => `phone-${(names += 1)}` });
}

const note = (text, stream = "v-1") => ({ stream, kind: "note", payload: { text }, by: "Ines" });
const texts = (facts) => facts.map((fact) => fact.payload.text);

test("a tap becomes a fact that the fold understands", async () => {
  const queue = await opened();
  const fact = await queue.add(note("first"));
  assert.ok(factOf(fact));
  assert.ok("fact" in understand(fact, []));
  assert.equal(fact.device_seq, 1);
  assert.equal(fact.device_time, "2026-12-09T09:00:00.000Z");
});

test("two tabs of one device never give one number twice", async () => {
  const factory = new IDBFactory();
  const tabs = await Promise.all([opened(factory), opened(factory)]);
  assert.equal(tabs[0].device, tabs[1].device);
  const taps = Array.from({ length: 40 }, (_, at) => tabs[at % 2].add(note(`${at}`)));
  const facts = await Promise.all(taps);
  const numbers = facts.map((fact) => fact.device_seq).sort((a, b) => a - b);
  assert.deepEqual(numbers, Array.from({ length: 40 }, (_, at) => at + 1));
  assert.equal(new Set(facts.map((fact) => fact.id)).size, 40);
});

test("numbers go on where they stood after the page is loaded anew", async () => {
  const factory = new IDBFactory();
  await (await opened(factory)).add(note("before"));
  const after = await opened(factory);
  assert.equal((await after.add(note("after"))).device_seq, 2);
  assert.deepEqual(texts(await after.waiting()), ["before", "after"]);
});

test("facts of one movement are kept all or none", async () => {
  const queue = await opened();
  await assert.rejects(queue.addAll([note("a"), { ...note("b"), payload: () => {} }]));
  assert.deepEqual(await queue.facts("v-1"), []);
  assert.equal((await queue.add(note("c"))).device_seq, 1);
});

test("what is acknowledged waits no more but is still here", async () => {
  const queue = await opened();
  const sent = [await queue.add(note("a")), await queue.add(note("b"))];
  await queue.add(note("c"));
  await queue.acknowledged(sent, 2);
  assert.deepEqual(texts(await queue.waiting()), ["c"]);
  assert.deepEqual(texts(await queue.facts("v-1")).sort(), ["a", "b", "c"]);
  assert.deepEqual(await queue.facts("v-2"), []);
});

test("a record restored from an older day is sent what it lost", async () => {
  const queue = await opened();
  for (const text of ["a", "b", "c"]) await queue.add(note(text));
  await queue.acknowledged(await queue.waiting(), 3);
  const later = await queue.add(note("d"));
  await queue.acknowledged([later], 1);
  assert.deepEqual(texts(await queue.waiting()), ["b", "c"]);
});

test("a gap in the server's numbers does not send facts for ever", async () => {
  const queue = await opened();
  for (const text of ["a", "b", "c"]) await queue.add(note(text));
  await queue.acknowledged(await queue.waiting(), 0);
  assert.equal(await queue.countWaiting(), 0);
});

test("facts of other devices are kept once and never sent", async () => {
  const queue = await opened();
  const own = await queue.add(note("mine"));
  const other = { ...own, id: "tablet-9", device: "tablet", payload: { text: "hers" } };
  assert.equal(await queue.keep([other, own, other]), 1);
  assert.deepEqual(texts(await queue.waiting()), ["mine"]);
  assert.equal((await queue.facts("v-1")).length, 2);
});

test("what is remembered is recalled", async () => {
  const queue = await opened();
  await queue.remember("plan", { sections: [1, 2] });
  assert.deepEqual(await queue.recall("plan"), { sections: [1, 2] });
  assert.equal(await queue.recall("none"), undefined);
});

/** A server that may be gone, with an honest list of what it got. */
function served(queue, { most = 1000 } = {}) {
  const server = { here: true, got: [], refuses: false, posts: 0 };
  const post = async (facts) => {
    server.posts += 1;
    if (!server.here) throw new TypeError("no connection");
    if (server.refuses) throw new Refused("not now");
    server.got.push(...facts.slice(0, most));
    const numbers = server.got.map((fact) => fact.device_seq);
    return { up_to: { [queue.device]: Math.max(...numbers) } };
  };
  return [server, post];
}

function hands() {
  const kept = { waits: [], told: [], locked: Promise.resolve() };
  return [
    kept,
    {
      alone: (work) => (kept.locked = kept.locked.catch(() => {}).then(work)),
      later: (run, ms) => {
        kept.waits.push({ run, ms });
        return () => {};
      },
      told: (standing, waiting) => kept.told.push([standing, waiting]),
    },
  ];
}

test("what waits is sent in order, in batches, once", async () => {
  const queue = await opened();
  for (let at = 0; at < 250; at += 1) await queue.add(note(`${at}`));
  const [server, post] = served(queue);
  const [kept, own] = hands();
  const sender = new Sender(queue, post, own);
  await Promise.all([sender.send(), sender.send(), sender.send()]);
  assert.deepEqual(texts(server.got), Array.from({ length: 250 }, (_, at) => `${at}`));
  assert.equal(server.posts, 3);
  assert.deepEqual(kept.told.at(-1), ["sent", 0]);
});

test("two tabs that send at once send nothing twice", async () => {
  const factory = new IDBFactory();
  const [one, other] = [await opened(factory), await opened(factory)];
  for (let at = 0; at < 30; at += 1) await one.add(note(`${at}`));
  const [server, post] = served(one);
  const [, own] = hands();
  await Promise.all([new Sender(one, post, own).send(), new Sender(other, post, own).send()]);
  assert.equal(server.got.length, 30);
});

test("with the server gone it waits longer each time, and nothing is lost", async () => {
  const queue = await opened();
  await queue.add(note("a"));
  const [server, post] = served(queue);
  const [kept, own] = hands();
  const sender = new Sender(queue, post, own);
  server.here = false;
  await sender.send();
  for (let turn = 0; turn < 7; turn += 1) await sender.send();
  const waits = kept.waits.map(({ ms }) => ms);
  assert.deepEqual(waits.slice(0, 4), [1000, 2000, 4000, 8000]);
  assert.equal(waits.at(-1), LONGEST_WAIT_MS);
  assert.deepEqual(kept.told.at(-1), ["waits", 1]);
  server.here = true;
  await queue.add(note("b"));
  await sender.send();
  assert.deepEqual(texts(server.got), ["a", "b"]);
  assert.equal(sender.failures, 0);
});

test("what a server refuses is kept and told", async () => {
  const queue = await opened();
  await queue.add(note("a"));
  const [server, post] = served(queue);
  const [kept, own] = hands();
  server.refuses = true;
  await new Sender(queue, post, own).send();
  assert.deepEqual(kept.told.at(-1), ["refused", 1]);
});

test("a tap while sending goes with the same turn", async () => {
  const queue = await opened();
  await queue.add(note("a"));
  const [server, post] = served(queue);
  const [, own] = hands();
  let tapped = false;
  const slow = async (facts) => {
    if (!tapped) {
      tapped = true;
      await queue.add(note("b"));
      void sender.send();
    }
    return post(facts);
  };
  const sender = new Sender(queue, slow, own);
  await sender.send();
  assert.deepEqual(texts(server.got), ["a", "b"]);
});

test("present time never runs back, on this page or the next", () => {
  let device = START;
  const present = new Present(() => device);
  assert.equal(present.now(), START);
  device += 60_000;
  assert.equal(present.now(), START + 60_000);
  device -= 5 * 60_000;
  assert.equal(present.now(), START + 60_000);
  device += 60_000;
  assert.equal(present.now(), START + 120_000);
  const next = new Present(() => device, JSON.parse(JSON.stringify(present.kept())));
  device += 60_000;
  assert.equal(next.now(), START + 180_000);
});
