/** The consultation's page: taps become answers, answers are kept, the plan follows. */

import { brought, inputs, one } from "./dom.js"
import { fill, open, read, tell } from "./form.js"
import { startHead } from "./head.js"
import { Keeper } from "./keeper.js"
import { startRunning } from "./running.js"
import { startStrand } from "./strand.js"

/** @typedef {import("./keeper.js").State} State */
/** @typedef {import("./keeper.js").Value} Value */

const form = /** @type {HTMLFormElement} */ (one("#asked"))
const client = form.dataset.client || ""
const words = /** @type {Record<string, string>} */ (brought("words"))
const colours = brought("colours")
const calm = matchMedia("(prefers-reduced-motion: reduce)")

const paintHead = startHead(form, colours.grays)
const drawStrand = startStrand(form, colours, words, (bands) => put({ bands }))
const follow = startRunning(client, words)

const keeper = new Keeper(client, brought("state"), {
  status(word, trouble = false) {
    const saved = one("#saved")
    saved.textContent = words[word] ?? ""
    saved.classList.toggle("trouble", trouble)
  },
  state(now, faults, sent) {
    const before = new Set(answered())
    mark(now)
    tell(form, faults, sent)
    show()
    follow()
    const first = now.answered.find((name) => !before.has(name))
    if (first && sent.length && !Object.keys(faults).length) goOn(first, now)
  },
  others(now, pending) {
    mark(now)
    fill(form, { ...now.answers, ...pending })
    show()
    follow()
  },
  conflict(error, now, planned) {
    askWhich(error, now, planned)
  },
})

/** @param {Record<string, Value>} changes */
function put(changes) {
  keeper.put(changes)
  show()
}

/** Paint all that follows from the answers here, taken or not. */
function show() {
  const answers = keeper.answers
  open(form, answers)
  paintHead(answers)
  const bands = Array.isArray(answers.bands) ? answers.bands : keeper.state.strand
  drawStrand(bands, keeper.state.end_cm, answers)
}

/** @returns {string[]} */
function answered() {
  return [...form.querySelectorAll("[data-answered]")].map((one) =>
    one instanceof HTMLElement ? one.dataset.question || "" : "")
}

/** @param {State} now */
function mark(now) {
  for (const question of form.querySelectorAll(".question")) {
    if (!(question instanceof HTMLElement)) continue
    const done = now.answered.includes(question.dataset.question || "")
    question.toggleAttribute("data-answered", done)
    one(".back-off", question).hidden = !done
  }
  for (const [name, value] of [["stream", now.stream], ["version", String(now.version)]]) {
    for (const input of inputs(`input[name="${name}"]`, form)) input.value = value ?? ""
  }
}

/**
 * Bring the next open question into view once one is answered with nothing more to say to it.
 * @param {string} name
 * @param {State} now
 */
function goOn(name, now) {
  const question = one(`#q-${name}`)
  const fields = [...question.querySelectorAll("fieldset.asked")].filter((field) =>
    field instanceof HTMLElement && !field.hidden && field.offsetParent)
  if (fields.length > 1) return
  const questions = [...form.querySelectorAll(".question")]
  const next = questions.slice(questions.indexOf(question) + 1).find((one) =>
    one instanceof HTMLElement && !now.answered.includes(one.dataset.question || ""))
  if (!next || next.getBoundingClientRect().bottom < innerHeight * 0.8) return
  next.scrollIntoView({ behavior: calm.matches ? "auto" : "smooth", block: "start" })
}

/**
 * Ask which answers stand where another window answered the same.
 * @param {{ what: string, do: string }} error
 * @param {State} now
 * @param {boolean} planned
 */
function askWhich(error, now, planned) {
  const place = one("#conflict")
  const what = document.createElement("b")
  what.textContent = planned ? words.planned ?? "" : words.stale ?? ""
  const say = document.createElement("span")
  say.textContent = planned ? "" : error.what
  const ways = document.createElement("p")
  ways.className = "row"
  for (const [word, mine] of /** @type {const} */ ([
    [planned ? "again" : "mine", true], [planned ? "leave" : "theirs", false],
  ])) {
    const button = document.createElement("button")
    button.type = "button"
    button.className = "way"
    button.textContent = words[word] ?? ""
    button.addEventListener("click", () => {
      place.hidden = true
      if (planned && !mine) {
        keeper.pending = {}
        location.assign(`/clients/${client}`)
      }
      keeper.settle(now, mine)
      if (!mine) fill(form, now.answers)
      mark(now)
      show()
      if (!mine) {
        one("#saved").textContent = words.saved ?? ""
        follow()
      }
    })
    ways.append(button)
  }
  place.replaceChildren(what, say, ways)
  place.hidden = false
  place.scrollIntoView({ block: "nearest" })
}

form.addEventListener("change", (event) => {
  const input = event.target
  if (!(input instanceof HTMLInputElement)) return
  if (input.closest("#bands") || input.id === "drawn") return
  const said = read(input)
  if (!said) return
  put(said)
  fill(form, keeper.answers)
})
form.addEventListener("click", (event) => {
  const button = event.target instanceof Element ? event.target.closest("[data-undo]") : null
  if (!(button instanceof HTMLElement)) return
  const question = one(`#q-${button.dataset.undo}`)
  /** @type {Record<string, Value>} */
  const gone = {}
  for (const field of question.querySelectorAll("[data-key]")) {
    const key = field instanceof HTMLElement ? field.dataset.key || "" : ""
    if (key === "aim") Object.assign(gone, { tone: null, stage: null })
    else gone[key] = null
  }
  for (const own of inputs("[data-zone-of]", question)) gone[own.name.slice(4)] = null
  if (question.querySelector("#drawn")) gone.bands = null
  put(gone)
  fill(form, keeper.answers)
})
form.addEventListener("submit", (event) => {
  const typed = document.activeElement
  if (typed instanceof HTMLInputElement) typed.blur()
  if (!keeper.waiting) return
  event.preventDefault()
  const way = event.submitter
  void keeper.send().then((done) => {
    // A form that is sent from within its own event is not sent.
    if (done) setTimeout(() => form.requestSubmit(way))
  })
})
window.addEventListener("online", () => void keeper.send())
window.addEventListener("pageshow", (event) => { if (event.persisted) void keeper.look() })
document.addEventListener("visibilitychange", () => {
  if (document.visibilityState === "visible") void keeper.look()
})

document.documentElement.classList.add("scripted")
mark(keeper.state)
if (keeper.takeUp()) fill(form, keeper.answers)
show()
follow()
