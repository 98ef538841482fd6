/**
 * Keeps answers: on this device at once, in the record as soon as the server takes them.
 *
 * What was answered and not acknowledged stays in the browser's own storage, so that a reload or a
 * server that stopped loses nothing. Saves go one at a time, each with the version it was made on.
 *
 * @typedef {{ past: string, from_cm: number, to_cm: number, depth: number | null,
 *   stage: number | null, share: number, years: number, times: number }} Band
 * @typedef {string | number | null | Partial<Band>[]} Value
 * @typedef {{ stream: string, version: number, answers: Record<string, Value>,
 *   answered: string[], stands: boolean, strand: Band[], end_cm: number }} State
 * @typedef {{ what: string, do: string }} Fault
 * @typedef {{ status: (word: string, trouble?: boolean) => void,
 *   state: (now: State, faults: Record<string, Fault>, sent: string[]) => void,
 *   others: (now: State, pending: Record<string, Value>) => void,
 *   conflict: (error: Fault, now: State, planned: boolean) => void }} Told
 */

const LONGEST_WAIT_MS = 8000

export class Keeper {
  /** Answered and not taken yet. @type {Record<string, Value>} */ pending = {}
  /** Answered so that it cannot be kept: it stays where it was typed. @type {Record<string, Value>} */
  wrong = {}
  /** @type {ReturnType<typeof setTimeout> | undefined} */ #again
  /** @type {Promise<boolean> | null} */ #flight = null
  #held = false
  #wait = 500

  /**
   * @param {string} client
   * @param {State} state as the page brought it
   * @param {Told} told
   */
  constructor(client, state, told) {
    this.address = `/api/clients/${client}/consultation`
    this.state = state
    this.told = told
    this.place = `consultation:${client}`
  }

  /** Give what is answered here: the record's answers under those not yet taken. */
  get answers() {
    return { ...this.state.answers, ...this.wrong, ...this.pending }
  }

  get waiting() {
    return Object.keys(this.pending).length > 0
  }

  /**
   * Keep answers.
   * @param {Record<string, Value>} changes
   */
  put(changes) {
    Object.assign(this.pending, changes)
    this.#remember()
    void this.send()
  }

  /**
   * Send what is not taken yet, one save at a time.
   * @returns {Promise<boolean>} whether nothing waits any more
   */
  send() {
    if (this.#held) return Promise.resolve(false)
    this.#flight ??= this.#all().finally(() => { this.#flight = null })
    return this.#flight
  }

  async #all() {
    clearTimeout(this.#again)
    while (this.waiting && !this.#held) {
      if (!await this.#once()) return false
    }
    return !this.waiting
  }

  async #once() {
    const sent = { ...this.pending }
    this.told.status("saving")
    try {
      const answer = await fetch(this.address, {
        method: "POST",
        headers: { "content-type": "application/json" },
        body: JSON.stringify({
          stream: this.state.stream, version: this.state.version, answers: sent,
        }),
      })
      if (answer.status >= 500) throw new Error(String(answer.status))
      this.#take(answer.status, await answer.json(), sent)
      return true
    } catch {
      this.told.status("kept", true)
      this.#again = setTimeout(() => void this.send(), this.#wait)
      this.#wait = Math.min(this.#wait * 2, LONGEST_WAIT_MS)
      return false
    }
  }

  /**
   * @param {number} status
   * @param {any} said
   * @param {Record<string, Value>} sent
   */
  #take(status, said, sent) {
    this.#wait = 500
    if (status === 409) {
      this.#stale(said.error, said.now)
      return
    }
    if (status !== 200) {
      this.#done(sent)
      this.told.state(this.state, { [Object.keys(sent)[0] ?? ""]: said.error }, Object.keys(sent))
      return
    }
    this.state = said
    this.#done(sent)
    for (const key of Object.keys(sent)) {
      if (key in said.faults) this.wrong[key] = sent[key] ?? null
      else delete this.wrong[key]
    }
    this.told.state(said, said.faults, Object.keys(sent))
    this.told.status(this.waiting ? "saving" : "saved")
  }

  /** @param {Record<string, Value>} sent */
  #done(sent) {
    for (const [key, value] of Object.entries(sent)) {
      if (same(this.pending[key], value)) delete this.pending[key]
    }
    this.#remember()
  }

  /**
   * Another has saved since. Where other questions were answered both stand; else she is asked.
   * @param {Fault} error
   * @param {State} now
   */
  #stale(error, now) {
    const planned = now.stream !== this.state.stream
    if (planned || this.#clashes(this.state.answers, now.answers)) {
      this.#held = true
      this.told.status("kept", true)
      this.told.conflict(error, now, planned)
      return
    }
    this.state = now
    this.told.others(now, this.pending)
    this.told.status("both")
  }

  /**
   * Tell whether a question that is answered here was answered otherwise meanwhile.
   * @param {Record<string, Value>} before
   * @param {Record<string, Value>} now
   */
  #clashes(before, now) {
    return Object.keys(this.pending).some((key) =>
      !same(before[key], now[key]) && !same(this.pending[key], now[key]))
  }

  /**
   * Go on after a conflict.
   * @param {State} now what stands in the record
   * @param {boolean} mine whether what is answered here goes over it
   */
  settle(now, mine) {
    if (!mine) this.pending = {}
    this.state = now
    this.#held = false
    this.#remember()
    void this.send()
  }

  /** Look whether the record has moved on, as after the back button or a long sleep. */
  async look() {
    if (this.waiting) {
      await this.send()
      return
    }
    try {
      const answer = await fetch(this.address)
      if (!answer.ok) return
      const now = /** @type {State} */ (await answer.json())
      if (now.stream === this.state.stream && now.version === this.state.version) return
      this.state = now
      this.told.others(now, {})
    } catch {
      this.told.status("kept", true)
    }
  }

  #remember() {
    try {
      if (this.waiting) {
        const kept = { stream: this.state.stream, pending: this.pending, before: this.state.answers }
        localStorage.setItem(this.place, JSON.stringify(kept))
      } else {
        localStorage.removeItem(this.place)
      }
    } catch {
      // A browser that keeps nothing: the answers live as long as the page.
    }
  }

  /**
   * Take up what an earlier page of this device could not send; ask where another answered since.
   * @returns {boolean} whether there was anything
   */
  takeUp() {
    const kept = this.#remembered()
    if (!kept) return false
    this.pending = kept.pending
    const planned = kept.stream !== this.state.stream
    if (planned || this.#clashes(kept.before, this.state.answers)) {
      this.#held = true
      this.told.status("kept", true)
      this.told.conflict({ what: "", do: "" }, this.state, planned)
    } else {
      void this.send()
    }
    return true
  }

  /** @returns {{ stream: string, pending: Record<string, Value>, before: State["answers"] } | null} */
  #remembered() {
    try {
      const kept = JSON.parse(localStorage.getItem(this.place) || "null")
      return kept && typeof kept.pending === "object" && typeof kept.before === "object" ? kept : null
    } catch {
      return null
    }
  }
}

/**
 * Tell whether two answers are the same.
 * @param {unknown} one
 * @param {unknown} other
 */
export function same(one, other) {
  return JSON.stringify(one ?? null) === JSON.stringify(other ?? null)
}
