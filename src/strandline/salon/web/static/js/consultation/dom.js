/** Small helpers to find what a page holds. */

/**
 * Give an element that the page has.
 * @param {string} selector
 * @param {ParentNode} [within]
 * @returns {HTMLElement}
 */
export function one(selector, within = document) {
  const found = within.querySelector(selector)
  if (!(found instanceof HTMLElement)) throw new Error(`The page has no ${selector}.`)
  return found
}

/**
 * Give the inputs of some names, or all that match a selector.
 * @param {string} selector
 * @param {ParentNode} [within]
 * @returns {HTMLInputElement[]}
 */
export function inputs(selector, within = document) {
  return [...within.querySelectorAll(selector)].filter((x) => x instanceof HTMLInputElement)
}

/**
 * Read JSON that the page brought along.
 * @param {string} id
 * @returns {any}
 */
export function brought(id) {
  return JSON.parse(one(`#${id}`).textContent || "null")
}

const SVG = "http://www.w3.org/2000/svg"

/**
 * Make an element of a drawing.
 * @param {string} name
 * @param {Record<string, string | number>} said
 * @param {string} [text]
 * @returns {SVGElement}
 */
export function drawn(name, said, text = "") {
  const made = /** @type {SVGElement} */ (document.createElementNS(SVG, name))
  for (const [key, value] of Object.entries(said)) made.setAttribute(key, String(value))
  if (text) made.textContent = text
  return made
}
