// Answers kept on the device until the record takes them.

import assert from "node:assert/strict"
import { beforeEach, test } from "node:test"

import { Keeper } from "../../src/strandline/salon/web/static/js/consultation/keeper.js"

const START = { stream: "s-1", version: 0, answers: {}, answered: [], stands: false, strand: [], end_cm: 30 }
let server, store, told

function keeper(state = START) {
  told = []
  const tell = (name) => (...said) => told.push([name, ...said])
  const names = ["status", "state", "others", "conflict"]
  return new Keeper("c", structuredClone(state), Object.fromEntries(names.map((n) => [n, tell(n)])))
}

beforeEach(() => {
  store = new Map()
  globalThis.localStorage = {
    getItem: (key) => store.get(key) ?? null,
    setItem: (key, value) => void store.set(key, value),
    removeItem: (key) => void store.delete(key),
  }
  server = { ...structuredClone(START), sent: [], down: false, faults: {} }
  globalThis.fetch = async (_, { body } = {}) => {
    if (server.down) throw new TypeError("no answer")
    if (!body) return { ok: true, status: 200, json: async () => structuredClone(server) }
    const said = JSON.parse(body)
    server.sent.push(said)
    if (said.version !== server.version || said.stream !== server.stream) {
      return { ok: false, status: 409, json: async () => ({ error: { what: "w", do: "d" }, now: structuredClone(server) }) }
    }
    Object.assign(server.answers, said.answers)
    server.version += 1
    return { ok: true, status: 200, json: async () => structuredClone(server) }
  }
})

const state = ({ stream, version, answers }) => ({ stream, version, answers })

test("answers go one save at a time, each on the version before", async () => {
  const one = keeper()
  one.put({ a: 1 })
  one.put({ b: 2 })
  one.put({ c: 3 })
  assert.equal(await one.send(), true)
  assert.deepEqual(server.sent.map((s) => [s.version, s.answers]), [[0, { a: 1 }], [1, { b: 2, c: 3 }]])
  assert.equal(store.size, 0)
})

test("without a server they stay on the device and are taken up by the next page", async () => {
  server.down = true
  const one = keeper()
  one.put({ a: 1 })
  assert.equal(await one.send(), false)
  assert.deepEqual(told.at(-1), ["status", "kept", true])
  server.down = false
  const two = keeper()
  assert.equal(two.takeUp(), true)
  assert.deepEqual(two.answers, { a: 1 })
  await two.send()
  assert.deepEqual(state(server), { stream: "s-1", version: 1, answers: { a: 1 } })
})

test("another's answer to another question is taken in", async () => {
  const one = keeper()
  server.version = 1
  server.answers = { b: 2 }
  one.put({ a: 1 })
  assert.equal(await one.send(), true)
  assert.deepEqual(server.answers, { a: 1, b: 2 })
  assert.ok(told.some(([name]) => name === "others"))
})

test("another's answer to the same question is asked about, whichever is chosen", async () => {
  for (const mine of [true, false]) {
    server.version = 1
    server.answers = { a: 9 }
    store.clear()
    const one = keeper()
    one.put({ a: 1 })
    assert.equal(await one.send(), false)
    assert.equal(told.at(-1)[0], "conflict")
    assert.equal(server.answers.a, 9)
    one.settle(structuredClone(server), mine)
    await one.send()
    assert.equal(server.answers.a, mine ? 1 : 9)
  }
})

test("what was kept on the device is asked about where another answered since", async () => {
  server.down = true
  const one = keeper()
  one.put({ a: 1 })
  await one.send()
  server.down = false
  server.version = 1
  server.answers = { a: 9 }
  const two = keeper(server)
  two.takeUp()
  assert.equal(told.at(-1)[0], "conflict")
  assert.equal(server.answers.a, 9)
})

test("a consultation that was planned meanwhile is told as such", async () => {
  const one = keeper()
  server.stream = "s-2"
  one.put({ a: 1 })
  await one.send()
  const [name, , , planned] = told.at(-1)
  assert.deepEqual([name, planned], ["conflict", true])
  assert.deepEqual(one.pending, { a: 1 })
})

test("what cannot be kept stays where it was typed and is not sent for ever", async () => {
  const one = keeper()
  server.faults = { a: { what: "w", do: "d" } }
  globalThis.fetch = async (_, { body }) => {
    server.sent.push(JSON.parse(body))
    return { ok: true, status: 200, json: async () => structuredClone(server) }
  }
  one.put({ a: "lots" })
  assert.equal(await one.send(), true)
  assert.equal(server.sent.length, 1)
  assert.equal(one.answers.a, "lots")
})

test("a browser that keeps nothing still saves", async () => {
  globalThis.localStorage = { getItem() { throw new Error("no") }, setItem() { throw new Error("no") }, removeItem() { throw new Error("no") } }
  const one = keeper()
  one.put({ a: 1 })
  assert.equal(await one.send(), true)
  assert.deepEqual(server.answers, { a: 1 })
})
