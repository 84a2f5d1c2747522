// What Rust hands to the wall, and what it tells it.
import { table } from "../page.js";

/** @import { Page } from "../page.js" */
/** @import { Letter, Paint } from "../exam/table.js" */

/** @typedef {{ click: string, otherScreen: string, lost: string, replaced: string }} Words */

/**
 * @typedef {object} Wall
 * @property {Page} page
 * @property {[number, number]} pixels
 * @property {boolean} mirror
 * @property {number} strokesASide Of a letter.
 * @property {Letter[]} letters
 * @property {Record<string, Paint>} paints
 * @property {Words} words
 */

/**
 * A line of letters on one field or two, in device pixels as the patient sees them.
 * @typedef {object} Drawing
 * @property {string} line
 * @property {string} fields
 * @property {string} red Where red lies.
 * @property {{ name: string, left: number, width: number }[]} places The fields.
 * @property {[number, number]} unit Pixels a stroke.
 * @property {number} top
 * @property {{ name: string, left: number }[]} letters
 */

/**
 * What the wall is to show; dark where there is no chart.
 * @typedef {{ number: number, chart: Drawing | null }} Picture
 */

export const wall = /** @type {Wall} */ (table);
