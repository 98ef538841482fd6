/** The drawn head: coloured by what is answered, and a tap on a part opens its chips. */

import { inputs, one } from "./dom.js"

/** @typedef {import("./keeper.js").Value} Value */

const GRAYS = [0, 10, 25, 50, 75, 90, 100]
const AREAS = ["front", "crown", "back"]
const UNKNOWN = "#6e6a66"

/**
 * @param {HTMLFormElement} form
 * @param {Record<string, string>} colours by 'level gray'
 */
export function startHead(form, colours) {
  const map = form.querySelector("#head")
  if (!(map instanceof SVGElement)) throw new Error("The page has no head.")
  const zones = [...map.querySelectorAll("path")]
  const places = one("#places", form)
  const finer = /** @type {HTMLDetailsElement} */ (one("#finer", form))
  places.hidden = false

  /** @param {string} key */
  const show = (key) => {
    for (const field of form.querySelectorAll("fieldset[data-place]")) {
      if (field instanceof HTMLElement) field.hidden = field.dataset.key !== key
    }
    for (const button of places.querySelectorAll("button")) {
      button.setAttribute("aria-pressed", String(button.dataset.open === key))
    }
    for (const zone of zones) {
      zone.classList.toggle("open", `gray.${zone.dataset.area}` === key)
    }
  }
  places.addEventListener("click", (event) => {
    const button = event.target instanceof Element ? event.target.closest("button") : null
    if (button?.dataset.open) show(button.dataset.open)
  })
  map.addEventListener("click", (event) => {
    const zone = event.target
    if (!(zone instanceof SVGElement) || !zone.dataset.area) return
    if (finer.open) {
      const own = inputs(`input[data-zone-of="${zone.dataset.zone}"]`, finer)[0]
      own?.focus()
      own?.select()
    } else {
      show(`gray.${zone.dataset.area}`)
    }
  })
  show("gray.front")

  /** @param {Record<string, Value>} answers */
  return (answers) => {
    /** @param {string} name @param {string} area @returns {number | null} */
    const said = (name, area) => {
      const own = answers[`${name}.${area}`] ?? answers[`${name}.front`]
      return typeof own === "number" ? own : null
    }
    for (const zone of zones) {
      const shares = (zone.dataset.shares || "").split(" ").map(Number)
      const own = answers[`gray.zone-${zone.dataset.zone}`]
      const gray = typeof own === "number" ? own : mean(shares, (area) => said("gray", area))
      const level = mean(shares, (area) => said("level", area))
      const nearest = gray === null ? null : GRAYS.reduce((a, b) =>
        Math.abs(b - gray) < Math.abs(a - gray) ? b : a)
      const key = `${Math.min(10, Math.max(1, Math.round(level ?? 5)))} ${nearest}`
      zone.setAttribute("fill", nearest === null ? UNKNOWN : colours[key] ?? UNKNOWN)
    }
    for (const shows of places.querySelectorAll("[data-shows]")) {
      if (!(shows instanceof HTMLElement)) continue
      const gray = said("gray", (shows.dataset.shows || "").split(".")[1] ?? "")
      shows.textContent = gray === null ? "" : `${Math.round(gray)} %`
    }
  }
}

/**
 * @param {number[]} shares of front, crown and back
 * @param {(area: string) => number | null} value
 * @returns {number | null}
 */
function mean(shares, value) {
  let sum = 0
  for (const [index, area] of AREAS.entries()) {
    const share = shares[index] ?? 0
    if (!share) continue
    const found = value(area)
    if (found === null) return null
    sum += share * found
  }
  return sum
}
