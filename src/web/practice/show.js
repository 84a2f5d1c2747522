// What stands on the page while a patient is asked, and in its help.
import { at, element, keyList, say, unknownInWords } from "../page.js";
import { ruleOf, sightOf } from "./model.js";
import { level, paintChart, paintEye } from "./pictures.js";
import { rowsOf, rowWith } from "./result.js";
import { state } from "./state.js";
import { practice } from "./table.js";
import { lens } from "./verdict.js";

/** @import { Question } from "./model.js" */

export const numberField = /** @type {HTMLInputElement} */ (at("patient"));

function brief() {
  const { kind, words } = level(), { pupil } = sightOf(practice, level());
  at("brief").replaceChildren(element("b", words), element("span", `Eye: ${kind}, pupil ${pupil}`));
}

/** The rule of the level, and what is said with it. */
function ruleInWords() {
  const { procedure, endPoint } = ruleOf(practice, level());
  const { question, noDifference, beforeAsking } = practice.page.said;
  const list = [
    ["Procedure", procedure], ["Which lens stays in", endPoint],
    ["Before you ask", beforeAsking], ["The question", `“${question} ${noDifference}”`],
  ];
  const made = element("dl");
  for (const [term, words] of list) made.append(element("dt", term), element("dd", words));
  return made;
}

/** @param {Question} question @param {number} number */
function askedRow({ clicks, answer, redLeft, fog, larger }, number) {
  const [red] = practice.page.fieldNames, [onLeft, onRight] = practice.page.sideNames;
  const how = [`${red} ${redLeft ? onLeft : onRight}`, fog ? "fog first" : "", larger ? "larger letters" : ""];
  return rowWith([`${number + 1}`, lens(practice, clicks), practice.short[answer], how.filter(Boolean).join(", ")]);
}

function log() {
  at("before").hidden = state.asked.length > 0;
  at("log").hidden = state.asked.length === 0;
  at("before").replaceChildren(ruleInWords());
  rowsOf("log").replaceChildren(...state.asked.map(askedRow).reverse());
}

function talk() {
  const last = state.asked.at(-1);
  say("answer", last ? `“${practice.answers[last.answer]}”` : "The manifest refraction is in place. Set a lens, then ask.");
  at("answer").classList.toggle("said", last !== undefined);
  say("hint", state.hint);
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

/** Which buttons are pressed, and which parts of the page are seen. */
function controls() {
  document.querySelectorAll("#levels button").forEach((button, index) => {
    button.setAttribute("aria-pressed", `${index === state.level}`);
  });
  for (const [id, on] of /** @type {[string, boolean][]} */ ([["fog", state.fog], ["larger", state.larger], ["peek", state.peek]])) {
    at(id).setAttribute("aria-pressed", `${on}`);
  }
  if (document.activeElement !== numberField) numberField.value = `${state.number}`;
  at("run").hidden = state.done !== null;
  at("result").hidden = state.done === null;
  at("help").hidden = !state.help;
  at("view").hidden = !state.peek;
}

/** Shows what is set. */
export function render() {
  controls();
  if (state.help) help();
  brief();
  log();
  talk();
  if (state.done !== null) return;
  paintChart();
  paintEye();
}
