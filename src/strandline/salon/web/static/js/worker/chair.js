// The chair without its server: its files as they were kept, its pages as they were seen last.
// `KEPT` and `MARK` are put before this by the server.

/** @type {{KEPT: string[], MARK: string}} */
const { KEPT: files, MARK: mark } = /** @type {any} */ (self);
const PAGES = "chair-pages";
const PATIENCE_MS = 4000;

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

worker.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(mark)
      .then((kept) => kept.addAll(files))
      .then(() => worker.skipWaiting()),
  );
});

worker.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) => names.filter((name) => name.startsWith("chair-")))
      .then((names) => names.filter((name) => name !== mark && name !== PAGES))
      .then((old) => Promise.all(old.map((name) => caches.delete(name))))
      .then(() => worker.clients.claim()),
  );
});

worker.addEventListener("fetch", (event) => {
  const { request } = event;
  const path = new URL(request.url).pathname;
  if (request.method !== "GET") return;
  if (request.mode === "navigate" && path.startsWith("/chair/")) event.respondWith(page(request));
  else if (path.startsWith("/static/")) event.respondWith(file(request));
});

/**
 * Give a page of a chair: the server's, else the one seen last.
 * @param {Request} request
 */
async function page(request) {
  const pages = await caches.open(PAGES);
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(PATIENCE_MS) });
    if (answer.ok) await pages.put(request.url, answer.clone());
    return answer;
  } catch (error) {
    const seen = await pages.match(request.url);
    if (seen) return seen;
    throw error;
  }
}

/**
 * Give a file: the server's, else as kept, so that all files are of one version.
 * @param {Request} request
 */
async function file(request) {
  try {
    return await fetch(request, { signal: AbortSignal.timeout(PATIENCE_MS) });
  } catch (error) {
    const kept = await caches.match(request);
    if (kept) return kept;
    throw error;
  }
}
