/** The ways are planned while the page listens: how far, a way to stop, then the table. */

const place = /** @type {HTMLElement} */ (document.getElementById("ways"));
const running = /** @type {HTMLElement} */ (document.getElementById("running"));
const progress = /** @type {HTMLProgressElement} */ (document.getElementById("progress"));
const stopped = /** @type {HTMLElement} */ (document.getElementById("stopped"));
const failed = /** @type {HTMLElement} */ (document.getElementById("failed"));

const listening = new EventSource(place.dataset.run ?? "");
running.hidden = false;

function quiet() {
  listening.close();
  running.hidden = true;
}

listening.addEventListener("progress", (event) => {
  progress.value = JSON.parse(event.data);
});

listening.addEventListener("done", async () => {
  listening.close();
  const answer = await fetch(place.dataset.table ?? "");
  place.innerHTML = await answer.text();
});

listening.addEventListener("failed", (event) => {
  quiet();
  /** @type {{what: string, do: string}} */
  const error = JSON.parse(event.data);
  failed.textContent = `${error.what} ${error.do}`;
  failed.hidden = false;
});

listening.addEventListener("error", () => {
  quiet();
  stopped.hidden = false;
});

document.getElementById("stop")?.addEventListener("click", () => {
  quiet();
  stopped.hidden = false;
});
