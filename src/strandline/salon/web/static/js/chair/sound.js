// Alarms by sound, made by WebAudio; a browser lets a page sound only after a first tap.

/** Tones of an alarm, Hz, one after another: the gravest rise and come three times. */
const TONES = {
  hurt: [880, 1100, 880, 1100, 880, 1100, 880, 1100],
  label: [660, 880, 1100, 660, 880, 1100, 660, 880, 1100],
  gloss: [660, 880, 1100, 660, 880, 1100],
  due: [660, 880, 660, 880],
  unknown: [660, 880],
  gloss_look: [660, 660],
  check: [660],
};
const EACH_S = 0.22;

export class Sound {
  constructor() {
    /** @type {AudioContext | null} */
    this.context = null;
    this.isOn = true;
    this.rings = 0;
  }

  /** Let the page sound; called from a tap. */
  async wake() {
    if (!this.isOn || typeof AudioContext === "undefined") return;
    this.context ??= new AudioContext();
    if (this.context.state === "suspended") await this.context.resume();
  }

  /** @param {keyof typeof TONES} sort */
  ring(sort) {
    this.rings += 1;
    const { context } = this;
    if (!this.isOn || !context || context.state !== "running") return;
    const begin = context.currentTime + 0.02;
    TONES[sort].forEach((hertz, at) => {
      const tone = context.createOscillator();
      const loud = context.createGain();
      const start = begin + at * EACH_S;
      tone.type = "triangle";
      tone.frequency.value = hertz;
      loud.gain.setValueAtTime(0.0001, start);
      loud.gain.exponentialRampToValueAtTime(0.5, start + 0.02);
      loud.gain.exponentialRampToValueAtTime(0.0001, start + EACH_S * 0.9);
      tone.connect(loud).connect(context.destination);
      tone.start(start);
      tone.stop(start + EACH_S);
    });
  }
}
