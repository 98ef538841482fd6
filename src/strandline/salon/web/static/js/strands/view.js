// Two heads side by side on one canvas: turned together, in the same week.

import { cameraOf, turnedBy } from "./camera.js";
import { Pace } from "./quality.js";
import { Scene } from "./scene.js";

/**
 * @typedef {import("./bytes.js").Told} Told
 * @typedef {import("./camera.js").Pose} Pose
 */

const KEY_TURN = 15;
const KEY_TILT = 10;
const DRAG_DEGREES = 0.5;
const REST_MS = 180;

/** @type {Record<string, [number, number]>} */
const KEYS = {
  ArrowLeft: [-KEY_TURN, 0],
  ArrowRight: [KEY_TURN, 0],
  ArrowUp: [0, KEY_TILT],
  ArrowDown: [0, -KEY_TILT],
};

export class View {
  /**
   * @param {HTMLElement} holder what is dragged and has the keys
   * @param {HTMLCanvasElement} canvas
   * @param {Told} told
   * @param {{slow: boolean, posed: (name: string | null) => void}} how slow: drawn by the processor
   *   alone; posed: told which of the named sides is seen, if any
   */
  constructor(holder, canvas, told, how) {
    this.holder = holder;
    this.canvas = canvas;
    this.told = told;
    this.posed = how.posed;
    this.scene = new Scene(canvas, told, { antialias: !how.slow });
    this.pace = new Pace(how.slow ? 1 : window.devicePixelRatio);
    this.planned = Math.max(told.head.ways.findIndex((way) => way.planned), 0);
    this.kept = 0;
    this.week = 0;
    this.frame = 0;
    this.rest = 0;
    const [turn, tilt] = told.head.views.front;
    /** @type {Pose} */
    this.pose = { turn, tilt };
    holder.addEventListener("keydown", (event) => this.key(event));
    holder.addEventListener("pointerdown", (event) => this.hold(event));
    new ResizeObserver(() => this.ask()).observe(holder);
    canvas.addEventListener("webglcontextrestored", () => window.location.reload());
  }

  /** @param {number} week it may lie between two weeks */
  showWeek(week) {
    this.week = Math.min(Math.max(week, 0), this.told.head.weeks.length - 1);
    this.ask();
  }

  /** @param {number} way place among those told */
  showKept(way) {
    this.kept = way;
    this.ask();
  }

  /** @param {string} name of a side */
  lookFrom(name) {
    const [turn, tilt] = this.told.head.views[name];
    this.pose = { turn, tilt };
    this.posed(name);
    this.ask();
  }

  /**
   * @param {number} turn degrees
   * @param {number} tilt
   */
  turn(turn, tilt) {
    this.pose = turnedBy(this.pose, turn, tilt);
    this.posed(null);
    this.ask();
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.key === "Home") this.lookFrom("front");
    else if (event.key in KEYS) this.turn(...KEYS[event.key]);
    else return;
    event.preventDefault();
  }

  /** @param {PointerEvent} event */
  hold(event) {
    if (event.button !== 0) return;
    const { holder } = this;
    let { clientX: x, clientY: y } = event;
    holder.setPointerCapture(event.pointerId);
    holder.classList.add("held");
    const move = (/** @type {PointerEvent} */ to) => {
      this.turn(-(to.clientX - x) * DRAG_DEGREES, (to.clientY - y) * DRAG_DEGREES);
      ({ clientX: x, clientY: y } = to);
    };
    const end = () => {
      holder.classList.remove("held");
      holder.removeEventListener("pointermove", move);
      for (const name of ["pointerup", "pointercancel"]) holder.removeEventListener(name, end);
    };
    holder.addEventListener("pointermove", move);
    for (const name of ["pointerup", "pointercancel"]) holder.addEventListener(name, end);
  }

  /** Draw with the next frame: little while it moves, all of it once it rests. */
  ask() {
    window.clearTimeout(this.rest);
    this.rest = window.setTimeout(() => this.draw(false), REST_MS);
    if (!this.frame) {
      this.frame = window.requestAnimationFrame(() => {
        this.frame = 0;
        this.draw(true);
      });
    }
  }

  /** @param {boolean} moving */
  draw(moving) {
    const { holder, pace } = this;
    if (!pace.warm) this.drawOnce(pace.quality(true));
    this.drawOnce(pace.quality(moving));
    holder.dataset.drawn = moving ? "moving" : "rest";
  }

  /** @param {import("./quality.js").Quality} quality */
  drawOnce({ share, scale }) {
    const { canvas, holder, pace, scene } = this;
    const width = Math.round(holder.clientWidth * scale);
    const height = Math.round(holder.clientHeight * scale);
    if (width < 2 || height < 1) return;
    if (canvas.width !== width || canvas.height !== height) {
      canvas.width = width;
      canvas.height = height;
    }
    const start = performance.now();
    const camera = cameraOf(this.told.head.views, this.pose);
    const half = Math.floor(width / 2);
    scene.clear();
    let lines = 0;
    for (const [x, way] of [
      [0, this.kept],
      [half, this.planned],
    ]) {
      lines += scene.draw({ x, y: 0, width: half, height }, camera, way, this.week, share);
    }
    scene.finish();
    pace.learn(performance.now() - start, (share * lines) / 2);
  }
}
