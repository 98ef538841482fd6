/** The plan as it stands: streamed from the server, better with each event, stopped at will. */

import { one } from "./dom.js"

/**
 * @param {string} client
 * @param {Record<string, string>} words
 */
export function startRunning(client, words) {
  const line = one("#run-line")
  const figures = one("#run-figures")
  const said = one("#run-said")
  const stop = one("#run-stop")
  const more = /** @type {HTMLDetailsElement} */ (one("#run-more"))
  /** @type {EventSource | null} */
  let source = null
  const wide = matchMedia("(min-width: 60rem)")
  const unfold = () => { if (wide.matches) more.open = true }
  wide.addEventListener("change", unfold)
  unfold()

  const close = () => {
    source?.close()
    source = null
    stop.hidden = true
    line.removeAttribute("aria-busy")
  }
  stop.addEventListener("click", () => {
    close()
    said.textContent = words.stopped ?? ""
  })

  /** @param {MessageEvent} event */
  const put = (event) => {
    const part = JSON.parse(event.data)
    line.innerHTML = part.line
    const open = figures.querySelector("details")?.open
    figures.innerHTML = part.figures
    const inner = figures.querySelector("details")
    if (inner && open) inner.open = true
  }

  return () => {
    close()
    const mine = new EventSource(`/api/clients/${client}/consultation/outlook`)
    source = mine
    line.setAttribute("aria-busy", "true")
    mine.addEventListener("running", (event) => {
      put(event)
      stop.hidden = false
      said.textContent = words.computing ?? ""
    })
    mine.addEventListener("lacking", (event) => {
      put(/** @type {MessageEvent} */ (event))
      said.textContent = ""
      line.removeAttribute("aria-busy")
    })
    mine.addEventListener("rest", () => { if (source === mine) close() })
    for (const last of ["whole", "cannot"]) {
      mine.addEventListener(last, (event) => {
        put(/** @type {MessageEvent} */ (event))
        if (source === mine) close()
        said.textContent = ""
      })
    }
    mine.addEventListener("error", () => {
      if (source !== mine) return
      close()
      said.textContent = words.unreached ?? ""
    })
  }
}
