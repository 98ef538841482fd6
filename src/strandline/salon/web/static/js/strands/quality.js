// How much hair a device draws in the time there is: learned from what drawing has cost.

/**
 * @typedef {{ribbons: number, scale: number}} Quality ribbons for each strand told, below 1 for a
 *   part of the strands; pixels to a CSS pixel
 */

export const MOVING_MS = 45;
export const RESTING_MS = 1200;
const PATIENCE_MS = 6000;
const PART_MS = 80;
export const LEAST = 1 / 8;
export const LEAST_WHOLE = 1 / 2;
export const MOST = 4;
const MOST_SCALE = 2;

export class Pace {
  /** @param {number} deviceScale pixels to a CSS pixel of the screen */
  constructor(deviceScale) {
    this.restScale = Math.max(Math.min(deviceScale, 3), MOST_SCALE);
    /** Milliseconds for a ribbon of every strand of both heads, where it was learned. */
    this.wholeMs = Infinity;
    this.warm = false;
  }

  /**
   * Give what to draw; before anything was learned, little.
   * @param {boolean} moving
   * @returns {Quality}
   */
  quality(moving) {
    const most = (moving ? MOVING_MS : RESTING_MS) / this.wholeMs;
    // By halves, so that what is drawn does not change with every drawing.
    const ribbons = Math.min(Math.max(2 ** Math.floor(Math.log2(most)), LEAST), MOST);
    const fine = !moving && ribbons === MOST;
    return { ribbons: moving ? Math.min(ribbons, 1) : ribbons, scale: fine ? this.restScale : 1 };
  }

  /**
   * Give how many ribbons for each strand to draw part by part, and how many in a part: never so
   * few, however long it takes, that they look like tape.
   */
  inParts() {
    const most = 2 ** Math.floor(Math.log2(PATIENCE_MS / this.wholeMs));
    const part = (2 * PART_MS) / this.wholeMs; // of one of two heads
    return { ribbons: Math.min(Math.max(most, LEAST_WHOLE), MOST), part: Math.min(part, 1) };
  }

  /**
   * Learn from a drawing; not from the first, for which the device made itself ready.
   * @param {number} ms
   * @param {number} ribbons that were drawn for each strand told
   */
  learn(ms, ribbons) {
    if (!this.warm) {
      this.warm = true;
      return;
    }
    const whole = ms / ribbons;
    this.wholeMs = Number.isFinite(this.wholeMs) ? 0.6 * this.wholeMs + 0.4 * whole : whole;
  }
}
