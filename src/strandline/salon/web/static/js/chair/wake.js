// The screen stays on while foils are in, where the device lets a page ask for it.

export class Awake {
  /** @param {(isAwake: boolean) => void} told */
  constructor(told) {
    this.told = told;
    this.wanted = false;
    this.asking = false;
    /** @type {WakeLockSentinel | null} */
    this.lock = null;
  }

  /** @param {boolean} wanted */
  async want(wanted) {
    this.wanted = wanted;
    if (!wanted) {
      const { lock } = this;
      this.lock = null;
      await lock?.release().catch(() => {});
      return;
    }
    if (this.lock || this.asking || document.visibilityState !== "visible") return;
    this.asking = true;
    try {
      this.lock = await navigator.wakeLock.request("screen");
      this.lock.addEventListener("release", () => {
        this.lock = null;
        this.told(false);
      });
      this.told(true);
    } catch {
      this.told(false);
    } finally {
      this.asking = false;
    }
  }
}
