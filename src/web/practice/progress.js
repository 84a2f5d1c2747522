// How far a learner has come: what each finished patient counts, which levels are passed, which one is suggested.

/** @import { Practice } from "./table.js" */
/** @import { Score } from "./code.js" */

/**
 * What was done in a level: which patients were finished, how many of them by the rule, how many questions were asked and by the
 * rule, hints and looks taken, how many patients in a row would pass it, and whether it is passed.
 * @typedef {{ seen: number[], byRule: number, asked: number, right: number, hints: number, row: number, passed: boolean }} Done
 */

/** By the names of levels; those that nothing was done in may be missing. @typedef {Record<string, Done>} Progress */

/**
 * A run that is over. Help is what was asked for where that counts.
 * @typedef {{ number: number, isByRule: boolean, asked: number, right: number, help: number }} Finished
 */

/** @returns {Done} */
const nothing = () => ({ seen: [], byRule: 0, asked: 0, right: 0, hints: 0, row: 0, passed: false });

/** @param {Progress} progress @param {string} level */
export const doneIn = (progress, level) => (Object.hasOwn(progress, level) ? progress[level] : nothing());

/** Whether a patient counts: whoever was seen before is known. @param {Progress} progress @param {string} level @param {number} number */
export const isNew = (progress, level, number) => !doneIn(progress, level).seen.includes(number);

/**
 * After a run; a patient who was seen before changes nothing.
 * @param {Practice} table
 * @param {Progress} progress
 * @param {string} level
 * @param {Finished} run
 * @returns {Progress}
 */
export function counted(table, progress, level, { number, isByRule, asked, right, help }) {
  if (!isNew(progress, level, number)) return progress;
  const before = doneIn(progress, level), row = isByRule && help <= table.mostHints ? before.row + 1 : 0;
  return { ...progress, [level]: {
    seen: [...before.seen, number], byRule: before.byRule + (isByRule ? 1 : 0),
    asked: before.asked + asked, right: before.right + right, hints: before.hints + help,
    row, passed: before.passed || row >= table.inARow,
  } };
}

/** The place of the first level that is not passed; none where all are. @param {Practice} table @param {Progress} progress */
export const suggested = ({ levels }, progress) => levels.findIndex(({ name: called }) => !doneIn(progress, called).passed);

/** What a code has of it. @param {Practice} table @param {Progress} progress @returns {Score} */
export function scoreOf({ levels }, progress) {
  const all = levels.map(({ name: called }) => doneIn(progress, called));
  /** @param {(done: Done) => number} of */
  const sum = (of) => all.reduce((total, done) => total + of(done), 0);
  const asked = sum((done) => done.asked);
  return {
    passed: all.reduce((bits, done, place) => bits + (done.passed ? 2 ** place : 0), 0),
    finished: sum(({ seen }) => seen.length),
    byRule: sum((done) => done.byRule),
    share: asked === 0 ? 0 : Math.round((sum((done) => done.right) / asked) * 100),
    hints: sum((done) => done.hints),
  };
}

/** Whether something read back is what was done in a level. @param {unknown} found @returns {found is Done} */
function isDone(found) {
  if (typeof found !== "object" || found === null) return false;
  const { seen, passed, ...counts } = /** @type {Record<string, unknown>} */ (found);
  const names = ["byRule", "asked", "right", "hints", "row"];
  return Array.isArray(seen) && seen.every(Number.isInteger) && typeof passed === "boolean"
    && names.every((one) => Number.isInteger(counts[one]) && Number(counts[one]) >= 0);
}

/** What was kept; what cannot be read is left out. @param {Practice} table @param {string | null} kept @returns {Progress} */
export function progressIn({ levels }, kept) {
  /** @type {unknown} */
  let found = null;
  try {
    found = JSON.parse(kept ?? "null");
  } catch {
    return {};
  }
  if (typeof found !== "object" || found === null) return {};
  const entries = /** @type {Record<string, unknown>} */ (found);
  /** @type {Progress} */
  const progress = {};
  for (const { name: called } of levels) {
    const done = Object.hasOwn(entries, called) ? entries[called] : null;
    if (isDone(done)) progress[called] = done;
  }
  return progress;
}

/** A score in words. @param {Practice} table @param {Score} score */
export function scoreInWords({ levels }, { passed, finished, byRule, share, hints }) {
  const names = levels.filter((_, place) => Math.floor(passed / 2 ** place) % 2 === 1).map(({ title }) => title.toLowerCase());
  const which = names.length > 0 ? `: ${names.join(", ")}` : "";
  return [
    `${names.length} of ${levels.length} levels passed${which}.`,
    `${finished} ${finished === 1 ? "patient" : "patients"} finished, ${byRule} by the rule; ${share}\u202f% of the questions by the rule; ${hints} ${hints === 1 ? "hint or look" : "hints or looks"}.`,
  ].join(" ");
}
