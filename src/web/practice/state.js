// What the learner has set and asked.

/** @import { Question } from "./model.js" */

/** @import { Progress } from "./progress.js" */

/** How a learner may finish: with a lens, with nothing decided, or because the fields are unequal. @typedef {"lens" | "undecided" | "unequal"} Done */

/**
 * What a new patient begins with.
 * @typedef {object} Run
 * @property {number} clicks
 * @property {boolean} redLeft
 * @property {number} draw
 * @property {boolean} larger
 * @property {boolean} fog
 * @property {boolean} peek
 * @property {boolean} help
 * @property {boolean} course Whether the list of levels is shown.
 * @property {Question[]} asked
 * @property {number} hints
 * @property {number} peeks
 * @property {string} hint
 * @property {Done | null} done
 */

/** @returns {Run} */
export const newRun = () => ({
  clicks: 0, redLeft: true, draw: 0, larger: false, fog: false, peek: false, help: false, course: false,
  asked: [], hints: 0, peeks: 0, hint: "", done: null,
});

/** @type {Run & { level: number, number: number, unknown: string[], progress: Progress }} */
export const state = { level: 0, number: 1, unknown: [], progress: {}, ...newRun() };

/** Whether something lies over the patient. */
export const isCovered = () => state.help || state.course;
