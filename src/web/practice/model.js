// The patient and the rule, as the tables have them. All numbers are whole, as in Rust, so that both come to the same
// answers.

/** @import { Practice, Level, Patient, Sight, End } from "./table.js" */

/**
 * How a question is put: its number from 0, the lens in clicks, whether the eye meets it from plus, whether in larger letters.
 * @typedef {{ number: number, clicks: number, fromPlus: boolean, larger: boolean }} Put
 */

/** @typedef {Put & { answer: number, redLeft: boolean, fog: boolean }} Question */

/**
 * What the rule does in a state: an end, or a lens with the place of its reason and what else belongs to the question; `redLeft` is
 * null where either side will do.
 * @typedef {{ why: number, clicks: number, throughPlus: boolean, larger: boolean, swap: boolean, redLeft: boolean | null }} Asking
 * @typedef {{ end: End, why?: undefined } | Asking & { end?: undefined }} Wanted
 */

/**
 * What a question is beside the rule: a departure, or a right lens without what belongs to it; `moved` is how far the wanted
 * lens lies from the one before.
 * @typedef {{ departed: boolean, slip: "swap" | "fog" | "larger" | "side" | null, want: Wanted, moved: number }} Remark
 */

/** @typedef {{ remarks: Remark[], want: Wanted, moved: number }} Held */

/** @typedef {{ asked: { clicks: number, answer: number }[], end: End }} Ran */

/** Thousandths in one. */
export const THOUSAND = 1000;

/** @param {Practice} table @param {Level} level */
export const sightOf = (table, level) => table.sights[level.sight];

/** @param {Practice} table @param {Level} level */
export const ruleOf = (table, level) => table.rules[level.rule];

/** @param {number} least @param {number} number @param {number} most */
export const between = (least, number, most) => Math.max(least, Math.min(most, number));

/**
 * What accommodation leaves of a lens error.
 * @param {Level} level
 * @param {number} lensError
 * @param {boolean} fromPlus
 */
export function left(level, lensError, fromPlus) {
  if (level.takesUp === null || fromPlus) return lensError;
  const [slope, most] = level.takesUp;
  return lensError + Math.min(most, Math.floor((Math.max(0, -lensError) * slope) / THOUSAND));
}

/** The lens error that a lens gives a patient. @param {Practice} table @param {Patient} patient @param {number} clicks */
export const lensErrorOf = (table, patient, clicks) => patient.start + clicks * table.click;

/** What a row of a table has at the nearest lens error. @template T @param {Sight} sight @param {T[]} row @param {number} lensError */
const nearest = ({ from, step }, row, lensError) => row[between(0, Math.floor((lensError - from + step / 2) / step), row.length - 1)];

/**
 * What a patient says to a question.
 * @param {Practice} table
 * @param {Level} level
 * @param {Patient} patient
 * @param {Put} put
 */
export function answerOf(table, level, patient, { number, clicks, fromPlus, larger }) {
  const chance = number % patient.jitter.length, noise = patient.noise[chance], sight = sightOf(table, level);
  const lapse = patient.lapses.find(([which]) => which === chance);
  const seen = left(level, lensErrorOf(table, patient, clicks) + patient.offset, fromPlus) + patient.jitter[chance];
  if (ruleOf(table, level).onWhite) {
    const isRead = lapse ? noise < 0 : isLegible(table, nearest(sight, sight.white[larger ? 1 : 0], seen), noise);
    return isRead ? table.judged.read : table.judged.lost;
  }
  if (lapse) return lapse[1];
  const red = nearest(sight, sight.clearer[larger ? 1 : 0], seen);
  if (red === null) return table.judged.unsure;
  const judged = red + patient.lean + noise;
  if (judged > level.sameWithin) return table.judged.red;
  return judged < -level.sameWithin ? table.judged.green : table.judged.same;
}

/** Whether letters on white are read, by the logarithm of how legible they are. @param {Practice} table @param {number} legible @param {number} noise */
const isLegible = ({ beside, readSd }, legible, noise) => (legible + beside) * THOUSAND + readSd * noise >= 0;

/** What the rule does in a state. @param {Practice} table @param {Level} level @param {number} state @returns {Wanted} */
export function wanted(table, level, state) {
  const { steps, ends } = ruleOf(table, level), step = steps[state], { marks } = table;
  if (typeof step === "number") return { end: ends[step] };
  const [why, clicks, sum] = step;
  /** @param {number} mark */
  const has = (mark) => Math.floor(sum / mark) % 2 === 1;
  const redLeft = has(marks.redLeft) ? true : has(marks.redRight) ? false : null;
  return { why, clicks, throughPlus: has(marks.fog), larger: has(marks.larger), swap: has(marks.swap), redLeft };
}

/** The state after an answer. @param {Practice} table @param {Level} level @param {number} state @param {number} answer */
export function after(table, level, state, answer) {
  const { next, answers } = ruleOf(table, level);
  return next[answers.length * state + answers.indexOf(answer)];
}

/** Why the rule asks a lens that lies so many clicks from the one before. @param {Practice} table @param {number} why @param {number} moved */
export function because(table, why, moved) {
  const words = table.because[why];
  // The middle of the list is a lens that stays.
  return words[between(0, moved + (words.length - 1) / 2, words.length - 1)];
}

/** The rule's own run with a patient. @param {Practice} table @param {Level} level @param {Patient} patient @returns {Ran} */
export function walk(table, level, patient) {
  const asked = [];
  let state = 0;
  for (;;) {
    const want = wanted(table, level, state);
    if (want.end) return { asked, end: want.end };
    const { clicks, throughPlus, larger } = want, before = asked.at(-1);
    const fromPlus = throughPlus || (before !== undefined && before.clicks > clicks);
    const answer = answerOf(table, level, patient, { number: asked.length, clicks, fromPlus, larger });
    asked.push({ clicks, answer });
    state = after(table, level, state, answer);
  }
}

/**
 * What belongs to the right lens and was left out.
 * @param {Asking} want
 * @param {Question} question
 * @param {Question | undefined} before
 * @returns {Remark["slip"]}
 */
function slipOf(want, question, before) {
  if (want.swap && before && question.redLeft === before.redLeft) return "swap";
  if (want.redLeft !== null && question.redLeft !== want.redLeft) return "side";
  if (want.throughPlus && !question.fog) return "fog";
  return want.larger && !question.larger ? "larger" : null;
}

/** How far the wanted lens lies from the one before. @param {Wanted} want @param {Question | undefined} before */
const movedTo = (want, before) => (want.end ? 0 : want.clicks - (before?.clicks ?? 0));

/**
 * Holds questions against the rule. The rule waits for its own lens: a question with another one is a departure, and the
 * rule still wants what it wanted. A right lens without what belongs to it is a slip, and the rule goes on.
 * @param {Practice} table
 * @param {Level} level
 * @param {Question[]} asked
 * @returns {Held}
 */
export function heldAgainst(table, level, asked) {
  let state = 0;
  const remarks = asked.map((question, number) => {
    const want = wanted(table, level, state), before = asked[number - 1];
    /** @type {Remark} */
    const remark = { departed: true, slip: null, want, moved: movedTo(want, before) };
    if (want.end || want.clicks !== question.clicks) return remark;
    state = after(table, level, state, question.answer);
    return { ...remark, departed: false, slip: slipOf(want, question, before) };
  });
  const want = wanted(table, level, state);
  return { remarks, want, moved: movedTo(want, asked.at(-1)) };
}

/**
 * An answer as it is said: by its colour, or by the side on which that lies.
 * @param {Practice} table
 * @param {Level} level
 * @param {{ answer: number, redLeft: boolean }} question
 * @param {string[]} words What is said instead of each answer.
 * @param {[string, string]} sides What is said of the left and of the right side.
 */
export function saidAs({ judged }, { bySide }, { answer, redLeft }, words, sides) {
  if (!bySide || (answer !== judged.red && answer !== judged.green)) return words[answer];
  return sides[(answer === judged.red) === redLeft ? 0 : 1];
}

/** Patients follow each other in a ring. @param {Level} level @param {number} number From 1; one before and one behind may be asked for. */
export const patientNumber = ({ patients: { length: most } }, number) => ((number - 1 + most) % most) + 1;

/** Whether a level has a patient of this number. @param {Level} level @param {number} number */
export const hasPatient = ({ patients }, number) => Number.isInteger(number) && number >= 1 && number <= patients.length;

/**
 * `#patient=7&level=noisy` opens that patient; what it does not know is told.
 * @param {Practice} table
 * @param {string} hash
 * @param {{ level: number, number: number }} shown What stays where the address says nothing.
 */
export function preset(table, hash, shown) {
  const asked = { level: shown.level, number: shown.number, unknown: /** @type {string[]} */ ([]) };
  for (const [key, value] of new URLSearchParams(hash.slice(1))) {
    const level = table.levels.findIndex((one) => one.name === value);
    if (key === "level" && level >= 0) asked.level = level;
    else if (key === "patient" && hasPatient(table.levels[shown.level], Number(value))) asked.number = Number(value);
    else asked.unknown.push(`${key}=${value}`);
  }
  return asked;
}
