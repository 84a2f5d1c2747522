// Whether a touch may be sent: one at a time, and only while there is a line.

/** What holds a touch back, by the name of what is said of it. @typedef {"lost" | "onItsWay"} Held */

/** The touches of one panel. None is ever sent again by itself. */
export class Touches {
  /**
   * @param {number} waitMs For how many milliseconds one may go without an answer before another may be sent.
   * @param {() => number} clock Tells milliseconds that only grow.
   */
  constructor(waitMs, clock) {
    this.waitMs = waitMs;
    this.clock = clock;
    this.hasLine = false;
    /** When the one that waits for an answer was sent. */
    this.sent = -Infinity;
  }

  /** The line is open. */
  opened() {
    this.hasLine = true;
    this.answered();
  }

  /** The line is lost, and what waits with it. */
  lost() {
    this.hasLine = false;
    this.answered();
  }

  /** The server has answered. */
  answered() {
    this.sent = -Infinity;
  }

  /** What holds the next touch back; nothing where it may be sent, and then this counts as sent. @returns {Held | null} */
  take() {
    if (!this.hasLine) return "lost";
    if (this.clock() - this.sent < this.waitMs) return "onItsWay";
    this.sent = this.clock();
    return null;
  }
}
