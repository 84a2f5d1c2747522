// Which slide comes, and when it may. Knows no page.
import { Calm } from "../calm.js";

/** The slide that an address asks for, from nought on; null where it asks for none that there is. @param {string} hash @param {number} count */
export function placeAsked(hash, count) {
  const number = /^#\d{1,4}$/.test(hash) ? Number(hash.slice(1)) : 0;
  return number >= 1 && number <= count ? number - 1 : null;
}

/**
 * The slide to which an act leads from another one; acts that lead nowhere keep it.
 * @param {string} act
 * @param {number} from
 * @param {number} count
 */
export function placeAfter(act, from, count) {
  /** @type {Record<string, number>} */
  const places = { next: Math.min(from + 1, count - 1), before: Math.max(from - 1, 0), first: 0, last: count - 1 };
  return places[act] ?? from;
}

/** Milliseconds as minutes and seconds. @param {number} milliseconds */
export function clockFace(milliseconds) {
  const seconds = Math.max(0, Math.floor(milliseconds / 1000));
  return `${Math.floor(seconds / 60)}:${`${seconds % 60}`.padStart(2, "0")}`;
}

/** How often slides change; to and from those with much saturated red or green more rarely. */
export class Pace {
  /**
   * @param {{ everyMs: number, calmMs: number }} times In milliseconds.
   * @param {() => number} clock Tells milliseconds that only grow.
   */
  constructor({ everyMs, calmMs }, clock) {
    this.all = new Calm(everyMs, clock);
    this.saturated = new Calm(calmMs, clock);
  }

  /** Whether slides may change now; if so, this counts as the change. @param {boolean} saturated Either shows much red or green. */
  take(saturated) {
    if (this.all.wait() > 0 || (saturated && this.saturated.wait() > 0)) return false;
    this.all.take();
    if (saturated) this.saturated.take();
    return true;
  }
}
