// What Rust hands to the slides.
import { table } from "../page.js";

/** @import { Key } from "../page.js" */

/**
 * What is shown and said; `saturated` where much of it is saturated red or green.
 * @typedef {{ title: string, notes: string[], saturated: boolean }} Slide
 */

/**
 * @typedef {object} Deck
 * @property {{ calmMs: number, everyMs: number, keys: Key[] }} page
 * @property {Slide[]} slides
 */

export const deck = /** @type {Deck} */ (/** @type {unknown} */ (table));
