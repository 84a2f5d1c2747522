// What Rust hands to the room's page.
import { table } from "../page.js";

/** @import { Page } from "../page.js" */

/**
 * Where a row stands on a field, in pixels from its corner.
 * @typedef {{ left: number, top: number, count: number }} Place
 */

/**
 * A line with its draws of letters, by their places in the alphabet: on two fields and on one. `unit` is a stroke's pixels,
 * across and down; `two` or `one` is null where the room cannot show it so.
 * @typedef {object} Line
 * @property {string} name
 * @property {number} logMar
 * @property {boolean} coarse
 * @property {[number, number]} unit
 * @property {Place | null} two
 * @property {Place | null} one
 * @property {{ two: number[], one: number[] }[]} draws
 */

/**
 * A letter's contours as x and y in turn, in strokes.
 * @typedef {{ name: string, contours: number[][] }} Letter
 */

/**
 * A field's codes, and for each channel that it drives the coverage below which each next code begins.
 * @typedef {{ codes: number[], edges: (number[] | null)[] }} Paint
 */

/**
 * A step of the match strip: the codes of red and of green, and what is said of that green.
 * @typedef {{ codes: [number[], number[]], says: string[] }} Step
 */

/**
 * A plain picture, or a strip of red over green; with its codes and the light that is expected of them on the room's own screen, in words.
 * @typedef {{ name: string, says: string, expected: string, codes: number[], strip?: Step[] }} Patch
 */

/**
 * For some kinds of eye their procedure, the first lens, and what each answer asks for next.
 * @typedef {{ eyes: string, procedure: string, first: string, next: string[] }} FirstStep
 */

/**
 * @typedef {object} Room
 * @property {Page} page
 * @property {[number, number]} pixels
 * @property {[number, number]} pitch In millimetres.
 * @property {boolean} mirror
 * @property {boolean} redLeft
 * @property {number} leastStroke In pixels.
 * @property {number} strokesASide Of a letter.
 * @property {{ size: [number, number], corner: number }} card In millimetres.
 * @property {number} target The customary line.
 * @property {number} linesAbove The target above a threshold.
 * @property {string[]} fields By their numbers; the first is both colours.
 * @property {Line[]} lines From the largest.
 * @property {Letter[]} letters
 * @property {Record<string, Paint>} paints
 * @property {Patch[]} patches
 * @property {string} rule
 * @property {string} acuity
 * @property {string[]} answers
 * @property {FirstStep[]} firstSteps
 * @property {string} stepsHoldFor
 * @property {string | null} doubt About the match of red and green.
 * @property {string[]} notes
 */

export const room = /** @type {Room} */ (table);
