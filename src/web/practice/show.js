// What stands on the page while a patient is asked, and in its help.
import { at, element, keyList, say, unknownInWords } from "../page.js";
import { heldAgainst, ruleOf, saidAs, sightOf } from "./model.js";
import { level, paintChart, paintEye } from "./pictures.js";
import { rowWith, rowsOf, saidIn } from "./result.js";
import { state } from "./state.js";
import { practice } from "./table.js";
import { lens, nextStep } from "./verdict.js";

/** @import { Question } from "./model.js" */

export const numberField = /** @type {HTMLInputElement} */ (at("patient"));

function brief() {
  const { kind, teaches, guideWords } = level(), { pupil } = sightOf(practice, level());
  at("brief").replaceChildren(element("b", teaches), element("span", `Eye: ${kind}, pupil ${pupil}. ${guideWords}`));
}

/** The rule of the level, and what is said with it. */
function ruleInWords() {
  const { procedure, endPoint } = ruleOf(practice, level()), { question, beforeAsking, passedWhen } = level();
  const list = [
    ["Procedure", procedure], ["Which lens stays in", endPoint],
    ["Before you ask", beforeAsking], ["The question", `“${question}”`], ["This level", passedWhen],
  ];
  const made = element("dl");
  for (const [term, words] of list) if (words) made.append(element("dt", term), element("dd", words));
  return made;
}

/** What a question was asked with, beside its lens. @param {Question} question */
export function askedWith({ redLeft, fog, larger }) {
  const [red] = practice.page.fieldNames, [onLeft, onRight] = practice.page.sideNames;
  const side = ruleOf(practice, level()).onWhite ? "white" : `${red} ${redLeft ? onLeft : onRight}`;
  return [side, fog ? "fog first" : "", larger ? "larger letters" : ""].filter(Boolean).join(", ");
}

/** @param {Question} question @param {number} number */
const askedRow = (question, number) =>
  rowWith([`${number + 1}`, lens(practice, question.clicks), saidIn(question), askedWith(question)]);

function log() {
  at("before").hidden = state.asked.length > 0;
  at("log").hidden = state.asked.length === 0;
  at("before").replaceChildren(ruleInWords());
  rowsOf("log").replaceChildren(...state.asked.map(askedRow).reverse());
}

/** What the page says of the next step: by itself in the first levels, later on asking. */
function hintNow() {
  return level().guide === "told" ? nextStep(practice, heldAgainst(practice, level(), state.asked)) : state.hint;
}

function talk() {
  const last = state.asked.at(-1);
  say("answer", last ? `“${saidAs(practice, level(), last, practice.answers, practice.bySide)}”` : "Set a lens, then ask.");
  at("answer").classList.toggle("said", last !== undefined);
  say("hint", state.done === null ? hintNow() : "");
  say("power", lens(practice, state.clicks));
  say("covered", state.peek ? "" : "Hidden, as in a real examination");
  say("view-says", state.peek ? "What the patient sees, enlarged, as a model computes it" : "What the patient sees");
  at("notice").hidden = state.unknown.length === 0;
  say("notice", state.unknown.length === 0 ? "" : unknownInWords(state.unknown));
}

function help() {
  const shut = element("button", "Close");
  shut.type = "button";
  shut.dataset.act = "leave";
  const { seizures, supervision, notApproved } = practice.page.said;
  at("help").replaceChildren(shut, element("h2", `The rule: ${level().title.toLowerCase()}`), ruleInWords(),
    element("h2", "Keys"), keyList(), element("p", seizures),
    element("p", `${practice.calmAndClosed} Its chart is not for examination.`),
    element("p", `${supervision} ${notApproved}`));
}

/** Which buttons are pressed, and which can do anything in this level. */
function buttons() {
  for (const [id, on] of /** @type {[string, boolean][]} */ ([["fog", state.fog], ["larger", state.larger], ["peek", state.peek]])) {
    at(id).setAttribute("aria-pressed", `${on}`);
  }
  const { onWhite } = ruleOf(practice, level());
  for (const id of ["swap", "fog", "unequal"]) at(id).hidden = onWhite;
  at("help-me").hidden = level().guide !== "asked";
  const words = `Level ${state.level + 1} of ${practice.levels.length}: ${level().title}`;
  at("where").replaceChildren(words, element("span", "all levels"));
}

/** Which parts of the page are seen. */
function parts() {
  if (document.activeElement !== numberField) numberField.value = `${state.number}`;
  at("run").hidden = state.done !== null || state.course;
  at("result").hidden = state.done === null || state.course;
  at("course").hidden = !state.course;
  at("help").hidden = !state.help;
  at("view").hidden = !state.peek;
  at("seen").classList.toggle("open", state.peek);
}

/** Shows what is set. */
export function render() {
  buttons();
  parts();
  if (state.help) help();
  brief();
  log();
  talk();
  if (state.done !== null) return;
  paintChart();
  paintEye();
}
