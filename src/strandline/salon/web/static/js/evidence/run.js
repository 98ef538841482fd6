/** The table of evidence: its rows are computed while the page listens, and stop when it does not. */

const button = /** @type {HTMLButtonElement} */ (document.getElementById("run"));
const progress = /** @type {HTMLProgressElement} */ (document.getElementById("progress"));
const told = /** @type {HTMLElement} */ (document.getElementById("told"));

/** @type {EventSource | null} */
let listening = null;
let held = 0;
let seen = 0;

/** @param {boolean} running */
function show(running) {
  button.textContent = (running ? button.dataset.stop : button.dataset.start) ?? "";
  button.hidden = false;
  progress.hidden = !running;
}

function stop() {
  listening?.close();
  listening = null;
  show(false);
}

function start() {
  held = seen = 0;
  listening = new EventSource("/evidence/run");
  listening.addEventListener("message", (event) => {
    /** @type {{n: number, computed: string, holds: boolean}} */
    const row = JSON.parse(event.data);
    const cell = document.getElementById(`c${row.n}`);
    if (cell) {
      cell.textContent = `${row.computed} ${row.holds ? "\u2713" : "\u00d7"}`;
      cell.classList.toggle("fault", !row.holds);
    }
    seen += 1;
    held += row.holds ? 1 : 0;
    progress.value = seen;
    told.textContent = `${held} / ${seen}`;
  });
  listening.addEventListener("done", stop);
  listening.addEventListener("error", stop);
  show(true);
}

button.addEventListener("click", () => (listening ? stop() : start()));
show(false);
