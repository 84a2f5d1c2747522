// What Rust hands to the page to practise on. Lens errors are in thousandths of a dioptre, by how much red is clearer
// than green in thousandths of a noticeable step, clarities in thousandths; an answer is its place among all.
import { table } from "../page.js";

/** @import { Page } from "../page.js" */
/** @import { Code } from "./code.js" */

/**
 * How a run ended: the lens that stays in, if one does, and words in which `lensPlace` stands for it.
 * @typedef {{ clicks: number | null, words: string }} End
 */

/**
 * For each state the place of an end, or a lens: the place of its reason, its clicks, and a sum of marks of what else belongs to
 * the question. `answers` are those that may be given, by their places among all; `next` has the states after each of them, state
 * by state. `onWhite`: letters on white are read, and no colours compared.
 * @typedef {object} Rule
 * @property {string} procedure
 * @property {string} endPoint
 * @property {number[]} answers
 * @property {boolean} onWhite
 * @property {(number | [number, number, number])[]} steps
 * @property {number[]} next
 * @property {End[]} ends
 */

/**
 * Clarities of red, green and white.
 * @typedef {{ from: number, step: number, clarity: number[][] }} Plot
 */

/**
 * What one eye sees: by how much red is clearer in the target line, then in the larger one, null where neither side can be read;
 * how legible these are on white, as thousandths of a decimal logarithm; `views` as PNG in base 64, of white where it is looked at.
 * @typedef {object} Sight
 * @property {number} balance
 * @property {string} pupil
 * @property {number} from
 * @property {number} step
 * @property {(number | null)[][]} clearer
 * @property {number[][]} white
 * @property {Plot} curve
 * @property {{ at: number, red: string, green: string, white?: string }[]} views
 */

/**
 * A patient with all the chance it will have; `dimmer` is the field that is dimmer than it should be, if one is.
 * @typedef {object} Patient
 * @property {number} start
 * @property {number} offset
 * @property {number} [dimmer]
 * @property {number} lean
 * @property {number[]} jitter
 * @property {number[]} noise
 * @property {[number, number][]} lapses Which answers are given without looking, and what they are.
 */

/**
 * A level; `takesUp` is the share of the minus that the eye accommodates for, in thousandths, and its maximum; `bySide` is so where
 * the patient names sides and no colours.
 * @typedef {object} Level
 * @property {string} name
 * @property {string} title
 * @property {string} teaches
 * @property {string} passedWhen
 * @property {"told" | "asked" | "after"} guide
 * @property {string} guideWords
 * @property {string} kind
 * @property {string} question
 * @property {string} beforeAsking
 * @property {boolean} bySide
 * @property {number} rule
 * @property {number} sight
 * @property {number} sameWithin
 * @property {[number, number] | null} takesUp
 * @property {Patient[]} patients
 */

/**
 * @typedef {object} Practice
 * @property {Page} page
 * @property {string} room
 * @property {string} class
 * @property {[string, string]} line The target, then the larger one.
 * @property {string} throughPlus
 * @property {string[]} answers As a patient says them.
 * @property {string[]} short In a word.
 * @property {[string, string]} bySide What a patient says who names sides: left, then right.
 * @property {{ red: number, green: number, same: number, unsure: number, read: number, lost: number }} judged The places of answers.
 * @property {{ fog: number, larger: number, swap: number, redLeft: number, redRight: number }} marks What they add to the sum of a step.
 * @property {string[][]} because For each reason its words at each change of lens, or one sentence for all.
 * @property {number} mostClicks How far a lens may go from the manifest.
 * @property {number} click
 * @property {number} readSd By how much reading wavers with the noise of an answer, in thousandths.
 * @property {number} beside What is added to legibility before it is judged.
 * @property {string} lensPlace
 * @property {string} calmAndClosed
 * @property {number} inARow How many patients in a row pass a level.
 * @property {number} mostHints How many hints may be taken with each.
 * @property {Code} code
 * @property {Rule[]} rules
 * @property {Sight[]} sights
 * @property {Level[]} levels
 * @property {number[][]} paints Of red, green and white.
 * @property {number[][]} dim The code of a dimmer field for each code of the field as it should be.
 * @property {{ red: string[], green: string[], white: string[] }[]} charts The target line, then the larger one; two draws each.
 */

export const practice = /** @type {Practice} */ (table);
