// Strands as the server tells them: whole numbers behind a JSON head, as `packing.py` writes them.

/**
 * @typedef {{name: string, planned: boolean, starts_cm: number[], grown: boolean[], ages: number[]}} WayHead
 * @typedef {{type: string, shape: number[], coding: string, offset: number, bytes: number}} Coded
 * @typedef {{
 *   format: string, version: number, strands: number, places: number, none: number,
 *   steps: Record<string, number>, rate: number, weeks: number[], ways: WayHead[],
 *   views: Record<string, number[]>, light: Record<string, number>, arrays: Record<string, Coded>,
 * }} Head
 * @typedef {Int8Array | Uint8Array | Int16Array | Uint16Array} Whole
 * @typedef {{head: Head, arrays: Record<string, Whole>}} Told
 */

const FORMAT = "strandline strands";
const VERSION = 4;

/** @type {Record<string, (buffer: ArrayBuffer, offset: number, count: number) => Whole>} */
const READERS = {
  "|i1": (buffer, offset, count) => new Int8Array(buffer, offset, count),
  "|u1": (buffer, offset, count) => new Uint8Array(buffer, offset, count),
  "<i2": (buffer, offset, count) => new Int16Array(buffer, offset, count),
  "<u2": (buffer, offset, count) => new Uint16Array(buffer, offset, count),
};

/**
 * Read strands.
 * @param {ArrayBuffer} buffer
 * @returns {Told}
 * @throws {RangeError} bytes that are no strands, or of another version
 */
export function readStrands(buffer) {
  const size = new DataView(buffer).getUint32(0, true);
  const text = new TextDecoder().decode(new Uint8Array(buffer, 4, size));
  /** @type {Head} */
  const head = JSON.parse(text);
  if (head.format !== FORMAT || head.version !== VERSION) {
    throw new RangeError(`not ${FORMAT} ${VERSION}`);
  }
  /** @type {Record<string, Whole>} */
  const arrays = {};
  for (const [name, one] of Object.entries(head.arrays)) {
    const count = one.shape.reduce((product, side) => product * side, 1);
    const start = 4 + size + one.offset;
    arrays[name] =
      one.coding === "bend"
        ? unbent(new Uint8Array(buffer, start, 2 * count), one.shape[one.shape.length - 1])
        : READERS[one.type](buffer, start, count);
  }
  return { head, arrays };
}

/**
 * Undo second differences along rows of one length, folded, all low bytes first.
 * @param {Uint8Array} bytes
 * @param {number} row
 * @returns {Int16Array}
 */
export function unbent(bytes, row) {
  const count = bytes.length / 2;
  const out = new Int16Array(count);
  let step = 0;
  let value = 0;
  for (let i = 0; i < count; i += 1) {
    if (i % row === 0) {
      step = 0;
      value = 0;
    }
    const folded = bytes[i] | (bytes[count + i] << 8);
    step += (folded >> 1) ^ -(folded & 1);
    value += step;
    out[i] = value;
  }
  return out;
}

/**
 * Give an array in its own unit; what is written as 'none' of shedding and tips is infinite.
 * @param {Told} told
 * @param {string} name
 * @returns {Float32Array}
 */
export function inUnits(told, name) {
  const whole = told.arrays[name];
  const step = told.head.steps[name];
  const endless = name === "shed" || name === "tip";
  const out = new Float32Array(whole.length);
  for (let i = 0; i < whole.length; i += 1) {
    out[i] = endless && whole[i] === told.head.none ? 1e6 : whole[i] * step;
  }
  return out;
}
