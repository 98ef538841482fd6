// Strands as bytes, read in the browser as the contract of tests/contract/strands.json says.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";

const HERE = "../../src/strandline/salon/web/static/js/strands/";
const { readStrands, inUnits, unbent } = await import(`${HERE}bytes.js`);
const { colourAt } = await import(`${HERE}colours.js`);
const { cameraOf, lampOf, turnedBy, LEAST_TILT, MOST_TILT } = await import(`${HERE}camera.js`);
const { LEAST, MOST, Pace, RESTING_MS } = await import(`${HERE}quality.js`);

const contract = JSON.parse(
  readFileSync(new URL("../contract/strands.json", import.meta.url), "utf-8"),
);
const raw = Buffer.from(contract.bytes, "base64");
const bytes = () => raw.buffer.slice(raw.byteOffset, raw.byteOffset + raw.length);

test("places come back as they went", () => {
  const told = readStrands(bytes());
  const place = inUnits(told, "place");
  const { strands, places } = told.head;
  contract.place_cm.forEach((strand, n) =>
    strand.forEach((at, v) =>
      at.forEach((cm, k) => {
        const found = place[(k * strands + n) * places + v];
        assert.ok(Math.abs(found - cm) < 1e-5, `strand ${n}, place ${v}: ${found}, not ${cm}`);
      }),
    ),
  );
});

test("colours are those of the contract, exactly", () => {
  const told = readStrands(bytes());
  assert.ok(contract.colours.length > 100);
  for (const { way, strand, week, along_cm: along, srgb } of contract.colours) {
    assert.deepEqual(colourAt(told, way, strand, week, along), srgb, `${way} ${strand} ${week}`);
  }
});

test("bytes of another format or version are refused", () => {
  const other = (from, to) => {
    const text = raw.toString("latin1").replace(from, to);
    return Uint8Array.from(Buffer.from(text, "latin1")).buffer;
  };
  assert.throws(() => readStrands(other("strandline strands", "strandline plaits!")), RangeError);
  assert.throws(() => readStrands(other('"version":4', '"version":5')), RangeError);
  assert.throws(() => readStrands(new ArrayBuffer(2)));
});

test("a bend is undone row by row, over the ends of 16 bits", () => {
  // Second differences as if two zeros stood before each row, as 16 bits hold them.
  const bends = [7, -5, 0, -32768, 32767, -32766];
  const folded = bends.map((one) => (one < 0 ? -2 * one - 1 : 2 * one));
  const halves = [...folded.map((one) => one & 255), ...folded.map((one) => one >> 8)];
  assert.deepEqual([...unbent(Uint8Array.from(halves), 3)], [7, 9, 11, -32768, 32767, 0]);
});

test("a camera looks from where its pose says, with axes at right angles", () => {
  const { views } = readStrands(bytes()).head;
  const near = (a, b) => a.forEach((x, k) => assert.ok(Math.abs(x - b[k]) < 1e-9, `${a}, ${b}`));
  near(cameraOf(views, { turn: 0, tilt: 0 }).eye, [0, 1, 0]);
  near(cameraOf(views, { turn: 90, tilt: 0 }).eye, [1, 0, 0]);
  near(cameraOf(views, { turn: 0, tilt: 0 }).right, [-1, 0, 0]);
  near(cameraOf(views, { turn: 0, tilt: 0 }).up, [0, 0, 1]);
  for (const pose of [{ turn: 33, tilt: 41 }, { turn: 250, tilt: -12 }, { turn: 180, tilt: 76 }]) {
    const { right, up, eye, ...rest } = cameraOf(views, pose);
    const dot = (a, b) => a.reduce((sum, x, k) => sum + x * b[k], 0);
    for (const [a, b, wanted] of [
      [right, up, 0], [right, eye, 0], [up, eye, 0], [right, right, 1], [up, up, 1], [eye, eye, 1],
    ]) {
      assert.ok(Math.abs(dot(a, b) - wanted) < 1e-9);
    }
    const lamp = lampOf({ right, up, eye, ...rest });
    assert.ok(Math.abs(dot(lamp, lamp) - 1) < 1e-9);
    assert.ok(dot(lamp, eye) > 0.5 && dot(lamp, up) > 0);
  }
});

test("a named side has the frame and the light that were told for it", () => {
  const { views } = readStrands(bytes()).head;
  for (const [turn, tilt, , , up, height, light] of Object.values(views)) {
    const camera = cameraOf(views, { turn, tilt });
    assert.ok(Math.abs(camera.height - height) < 1e-9);
    assert.ok(Math.abs(camera.middle[2] - up) < 1e-9);
    assert.ok(Math.abs(camera.light - light) < 0.011);
  }
});

test("a head turns round and round, and tilts no farther than it is drawn", () => {
  assert.equal(turnedBy({ turn: 350, tilt: 0 }, 15, 0).turn, 5);
  assert.equal(turnedBy({ turn: 5, tilt: 0 }, -15, 0).turn, 350);
  assert.equal(turnedBy({ turn: 0, tilt: 80 }, 0, 40).tilt, MOST_TILT);
  assert.equal(turnedBy({ turn: 0, tilt: 0 }, 0, -40).tilt, LEAST_TILT);
});

test("a device draws as much as it has shown that it can", () => {
  const pace = new Pace(1);
  assert.deepEqual(pace.quality(false), { ribbons: LEAST, scale: 1 });
  pace.learn(4000, 0.1); // made itself ready: not counted
  pace.learn(1, 0.1);
  assert.deepEqual(pace.quality(false), { ribbons: MOST, scale: 2 });
  assert.deepEqual(pace.quality(true), { ribbons: 1, scale: 1 });
  const slow = new Pace(1);
  slow.learn(1, 1);
  slow.learn(3 * RESTING_MS, 1);
  assert.deepEqual(slow.quality(false), { ribbons: 0.25, scale: 1 });
  assert.deepEqual(slow.quality(true), { ribbons: LEAST, scale: 1 });
});
