// Shows how a run went: the verdict, the questions beside the rule, the curve and the views.
import { at, canvasAt, element, sidesInWords } from "../page.js";
import { curveShapes } from "./curve.js";
import { heldAgainst, lensErrorOf, ruleOf, saidAs, sightOf, walk } from "./model.js";
import { counted, isNew } from "./progress.js";
import { level, paintView, patient } from "./pictures.js";
import { state } from "./state.js";
import { practice } from "./table.js";
import { dioptres, ended, figures, helpThatCounts, leftIn, lens, remarkWords, rightOnes, verdict } from "./verdict.js";

/** @import { Mark, Shape } from "./curve.js" */
/** @import { Held, Question, Ran } from "./model.js" */

/** What SVG's elements are known by; nothing is fetched from it. */
const SVG = "http://www.w3.org/2000/svg";

/** @param {string} id */
export const rowsOf = (id) => /** @type {HTMLTableElement} */ (at(id)).tBodies[0];

/** A row of a table. @param {string[]} cells @param {string} [classes] */
export function rowWith(cells, classes = "") {
  const made = element("tr", "", classes);
  made.append(...cells.map((words) => element("td", words)));
  return made;
}

/** The run so far beside the rule, and the rule's own. */
export function judgedRun() {
  const held = heldAgainst(practice, level(), state.asked), own = walk(practice, level(), patient());
  return { held, own, said: verdict(practice, patient(), state, held, own) };
}

/** Counts the run that the learner finished; says how. */
export function countRun() {
  const { held, said } = judgedRun(), { name: called } = level(), { number } = state;
  if (!isNew(state.progress, called, number)) return "This patient was counted before, so nothing of this run adds to the score.";
  // With unequal fields the rule's lenses mean nothing.
  const asked = patient().dimmer === undefined ? state.asked.length : 0;
  const run = { number, isByRule: said.isByRule, asked, right: asked === 0 ? 0 : rightOnes(held), help: helpThatCounts(level(), state) };
  const before = state.progress;
  state.progress = counted(practice, before, called, run);
  const { row, passed } = state.progress[called];
  if (passed) return before[called]?.passed ? "This level is passed." : "With this patient the level is passed.";
  return `${Math.min(row, practice.inARow)} of ${practice.inARow} patients in a row that pass this level.`;
}

/** Shows the run that the learner finished. */
export function showResult() {
  const { held, own, said } = judgedRun();
  at("verdict").textContent = said.lens;
  at("path").textContent = said.path;
  at("reason").textContent = said.why;
  showFigures(held, own);
  rowsOf("walked").replaceChildren(...state.asked.map((question, number) => walkedRow(question, number, held)));
  at("own").textContent = ownInWords(own);
  const marks = marksOf(own);
  showCurve(marks);
  at("views").replaceChildren(...marks.map(view));
}

/** The rule's own run in a sentence. @param {Ran} own */
export function ownInWords(own) {
  const path = own.asked.map(({ clicks, answer }) => `${lens(practice, clicks)} ${practice.short[answer]}`);
  return `The rule’s own run with this patient: ${path.join(", ")}. ${ended(practice, own.end)}`;
}

/** An answer in a word; where a side was named, with the colour that lay there. @param {Question} question */
export function answerInAWord(question) {
  const word = practice.short[question.answer], said = saidIn(question);
  return said === word ? word : `${said}: ${word}`;
}

/** An answer in a word, as it was said. @param {Question} question */
export const saidIn = (question) =>
  saidAs(practice, level(), question, practice.short, [practice.page.sideNames[0], practice.page.sideNames[1]]);

/** @param {Held} held @param {Ran} own */
function showFigures(held, own) {
  at("figures").replaceChildren(...figures(practice, level(), patient(), state, held, own).map(([number, words]) => {
    const group = element("div");
    group.append(element("dd", number), element("dt", words));
    return group;
  }));
}

/** A question beside the rule. @param {Question} question @param {number} number @param {Held} held */
function walkedRow(question, number, { remarks }) {
  const remark = remarks[number], classes = remark.departed ? "left" : remark.slip ? "slip" : "";
  return rowWith([`${number + 1}`, lens(practice, question.clicks), answerInAWord(question), remarkWords(practice, remark)], classes);
}

/** The lenses that are compared. @param {Ran} own @returns {Mark[]} */
function marksOf(own) {
  /** @param {string} called @param {number} clicks */
  const mark = (called, clicks) => ({ name: called, clicks, lensError: lensErrorOf(practice, patient(), clicks) });
  return [mark("manifest", 0), mark("yours", leftIn(state)), mark("rule’s", own.end.clicks ?? 0)];
}

/** @param {Mark[]} marks */
function showCurve(marks) {
  const sight = sightOf(practice, level());
  at("curve").replaceChildren(...curveShapes(sight, practice.page.fieldNames, practice.click, marks).map(drawn));
  at("curve-says").textContent = `Clarity of ${practice.line[0]} letters with a pupil of ${sight.pupil}. At balance both sides have the same share of their own best.`;
}

/** @param {Shape} shape */
function drawn({ tag, attributes, words }) {
  const made = document.createElementNS(SVG, tag);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, `${value}`);
  if (words !== undefined) made.textContent = words;
  return made;
}

/** What the patient saw through a lens, as large as while it ran. @param {Mark} mark */
function view({ name: called, clicks, lensError }) {
  const figure = element("figure"), canvas = element("canvas"), { width, height } = canvasAt("view");
  const sides = ruleOf(practice, level()).onWhite ? "" : `; ${sidesInWords(true)}`;
  [canvas.width, canvas.height] = [width, height];
  canvas.setAttribute("role", "img");
  canvas.setAttribute("aria-label", `view through the lens of ${called}`);
  paintView(canvas, level(), patient(), lensError, { redLeft: true, fromPlus: true });
  figure.append(canvas, element("figcaption", `${called} ${lens(practice, clicks)}: lens error ${dioptres(lensError)}${sides}`));
  return figure;
}
