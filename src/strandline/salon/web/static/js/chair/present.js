// The present time of the chair: the device's clock, which never runs back while a visit runs.

/**
 * A clock that was set back would make foils look younger than they are. What is lost is added
 * from then on; a clock set forward cannot be told from sleep, and errs to an earlier alarm.
 */
export class Present {
  /**
   * @param {() => number} clock ms since 1970, as the device has it
   * @param {{latest?: number, ahead?: number} | undefined} [known] as `kept` gave it
   */
  constructor(clock, known) {
    this.clock = clock;
    this.latest = known?.latest ?? 0;
    this.ahead = known?.ahead ?? 0;
  }

  /** Give the present time, ms since 1970, never earlier than one given before. */
  now() {
    const time = this.clock() + this.ahead;
    if (time < this.latest) this.ahead += this.latest - time;
    this.latest = Math.max(time, this.latest);
    return this.latest;
  }

  /** Give what another page must know to carry on. */
  kept() {
    return { latest: this.latest, ahead: this.ahead };
  }
}
