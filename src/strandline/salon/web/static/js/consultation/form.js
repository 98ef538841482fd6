/** Reads answers off the form as they are tapped, and puts answers into it. */

import { inputs } from "./dom.js"

/** @typedef {import("./keeper.js").Value} Value */

/** Tones that the field shows under another's name. @type {Record<string, string>} */
const FAMILY = { icy: "silver", champagne: "beige", neutral: "natural" }

/**
 * Give what one input answers; null where it answers nothing by itself.
 * @param {HTMLInputElement} input
 * @returns {Record<string, Value> | null}
 */
export function read(input) {
  const { name, value } = input
  if (name === "aim") {
    const [tone, stage] = value.split("@")
    return { tone: tone ?? "", stage: Number(stage) }
  }
  if (name.startsWith("own.")) {
    const key = name.slice(4)
    return { [key]: figure(value, Number(input.dataset.scale || 1)) }
  }
  if (input.type === "radio") {
    const figures = Number(value)
    const told = value !== "" && !Number.isNaN(figures) ? figures : value
    return name === "tone" ? { tone: told, stage: null } : { [name]: told }
  }
  return null
}

/**
 * Give a figure in the record's unit, or what was typed where it is none.
 * @param {string} text
 * @param {number} scale
 * @returns {Value}
 */
export function figure(text, scale) {
  const said = text.trim()
  if (!said) return null
  const value = Number(said.replace(",", "."))
  return Number.isNaN(value) ? said : Math.round(value * scale * 1000) / 1000
}

/**
 * Put answers into the form, but for what is being typed.
 * @param {HTMLFormElement} form
 * @param {Record<string, Value>} answers
 */
export function fill(form, answers) {
  const tapped = new Set()
  for (const input of inputs('input[type="radio"]', form)) {
    const value = answers[input.name]
    if (input.name === "aim") {
      const tone = String(answers.tone ?? "")
      input.checked = input.value === `${FAMILY[tone] ?? tone}@${answers.stage ?? ""}`
    } else if (input.name === "tone") {
      input.checked = input.value === value && (answers.stage ?? null) === null
    } else {
      input.checked = value !== undefined && value !== null && input.value === String(value)
    }
    if (input.checked) tapped.add(input.name)
  }
  for (const input of inputs('input[name^="own."]', form)) {
    if (input === document.activeElement) continue
    const key = input.name.slice(4)
    const value = answers[key]
    const own = value !== undefined && value !== null && !tapped.has(key)
    input.value = !own ? "" : typeof value === "number"
      ? String(Math.round((value / Number(input.dataset.scale || 1)) * 100) / 100)
      : String(value)
  }
}

/**
 * Show the fields that are open now, and what follows the front.
 * @param {HTMLFormElement} form
 * @param {Record<string, Value>} answers
 */
export function open(form, answers) {
  for (const field of form.querySelectorAll("fieldset[data-if]")) {
    if (!(field instanceof HTMLElement)) continue
    const wanted = (field.dataset.in || "").split(" ")
    field.hidden = !wanted.includes(String(answers[field.dataset.if || ""] ?? ""))
  }
  for (const field of form.querySelectorAll("fieldset[data-key]")) {
    if (!(field instanceof HTMLElement)) continue
    const follows = field.querySelector(".follows")
    if (!(follows instanceof HTMLElement)) continue
    const key = field.dataset.key || ""
    const own = (answers[key] ?? null) !== null
    follows.hidden = own
    const front = answers[`${key.split(".")[0]}.front`]
    for (const input of inputs('input[type="radio"]', field)) {
      const like = !own && front !== undefined && input.value === String(front)
      input.closest("label")?.classList.toggle("as-front", like)
    }
  }
}

/**
 * Show what is wrong beside its field; it stays until the field is answered rightly.
 * @param {HTMLFormElement} form
 * @param {Record<string, import("./keeper.js").Fault>} faults
 * @param {string[]} sent keys that were answered now: their old faults go
 */
export function tell(form, faults, sent) {
  for (const key of [...sent, ...Object.keys(faults)]) {
    const place = beside(form, key)
    if (!place) continue
    const said = faults[key]
    place.replaceChildren()
    const id = `fault-${key}`
    if (said) {
      const line = document.createElement("p")
      line.className = "fault"
      line.id = id
      line.setAttribute("role", "alert")
      line.textContent = `${said.what} ${said.do}`
      place.append(line)
    }
    for (const input of inputs("input", form)) {
      if (input.name !== `own.${key}`) continue
      input.toggleAttribute("aria-invalid", false)
      if (said) input.setAttribute("aria-invalid", "true")
      if (said) input.setAttribute("aria-describedby", id)
      else input.removeAttribute("aria-describedby")
    }
  }
}

/**
 * @param {HTMLFormElement} form
 * @param {string} key
 * @returns {HTMLElement | null}
 */
function beside(form, key) {
  const field = form.querySelector(`[data-key="${CSS.escape(key)}"] .beside`)
    || form.querySelector(`[data-beside="${CSS.escape(key)}"]`)
    || (key === "tone" || key === "stage" ? form.querySelector('[data-key="aim"] .beside') : null)
    || form.querySelector('[data-beside="bands"]')
  return field instanceof HTMLElement ? field : null
}
