// How much hair a device draws in the time there is: learned from what drawing has cost.

/**
 * @typedef {{share: number, scale: number}} Quality share of the strands, pixels to a CSS pixel
 */

export const MOVING_MS = 45;
export const RESTING_MS = 1200;
const LEAST_SHARE = 0.12;
const MOST_SCALE = 2;

export class Pace {
  /** @param {number} deviceScale pixels to a CSS pixel of the screen */
  constructor(deviceScale) {
    this.restScale = Math.max(Math.min(deviceScale, 3), MOST_SCALE);
    /** Milliseconds for all strands of both heads drawn as one line each, where it was learned. */
    this.wholeMs = Infinity;
    this.warm = false;
  }

  /**
   * Give what to draw; before anything was learned, little.
   * @param {boolean} moving
   * @returns {Quality}
   */
  quality(moving) {
    if (!Number.isFinite(this.wholeMs)) return { share: LEAST_SHARE, scale: 1 };
    if (moving) {
      return { share: within((0.8 * MOVING_MS) / this.wholeMs), scale: 1 };
    }
    // At rest finer pixels draw up to three lines a strand.
    const fine = RESTING_MS / (3 * this.wholeMs);
    if (fine >= 1) return { share: 1, scale: this.restScale };
    return { share: within(RESTING_MS / this.wholeMs), scale: 1 };
  }

  /**
   * Learn from a drawing; not from the first, for which the device made itself ready.
   * @param {number} ms
   * @param {number} share of the strands, times the lines that each was drawn in
   */
  learn(ms, share) {
    if (!this.warm) {
      this.warm = true;
      return;
    }
    const whole = ms / share;
    this.wholeMs = Number.isFinite(this.wholeMs) ? 0.6 * this.wholeMs + 0.4 * whole : whole;
  }
}

/** @param {number} share */
function within(share) {
  return Math.min(Math.max(share, LEAST_SHARE), 1);
}
