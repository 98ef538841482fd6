/** The ways are planned while the page listens: how far, a way to stop, then the table. */

const place = /** @type {HTMLElement} */ (document.getElementById("ways"));
const running = /** @type {HTMLElement} */ (document.getElementById("running"));
const progress = /** @type {HTMLProgressElement} */ (document.getElementById("progress"));
const stopped = /** @type {HTMLElement} */ (document.getElementById("stopped"));
const failed = /** @type {HTMLElement} */ (document.getElementById("failed"));
/** Where there is one they are planned when it is pressed, else at once. */
const begin = document.getElementById("begin");

/** @type {EventSource | null} */
let listening = null;
let asked = new AbortController();

function listen() {
  listening = new EventSource(place.dataset.run ?? "");
  running.hidden = false;
  stopped.hidden = true;
  failed.hidden = true;
  if (begin) begin.hidden = true;
  listening.addEventListener("progress", (event) => {
    progress.value = JSON.parse(event.data);
  });
  listening.addEventListener("done", table);
  listening.addEventListener("failed", (event) => {
    quiet();
    /** @type {{what: string, do: string}} */
    const error = JSON.parse(event.data);
    failed.textContent = `${error.what} ${error.do}`;
    failed.hidden = false;
  });
  listening.addEventListener("error", stop);
}

function quiet() {
  listening?.close();
  running.hidden = true;
  if (begin) begin.hidden = false;
}

function stop() {
  asked.abort();
  quiet();
  stopped.hidden = false;
}

async function table() {
  listening?.close();
  asked = new AbortController();
  const { signal } = asked;
  let told = "";
  try {
    const answer = await fetch(place.dataset.table ?? "", { signal });
    told = answer.ok ? await answer.text() : "";
  } catch {
    if (signal.aborted) return; // she stopped it, and reads so
  }
  if (!told) {
    quiet();
    failed.hidden = false;
    return;
  }
  place.innerHTML = told;
  place.closest("section")?.classList.remove("no-print"); // now there is something to print
}

document.getElementById("stop")?.addEventListener("click", stop);
if (begin) {
  begin.hidden = false;
  begin.addEventListener("click", listen);
} else {
  listen();
}
