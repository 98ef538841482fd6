// Hands on the chair: the large area, keys, a page-turner's pedal, and the buttons beside it.

import { word } from "../words.js";
import { dialog, find, say } from "./draw.js";

const ON = ["ArrowRight", "PageDown", " "];
const BACK = ["ArrowLeft", "PageUp"];

/**
 * @param {{state: import("../state.js").State, show: () => void, woken: () => void,
 *   check: (group: import("../clocks.js").Group) => void, changed: () => void, hush: () => void,
 *   sound: () => boolean}} hands
 */
export function listenHands({ state, show, woken, check, changed, hush, sound }) {
  const on = async () => {
    woken();
    const { way } = state.look();
    if (way.do === "check" && way.group) check(way.group);
    else await state.on();
    show();
  };
  const back = async () => {
    woken();
    await state.back();
    show();
  };
  find("#large").addEventListener("click", () => void on());
  find("#back").addEventListener("click", () => void back());
  find("#pause").addEventListener("click", async () => {
    await state.on(({ way }) => way.pause ?? []);
    show();
  });
  const count = (/** @type {number} */ by) => {
    state.off += by;
    show();
  };
  find("#count-less").addEventListener("click", () => count(-1));
  find("#count-more").addEventListener("click", () => count(1));
  find("#things").addEventListener("click", () => {
    woken();
    changed();
  });
  find("#feels").addEventListener("click", () => {
    woken();
    dialog("#felt").showModal();
  });
  find("#hush").addEventListener("click", hush);
  find("#sound").addEventListener("click", () => {
    const isOn = sound();
    find("#sound").setAttribute("aria-pressed", String(isOn));
    say(find("#sound"), word(isOn ? "sound_on" : "sound_off"));
  });
  for (const button of document.querySelectorAll("[data-close]")) {
    button.addEventListener("click", () => button.closest("dialog")?.close());
  }
  document.addEventListener("keydown", (event) => {
    const isOn = ON.includes(event.key);
    if (!isOn && !BACK.includes(event.key)) return;
    if (event.altKey || event.ctrlKey || event.metaKey || document.querySelector("dialog[open]")) return;
    const target = /** @type {Element | null} */ (event.target);
    const isField = target?.matches("input, textarea, select");
    const isOwn = event.key === " " && target?.matches("button, summary, a");
    if (isField || isOwn) return;
    event.preventDefault();
    if (!event.repeat) void (isOn ? on() : back());
  });
}
