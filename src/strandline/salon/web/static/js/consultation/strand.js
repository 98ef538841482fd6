/** The drawn strand: bands in their computed colours, their edges dragged or written. */

import { drawn, inputs, one } from "./dom.js"
import { figure } from "./form.js"

/** @typedef {import("./keeper.js").Band} Band */
/** @typedef {import("./keeper.js").Value} Value */

const WIDE = 320
const HIGH = 40
const TOP = 4
const STEP_CM = 0.5
const REACH = 14

/**
 * @param {HTMLFormElement} form
 * @param {{ bands: Record<string, string>, grays: Record<string, string> }} colours
 * @param {Record<string, string>} words
 * @param {(bands: Partial<Band>[] | null) => void} changed
 */
export function startStrand(form, colours, words, changed) {
  const sheet = form.querySelector("#strand")
  if (!(sheet instanceof SVGElement)) throw new Error("The page has no strand.")
  const rows = one("#bands", form)
  const tick = /** @type {HTMLInputElement} */ (one("#drawn", form))
  const more = /** @type {HTMLDetailsElement} */ (one("#drawn-more", form))
  const scale = Number(rows.dataset.scale || 1)
  sheet.toggleAttribute("hidden", false)
  let end = 30
  let root = "#493a2f"

  /** @returns {Partial<Band>[]} */
  const read = () => [...rows.querySelectorAll(".band")].flatMap((row) => {
    const past = row.querySelector("select")?.value || ""
    if (!past) return []
    /** @type {Record<string, Value>} */
    const band = { past }
    for (const input of inputs("input", row)) {
      const name = input.name.split(".")[2] ?? ""
      const value = figure(input.value, name.endsWith("_cm") ? scale : 1)
      if (value !== null && !input.closest("label")?.hidden) band[name] = value
    }
    return "from_cm" in band || "to_cm" in band ? [/** @type {Partial<Band>} */ (band)] : []
  })

  const fields = () => {
    for (const row of rows.querySelectorAll(".band")) {
      const past = row.querySelector("select")?.value || ""
      const wanted = {
        from_cm: !!past, to_cm: !!past, share: !!past, depth: ["permanent", "direct"].includes(past),
        years: past === "permanent", stage: past === "lightened", times: past === "lightened",
      }
      for (const label of row.querySelectorAll("label[data-of]")) {
        if (label instanceof HTMLElement) {
          label.hidden = !wanted[/** @type {keyof typeof wanted} */ (label.dataset.of)]
        }
      }
    }
  }

  /** @param {Partial<Band>[]} bands */
  const draw = (bands) => {
    const at = (/** @type {number} */ cm) => Math.min(WIDE, (WIDE * cm) / end)
    const parts = [drawn("rect", { x: 0, y: 0, width: WIDE, height: HIGH + 2 * TOP, fill: "#808080" })]
    parts.push(drawn("rect", { x: 0, y: TOP, width: WIDE, height: HIGH, fill: root }))
    const filled = new Map()
    for (const [index, band] of bands.entries()) {
      const { from_cm: from = 0, to_cm: to = end } = band
      const key = [band.past, band.past === "lightened" ? band.stage : band.depth]
      const colour = colours.bands[key.join(" ")] ?? colours.bands[String(band.past)] ?? root
      const before = filled.get(`${from}`) ?? 0
      const share = (band.share ?? 100) / 100
      filled.set(`${from}`, before + share)
      parts.push(drawn("rect", {
        x: at(from), y: TOP + before * HIGH, width: Math.max(0, at(to) - at(from)),
        height: share * HIGH, fill: colour, "data-band": index,
      }))
    }
    for (const [index, band] of bands.entries()) {
      for (const side of /** @type {const} */ (["from_cm", "to_cm"])) {
        const cm = band[side]
        if (typeof cm !== "number" || cm >= end) continue
        parts.push(drawn("rect", {
          class: "edge", x: at(cm) - 1.5, y: 0, width: 3, height: HIGH + 2 * TOP,
          "data-edge": side, "data-band": index,
        }))
      }
    }
    const centimetres = (/** @type {number} */ cm) => String(Math.round((cm / scale) * 10) / 10)
    parts.push(drawn("text", { x: 2, y: 61 }, words.scalp))
    parts.push(drawn("text", { x: WIDE - 2, y: 61, "text-anchor": "end" },
      `${words.ends} ${centimetres(end)}`))
    sheet.replaceChildren(...parts)
  }

  const tell = () => {
    tick.checked = true
    const bands = read()
    draw(bands)
    changed(bands)
  }
  rows.addEventListener("change", () => { fields(); tell() })
  tick.addEventListener("change", () => (tick.checked ? tell() : changed(null)))
  drag(sheet, rows, () => end, scale, () => { tick.checked = true; draw(read()) }, tell, more)

  /**
   * @param {Partial<Band>[]} bands
   * @param {number} length
   * @param {Record<string, Value>} answers
   */
  return (bands, length, answers) => {
    end = length
    const gray = Number(answers["gray.front"] ?? 0)
    const nearest = [0, 10, 25, 50, 75, 90, 100].reduce((a, b) =>
      Math.abs(b - gray) < Math.abs(a - gray) ? b : a)
    root = colours.grays[`${Math.round(Number(answers["level.front"] ?? 5))} ${nearest}`] ?? root
    tick.checked = Array.isArray(answers.bands)
    if (!rows.contains(document.activeElement)) fill(rows, bands, scale)
    fields()
    draw(bands)
  }
}

/**
 * Write bands into the rows.
 * @param {HTMLElement} rows
 * @param {Partial<Band>[]} bands
 * @param {number} scale
 */
function fill(rows, bands, scale) {
  for (const [index, row] of [...rows.querySelectorAll(".band")].entries()) {
    /** @type {Record<string, any>} */
    const band = bands[index] ?? {}
    const past = row.querySelector("select")
    if (past) past.value = band.past ?? ""
    for (const input of inputs("input", row)) {
      const name = input.name.split(".")[2] ?? ""
      const value = band[name]
      const own = typeof value === "number"
      input.value = own ? String(Math.round((value / (name.endsWith("_cm") ? scale : 1)) * 100) / 100) : ""
    }
  }
}

/**
 * Let a finger take the edge nearest to it and draw it along.
 * @param {SVGElement} sheet
 * @param {HTMLElement} rows
 * @param {() => number} end
 * @param {number} scale
 * @param {() => void} moving
 * @param {() => void} moved
 * @param {HTMLDetailsElement} more
 */
function drag(sheet, rows, end, scale, moving, moved, more) {
  /** @type {{ band: number, side: string }[]} */
  let held = []
  const cm = (/** @type {PointerEvent} */ event) => {
    const box = sheet.getBoundingClientRect()
    const raw = (end() * (event.clientX - box.left)) / box.width
    return Math.min(end(), Math.max(0, Math.round(raw / STEP_CM) * STEP_CM))
  }
  /** @param {number} value */
  const write = (value) => {
    for (const { band, side } of held) {
      const row = rows.querySelectorAll(".band")[band]
      const input = row && inputs(`input[name$=".${side}"]`, row)[0]
      if (input) input.value = String(Math.round((value / scale) * 100) / 100)
    }
  }
  sheet.addEventListener("pointerdown", (event) => {
    const wide = sheet.getBoundingClientRect().width / WIDE
    const edges = [...sheet.querySelectorAll(".edge")].map((edge) => ({
      away: Math.abs(edge.getBoundingClientRect().left + 1.5 * wide - event.clientX),
      band: Number(edge.getAttribute("data-band")),
      side: edge.getAttribute("data-edge") || "",
    })).sort((a, b) => a.away - b.away)
    const nearest = edges[0]
    if (!nearest || nearest.away > REACH + 8) return
    held = edges.filter((edge) => Math.abs(edge.away - nearest.away) < 1)
    more.open = true
    sheet.setPointerCapture(event.pointerId)
    event.preventDefault()
  })
  sheet.addEventListener("pointermove", (event) => {
    if (!held.length) return
    write(cm(event))
    moving()
  })
  for (const name of /** @type {const} */ (["pointerup", "pointercancel"])) {
    sheet.addEventListener(name, () => {
      if (!held.length) return
      held = []
      moved()
    })
  }
}
