// The server as far as it is there: what is an answer, what is a refusal, what is no server.

import assert from "node:assert/strict";
import test from "node:test";

import { getFacts, postFacts } from "../../src/strandline/salon/web/static/js/chair/link.js";
import { Refused } from "../../src/strandline/salon/web/static/js/chair/sender.js";

function answers(status, body) {
  globalThis.fetch = async () => new Response(body, { status });
}

test("facts are given as the server has them", async () => {
  answers(200, '{"facts": [{"id": "a"}]}');
  assert.deepEqual(await getFacts("v"), [{ id: "a" }]);
});

test("an answer that is cut off is no answer", async () => {
  answers(200, '{"facts": [{"id"');
  await assert.rejects(getFacts("v"), SyntaxError);
});

test("a sentence of the server is a refusal, with its words", async () => {
  answers(422, '{"error": {"what": "Too many.", "do": "Send fewer.", "where": "facts"}}');
  await assert.rejects(postFacts([]), (error) => error instanceof Refused && error.message === "Too many.");
});

test("a server that breaks is a server that is gone", async () => {
  answers(502, "bad gateway");
  await assert.rejects(postFacts([]), (error) => !(error instanceof Refused));
});
