// Elements made and changed with no more work than a change needs, so that focus stays.

/** @typedef {Node | string | null | false | undefined} Child */

/**
 * Make an element.
 * @param {string} tag
 * @param {{[name: string]: any}} [said] attributes; `on` a map of listeners, `text` its words
 * @param {...Child} children
 */
export function made(tag, said = {}, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(said)) {
    if (name === "on") {
      for (const [kind, run] of Object.entries(value)) element.addEventListener(kind, run);
    } else if (name === "text") element.textContent = value;
    else if (value === true) element.setAttribute(name, "");
    else if (value !== false && value != null) element.setAttribute(name, String(value));
  }
  for (const child of children) if (child) element.append(child);
  return element;
}

/** @type {WeakMap<Element, string>} */
const shownAs = new WeakMap();

/**
 * Fill a place anew, only where what it shows has changed; focus inside stays by its `data-key`.
 * @param {Element} place
 * @param {unknown} what all that its look depends on
 * @param {() => Child[]} build
 */
export function fill(place, what, build) {
  const mark = JSON.stringify(what);
  if (shownAs.get(place) === mark) return;
  shownAs.set(place, mark);
  const focused = document.activeElement;
  const key = focused && place.contains(focused) ? focused.getAttribute("data-key") : null;
  place.replaceChildren(...build().flatMap((child) => child || []));
  if (key) /** @type {HTMLElement | null} */ (place.querySelector(`[data-key="${key}"]`))?.focus();
}

/**
 * Change a text only where it differs, so that nothing is read out twice.
 * @param {Element | null} element
 * @param {string} text
 */
export function say(element, text) {
  if (element && element.textContent !== text) element.textContent = text;
}

/**
 * Find an element of the page that must be there.
 * @param {string} selector
 * @returns {HTMLElement}
 */
export function find(selector) {
  const found = document.querySelector(selector);
  if (!(found instanceof HTMLElement)) throw new Error(`The page has no ${selector}.`);
  return found;
}

/**
 * @param {string} selector
 * @returns {HTMLDialogElement}
 */
export function dialog(selector) {
  return /** @type {HTMLDialogElement} */ (find(selector));
}

/** A square of a computed colour; hair colours are fills, which a strict policy lets through.
 * @param {string} colour */
export function swatch(colour) {
  const space = "http://www.w3.org/2000/svg";
  const drawing = document.createElementNS(space, "svg");
  drawing.setAttribute("viewBox", "0 0 10 10");
  drawing.setAttribute("preserveAspectRatio", "none");
  drawing.setAttribute("aria-hidden", "true");
  const square = document.createElementNS(space, "rect");
  square.setAttribute("width", "10");
  square.setAttribute("height", "10");
  square.setAttribute("fill", colour);
  drawing.append(square);
  return drawing;
}
