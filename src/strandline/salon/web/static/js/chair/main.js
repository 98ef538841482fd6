// The chair's page: opens what is kept here, shows the present, sends what was tapped.

import { alarmsOf, Ringing } from "./alarms.js";
import { getAnew, getFacts, getPlan, postFacts } from "./link.js";
import { Present } from "./present.js";
import { Queue } from "./queue.js";
import { Refused, Sender } from "./sender.js";
import { Sound } from "./sound.js";
import { State } from "./state.js";
import { Awake } from "./wake.js";
import { useWords, word } from "./words.js";
import { showAlarms } from "./ui/alarm.js";
import { AskChanged, clockOf } from "./ui/ask_changed.js";
import { AskCheck } from "./ui/ask_check.js";
import { AskMissed } from "./ui/ask_missed.js";
import { listenFelt, showFelt } from "./ui/ask_felt.js";
import { showClocks } from "./ui/clocks.js";
import { fill, find, say } from "./ui/draw.js";
import { listenHands } from "./ui/hands.js";
import { showLarge } from "./ui/large.js";
import { showLists } from "./ui/lists.js";

const DAY = 86_400_000;
const MINUTE = 60_000;
const TICK_MS = 500;
const SYNC_MS = 20_000;
const CLOCK_OFF_MIN = 2;

/** @param {string} id */
function handed(id) {
  return JSON.parse(find(`#${id}`).textContent ?? "{}");
}

async function start() {
  const page = handed("chair-data");
  useWords(handed("words"), page.hours);
  const offMs = Date.parse(page.now) - Date.now();
  void keepPage();
  const queue = await opened(page, offMs);
  if (!queue) return;
  const plan = await planOf(queue, page.visit);
  if (!plan) return;
  await run(page, queue, plan);
}

/**
 * Open what this device keeps. A record that is shown as on another day shifts the clock by whole
 * days, as it was when this visit was first opened here.
 * @param {{visit: string}} page
 * @param {number} offMs by how much the server's clock was ahead when the page was made
 */
async function opened({ visit }, offMs) {
  try {
    /** @type {Present} */
    let present;
    const now = () => present.now();
    const newName = () => `chair-${crypto.randomUUID().slice(0, 13)}`;
    present = new Present(() => Date.now());
    const queue = await Queue.open({ factory: indexedDB, now, newName });
    void navigator.storage?.persist?.();
    let days = await queue.recall(`days ${visit}`);
    if (days === undefined) {
      days = Math.round(offMs / DAY);
      await queue.remember(`days ${visit}`, days);
      const minutes = Math.round(Math.abs(offMs - days * DAY) / MINUTE);
      if (minutes >= CLOCK_OFF_MIN) notice("clock-off", word("clock_off", { minutes }));
    }
    present = new Present(() => Date.now() + days * DAY, await queue.recall(`present ${visit}`));
    return { queue, present: () => present };
  } catch {
    notice("store", word("no_store"), "stop");
    return null;
  }
}

/**
 * Give the plan as this device got it first: a visit follows one plan to its end.
 * @param {{queue: Queue}} of
 * @param {string} visit
 */
async function planOf({ queue }, visit) {
  const kept = await queue.recall(`plan ${visit}`);
  if (kept) return kept;
  try {
    const plan = await getPlan(visit);
    await queue.remember(`plan ${visit}`, plan);
    return plan;
  } catch (error) {
    notice("plan", error instanceof Refused ? error.message : word("no_plan"), "stop");
    return null;
  }
}

/**
 * @param {{visit: string, by: string}} page
 * @param {{queue: Queue, present: () => Present}} kept
 * @param {import("./plan.js").ChairPlan} plan
 */
async function run({ visit, by }, { queue, present }, plan) {
  const sound = new Sound();
  const ringing = new Ringing();
  const awake = new Awake((is) => say(find("#awake"), word(is ? "awake" : "may_sleep")));
  const sender = new Sender(queue, postFacts, {
    alone: async (work) => {
      await navigator.locks.request("strandline-chair-send", work);
    },
    later: (again, ms) => {
      const timer = setTimeout(again, ms);
      return () => clearTimeout(timer);
    },
    told: (standing, count) => {
      find("#kept").dataset["standing"] = standing;
      say(find("#kept"), word(standing, { count }));
      if (standing === "sent") void changed.paid();
    },
  });
  const saved = () => void sender.send();
  const state = new State({ queue, present: present(), plan, visit, by, saved });
  await state.read();
  const tapped = async (/** @type {import("./course.js").Said[]} */ tap) => {
    void sound.wake();
    await state.say(tap);
    show();
  };
  const changed = new AskChanged(state, {
    tapped,
    missed: () => missed.open(),
    plan: async () => {
      await sender.send();
      if (await queue.countWaiting()) throw new Error("waits");
      return getAnew(visit, clockOf(present().now()));
    },
  });
  const missed = new AskMissed(state, {
    tapped,
    follow: (atOnce, stays) => changed.follow(atOnce, stays),
  });
  const check = new AskCheck(plan, tapped);

  const show = () => {
    const now = state.look();
    const alarms = alarmsOf(now);
    showLarge(now);
    showClocks(now, {
      check: (group) => check.open(group),
      missed: (place) => missed.open(place),
      tapped: (tap) => void tapped(tap),
    });
    showFelt(now);
    showAlarms(alarms);
    showLists(now, (tap) => void tapped(tap));
    const ring = document.visibilityState === "visible" ? ringing.next(alarms, now.nowMs) : null;
    if (ring) sound.ring(ring.sort);
    void awake.want(now.groups.length + now.glosses.length > 0);
    find("#chair").dataset["ready"] = "yes";
  };

  const sync = async () => {
    const fresh = await getFacts(visit).then((facts) => queue.keep(facts), () => 0);
    await queue.remember(`present ${visit}`, present().kept());
    if (!fresh) return;
    await state.read();
    show();
  };

  listenFelt(state, tapped);
  listenHands({
    state,
    show,
    woken: () => void sound.wake(),
    check: (group) => check.open(group),
    changed: () => changed.open(),
    hush: () => ringing.hush(alarmsOf(state.look())),
    sound: () => {
      sound.isOn = !sound.isOn;
      void sound.wake();
      return sound.isOn;
    },
  });
  const woke = () => {
    if (document.visibilityState !== "visible") return;
    show();
    void sender.send();
    void sync();
  };
  document.addEventListener("visibilitychange", woke);
  addEventListener("online", woke);
  setInterval(show, TICK_MS);
  setInterval(() => void sync(), SYNC_MS);
  show();
  await sender.send();
  await sync();
}

/** Keep this page for the day that the server is gone. */
async function keepPage() {
  try {
    await navigator.serviceWorker.register("/sw.js", { scope: "/chair/" });
    const pages = await caches.open("chair-pages");
    if (!(await pages.match(location.href))) await pages.add(location.href);
  } catch {
    // an old browser, a private window, or no server: what is kept here is kept all the same
  }
}

/**
 * @param {string} key
 * @param {string} text
 * @param {"caution" | "stop"} [weight]
 */
function notice(key, text, weight = "caution") {
  const place = find("#notice");
  place.hidden = false;
  place.className = `told ${weight}`;
  fill(place, [key, text], () => [text]);
}

void start();
