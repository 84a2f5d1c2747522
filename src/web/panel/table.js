// What Rust hands to the panel once, and the states that the server sends after that.
import { table } from "../page.js";

/** @import { Page } from "../page.js" */

/** Where a patient points, or what one says. @typedef {"left" | "right" | "same" | "unsure"} Points */

/** @typedef {{ ready: boolean, words: string, sleepy: boolean }} WallStatus */

/**
 * All of the lens is its sphere and the rest.
 * @typedef {{ set: string, sphere: string, rest: string, change: string, isNew: boolean, because: string, first: string | null }} Lens
 */

/** @typedef {{ answer: Points, words: string, more: string, field: string | null }} AnswerButton */

/**
 * @typedef {object} Ask
 * @property {number} number
 * @property {string} question
 * @property {string} before
 * @property {string} line
 * @property {string[]} letters
 * @property {boolean} covered
 * @property {AnswerButton[]} answers
 * @property {string | null} pressed
 */

/** A wish, and the name and the value that it carries. @typedef {{ do: string, with: [string, string | boolean | number | null] | null, words: string, more: string, look: string }} Choice */

/** @typedef {{ line: string, letters: { name: string, missed: boolean }[], score: string, before: string, counts: boolean, goesBack: boolean, goesOn: boolean }} White */

/**
 * @typedef {object} Field
 * @property {string} name
 * @property {string} label
 * @property {string} example
 * @property {{ value: string, words: string, how: string }[]} choices
 * @property {string} value
 * @property {boolean} more
 */

/**
 * A state, as `PanelView` has it.
 * @typedef {object} View
 * @property {number} step
 * @property {string} stage
 * @property {boolean} commands
 * @property {string} head
 * @property {string} place
 * @property {WallStatus} wall
 * @property {Lens | null} lens
 * @property {Ask | null} ask
 * @property {string | null} standIn What a simulated patient says.
 * @property {string[]} said
 * @property {{ what: string, basis: string } | null} estimate Where balance lies, and what that rests on.
 * @property {string[]} minds What weakens a result.
 * @property {Choice[]} choices
 * @property {White | null} white
 * @property {Field[]} form
 * @property {[string, string]} formWish What the form is sent as, and what its button says.
 * @property {string | null} picture A drawing of what to do, as SVG.
 * @property {{ sphere: string, answer: string }[]} earlier
 * @property {{ what: string, basis: string }[]} cautions
 * @property {string} facts
 * @property {string | null} undo
 * @property {boolean} darkBetween
 * @property {boolean} patientButtons
 * @property {string} notation
 * @property {string | null} keptAs
 * @property {string} record
 * @property {string[]} smallPrint
 */

/** @typedef {{ what: string, field?: string | null }} Refused */

/**
 * @typedef {object} Panel
 * @property {Page} page
 * @property {Record<string, string>} words What stands on controls and over lists, each by a name.
 * @property {[string, string][]} notations Each with an example.
 * @property {number[]} lights In per cent, from the brightest.
 * @property {number} waitMs For how many milliseconds a wish may go without an answer before another may be sent.
 */

export const panel = /** @type {Panel} */ (table);
