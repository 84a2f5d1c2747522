// How often what a patient sees may change.

/** Something that may change at most once in a time. */
export class Calm {
  /**
   * @param {number} everyMs The time, in milliseconds.
   * @param {() => number} clock Tells milliseconds that only grow.
   */
  constructor(everyMs, clock) {
    this.everyMs = everyMs;
    this.clock = clock;
    /** When it last changed. */
    this.last = -Infinity;
  }

  /** For how many milliseconds it must still stay as it is; 0 where it may change now. */
  wait() {
    return Math.max(0, this.everyMs - (this.clock() - this.last));
  }

  /** Whether it may change now; if so, this counts as the change. */
  take() {
    if (this.wait() > 0) return false;
    this.last = this.clock();
    return true;
  }

  /** The next change need not wait: it is part of one that did. */
  forget() {
    this.last = -Infinity;
  }
}
