// Two heads side by side on one canvas: turned together, in the same week.

import { cameraOf, turnedBy } from "./camera.js";
import { Pace } from "./quality.js";
import { FINER, Scene } from "./scene.js";

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
   * @param {{slow: boolean, posed: (name: string | null) => void, whole: () => void}} how slow:
   *   drawn by the processor alone; posed: told which of the named sides is seen, if any; whole:
   *   told whenever all of the hair is drawn
   */
  constructor(holder, canvas, told, how) {
    this.holder = holder;
    this.canvas = canvas;
    this.told = told;
    this.posed = how.posed;
    this.whole = how.whole;
    this.scene = new Scene(canvas, told, { antialias: !how.slow });
    this.pace = new Pace(window.devicePixelRatio);
    this.planned = Math.max(told.head.ways.findIndex((way) => way.planned), 0);
    this.kept = 0;
    this.week = 0;
    this.frame = 0;
    this.rest = 0;
    this.slow = how.slow;
    /** @type {Generator | null} what is being drawn part by part */
    this.finer = null;
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
    this.finer = null;
    window.clearTimeout(this.rest);
    this.rest = window.setTimeout(() => this.drawAtRest(), REST_MS);
    if (!this.frame) {
      this.frame = window.requestAnimationFrame(() => {
        this.frame = 0;
        if (!this.pace.warm) this.draw(this.pace.quality(true));
        this.draw(this.pace.quality(true));
        this.holder.dataset.drawn = "moving";
      });
    }
  }

  drawAtRest() {
    const quality = this.pace.quality(false);
    if (!this.slow || quality.ribbons >= 1) {
      this.draw({ ...quality, ribbons: Math.max(quality.ribbons, 1) });
      this.rested();
      return;
    }
    const finer = this.drawFiner();
    this.finer = finer;
    const go = () => {
      if (this.finer !== finer) finer.return();
      else if (finer.next().done) this.rested();
      else window.requestAnimationFrame(go);
    };
    window.requestAnimationFrame(go);
  }

  rested() {
    this.holder.dataset.drawn = "rest";
    this.whole();
  }

  /** @param {import("./quality.js").Quality} quality */
  draw({ ribbons, scale }) {
    const { pace, scene } = this;
    if (!this.fit(scale)) return;
    const start = performance.now();
    scene.clear();
    let drawn = 0;
    for (const { box, way } of this.heads()) {
      drawn += scene.draw(box, this.camera(), way, this.week, ribbons);
    }
    scene.finish();
    pace.learn(performance.now() - start, drawn / 2);
    this.holder.dataset.ribbons = String(ribbons);
  }

  /**
   * Draw finely beside the canvas, a part a frame, and show it when it is whole.
   * @returns {Generator<void, void, void>}
   */
  *drawFiner() {
    const { pace, scene } = this;
    const { ribbons, part } = pace.inParts();
    const aside = scene.aside();
    try {
      scene.drawOn(aside);
      scene.clear();
      for (const { box, way } of this.heads(FINER)) {
        const most = part * this.told.head.strands;
        const parts = scene.parts(box, this.camera(), way, this.week, ribbons, most);
        for (let done = false; !done; ) {
          scene.drawOn(aside);
          done = parts.next().done === true;
          scene.finish();
          scene.drawOn(null);
          yield;
        }
      }
      scene.show(aside);
      this.holder.dataset.ribbons = String(ribbons);
    } finally {
      scene.letGo(aside);
    }
  }

  camera() {
    return cameraOf(this.told.head.views, this.pose);
  }

  /** @param {number} finer pixels to one of the canvas */
  heads(finer = 1) {
    const [width, height] = [finer * this.canvas.width, finer * this.canvas.height];
    const half = Math.floor(width / 2);
    return [
      { box: { x: 0, y: 0, width: half, height }, way: this.kept },
      { box: { x: half, y: 0, width: half, height }, way: this.planned },
    ];
  }

  /**
   * Fit the canvas to its place on the page; say whether there is one.
   * @param {number} scale
   */
  fit(scale) {
    const { canvas, holder } = this;
    const width = Math.round(holder.clientWidth * scale);
    const height = Math.round(holder.clientHeight * scale);
    if (width < 2 || height < 1) return false;
    if (canvas.width !== width || canvas.height !== height) {
      canvas.width = width;
      canvas.height = height;
    }
    return true;
  }
}
