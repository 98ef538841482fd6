// The vectors that every language runs.

import { readFileSync, readdirSync } from "node:fs";

const folder = new URL("../contract/", import.meta.url);

/** Give the vectors whose file begins so, by their name. */
export function vectors(begin) {
  return readdirSync(folder)
    .filter((name) => name.startsWith(begin) && name.endsWith(".json"))
    .sort()
    .map((name) => [name.slice(0, -5), JSON.parse(readFileSync(new URL(name, folder), "utf-8"))]);
}

/** Give a list shuffled by a fixed rule, so that a failure comes back. */
export function shuffled(list, seed) {
  const out = [...list];
  let state = seed + 1;
  for (let at = out.length - 1; at > 0; at -= 1) {
    state = (state * 1103515245 + 12345) % 2147483648;
    const other = state % (at + 1);
    [out[at], out[other]] = [out[other], out[at]];
  }
  return out;
}

/** Give facts of one visit from [minutes after ten, kind, payload]. */
export function facts(told) {
  const begin = Date.parse("2026-12-09T10:00:00Z");
  return told.map(([minutes, kind, payload], at) => ({
    id: `tablet-${at + 1}`,
    stream: "visit-1",
    kind,
    schema: 1,
    payload,
    by: "colourist",
    device: "tablet",
    device_seq: at + 1,
    device_time: new Date(begin + minutes * 60_000).toISOString(),
    offset: 60,
  }));
}
