// Finds grow-outs on a page, draws their hair, or puts pictures in its place.

import { readStrands } from "./bytes.js";
import { View } from "./view.js";

/**
 * @typedef {{name: string, planned: boolean, grown: string[], line: number[][]}} Figures
 * @typedef {Record<string, string> & {figures: Figures[]}} Words
 */

const STILL = window.matchMedia("(prefers-reduced-motion: reduce)");
const WEEKS_A_SECOND = 2.5;
/** What a browser says instead of a renderer's name until it is asked once more. */
const MASKED = "WebKit WebGL";
/** Renderers that have no graphics card. */
const BY_PROCESSOR = /swiftshader|llvmpipe|softpipe|software|basic render/i;

/**
 * @template {Element} T
 * @param {ParentNode} root
 * @param {string} selector
 * @returns {T}
 */
function one(root, selector) {
  const found = root.querySelector(selector);
  if (!found) throw new Error(`no ${selector}`);
  return /** @type {T} */ (found);
}

/**
 * Say whether hair can be drawn here, and whether the processor alone would draw it.
 * @returns {"fast" | "slow" | "not"}
 */
function drawing() {
  const gl = document.createElement("canvas").getContext("webgl2");
  if (!gl) return "not";
  let name = gl.getParameter(gl.RENDERER);
  const more = name === MASKED ? gl.getExtension("WEBGL_debug_renderer_info") : null;
  if (more) name = gl.getParameter(more.UNMASKED_RENDERER_WEBGL);
  gl.getExtension("WEBGL_lose_context")?.loseContext();
  return BY_PROCESSOR.test(name) ? "slow" : "fast";
}

/**
 * @param {HTMLElement} root
 * @returns {Promise<void>}
 */
async function begin(root) {
  /** @type {Words} */
  const words = JSON.parse(one(root, "[data-words]").textContent ?? "{}");
  const slider = /** @type {HTMLInputElement} */ (one(root, "[data-week]"));
  const stage = /** @type {HTMLElement} */ (one(root, ".grown-stage"));
  const how = drawing();
  if (how === "not") {
    showStills(root);
    followWeek(root, words, slider, null);
    return;
  }
  stage.hidden = false;
  let view;
  try {
    const answer = await fetch(root.dataset.strands ?? "");
    if (!answer.ok) throw new Error(`${answer.status}`);
    view = dressed(root, stage, readStrands(await answer.arrayBuffer()), how === "slow");
  } catch {
    stage.hidden = true;
    showStills(root, words.failed);
    followWeek(root, words, slider, null);
    return;
  }
  followWeek(root, words, slider, view);
  if (!STILL.matches) letGrow(root, words, slider, view);
}

/**
 * @param {HTMLElement} root
 * @param {HTMLElement} stage
 * @param {import("./bytes.js").Told} told
 * @param {boolean} slow
 */
function dressed(root, stage, told, slow) {
  /** @type {HTMLButtonElement[]} */
  const sides = [...stage.querySelectorAll("button[data-view]")].map(
    (side) => /** @type {HTMLButtonElement} */ (side),
  );
  // Pictures stand until all of the hair is drawn, or until she takes the heads in hand.
  const uncover = () => {
    for (const cover of root.querySelectorAll("[data-first], [data-wait]")) cover.remove();
  };
  one(root, "[data-week]").addEventListener("input", uncover);
  one(root, "[data-grow]").addEventListener("click", uncover);
  root.querySelector("[data-kept]")?.addEventListener("change", uncover);
  const view = new View(one(root, "[data-heads]"), one(root, "canvas"), told, {
    slow,
    whole: uncover,
    posed: (name) => {
      uncover();
      for (const side of sides) {
        side.setAttribute("aria-pressed", String(side.dataset.view === name));
      }
    },
  });
  for (const side of sides) {
    side.addEventListener("click", () => view.lookFrom(side.dataset.view ?? "front"));
  }
  const kept = /** @type {HTMLSelectElement | null} */ (root.querySelector("[data-kept]"));
  if (kept) {
    view.showKept(Number(kept.value));
    kept.addEventListener("change", () => view.showKept(Number(kept.value)));
  }
  return view;
}

/**
 * @param {HTMLElement} root
 * @param {Words} words
 * @param {HTMLInputElement} slider
 * @param {View | null} view
 */
function followWeek(root, words, slider, view) {
  one(root, "[data-week-row]").removeAttribute("hidden");
  const follow = () => {
    const week = Number(slider.value);
    view?.showWeek(week);
    say(root, words, week);
    mark(root, week);
  };
  slider.addEventListener("input", follow);
  root.querySelector("[data-kept]")?.addEventListener("change", follow);
  follow();
}

/**
 * @param {HTMLElement} root
 * @param {Words} words
 * @param {number} week
 */
function say(root, words, week) {
  const kept = /** @type {HTMLSelectElement | null} */ (root.querySelector("[data-kept]"));
  const shown = [words.figures[Number(kept?.value ?? 0)], words.figures.find((way) => way.planned)];
  const told = shown.flatMap((way) => {
    if (!way) return [];
    const [low, middle, high] = way.line[week];
    return filled(words.grown, { name: way.name, low, middle, high, grown: way.grown[week] });
  });
  const when = week === 0 ? words.day : filled(words.week, { week });
  one(root, "[data-says]").textContent = `${when}. ${told.join("; ")}.`;
  one(root, "[data-week]").setAttribute("aria-valuetext", when);
}

/**
 * @param {HTMLElement} root
 * @param {number} week
 */
function mark(root, week) {
  for (const chart of root.querySelectorAll("svg.curves")) {
    const { left, right, weeks } = /** @type {SVGElement} */ (chart).dataset;
    const now = one(chart, ".now");
    const x = Number(left) + ((Number(right) - Number(left)) * week) / Number(weeks);
    now.setAttribute("d", (now.getAttribute("d") ?? "").replace(/^M[\d.]+/, `M${x.toFixed(1)}`));
    now.classList.add("there");
  }
}

/**
 * Let the weeks run while the person watches.
 * @param {HTMLElement} root
 * @param {Words} words
 * @param {HTMLInputElement} slider
 * @param {View} view
 */
function letGrow(root, words, slider, view) {
  const button = /** @type {HTMLButtonElement} */ (one(root, "[data-grow]"));
  button.hidden = false;
  let running = 0;
  const stop = () => {
    window.cancelAnimationFrame(running);
    running = 0;
    button.textContent = words.grow;
  };
  button.addEventListener("click", () => {
    if (running) {
      stop();
      return;
    }
    button.textContent = words.stop;
    const last = Number(slider.max);
    const from = Number(slider.value) >= last ? 0 : Number(slider.value);
    const start = performance.now();
    const step = () => {
      const week = Math.min(from + ((performance.now() - start) / 1000) * WEEKS_A_SECOND, last);
      const whole = Math.floor(week);
      if (Number(slider.value) !== whole) {
        slider.value = String(whole);
        say(root, words, whole);
      }
      mark(root, week);
      view.showWeek(week);
      if (week < last) running = window.requestAnimationFrame(step);
      else stop();
    };
    running = window.requestAnimationFrame(step);
  });
  slider.addEventListener("pointerdown", stop);
  slider.addEventListener("keydown", stop);
}

/**
 * @param {HTMLElement} root
 * @param {string} [why]
 */
function showStills(root, why) {
  const template = /** @type {HTMLTemplateElement} */ (one(root, "template[data-stills]"));
  const stills = /** @type {DocumentFragment} */ (template.content.cloneNode(true));
  const said = stills.querySelector("p");
  if (why && said) said.textContent = why;
  template.after(stills);
}

/**
 * @param {string} text
 * @param {Record<string, string | number>} values
 */
function filled(text, values) {
  return text.replace(/\{(\w+)\}/g, (_, name) => String(values[name]));
}

/** @param {ParentNode} within */
function beginAll(within) {
  for (const root of within.querySelectorAll("[data-strands]:not([data-begun])")) {
    /** @type {HTMLElement} */ (root).dataset.begun = "";
    begin(/** @type {HTMLElement} */ (root));
  }
}

beginAll(document);
document.addEventListener("htmx:load", () => beginAll(document));
