// The list of levels, the score with its code, a code to check, and the sheet that is printed.
import { at, element } from "../page.js";
import { readCode, written } from "./code.js";
import { level } from "./pictures.js";
import { doneIn, progressIn, scoreInWords, scoreOf, suggested } from "./progress.js";
import { answerInAWord, judgedRun, ownInWords } from "./result.js";
import { askedWith } from "./show.js";
import { state } from "./state.js";
import { practice } from "./table.js";
import { helpForPrint, lens, remarkVerdict, remarkWords } from "./verdict.js";

/** @import { Level } from "./table.js" */
/** @import { Read } from "./code.js" */

/** By what the browser keeps the progress of this class. */
const KEPT_AS = `evenfield-practice-${practice.code.key}`;

/** Whether the browser keeps anything for this page: from a folder, or with private windows, some do not. */
let isKept = false;

/** Takes up what the browser kept. */
export function takeUp() {
  try {
    state.progress = progressIn(practice, localStorage.getItem(KEPT_AS));
    localStorage.setItem(KEPT_AS, JSON.stringify(state.progress));
    isKept = true;
  } catch {
    isKept = false;
  }
}

/** Keeps the progress where the browser lets it; else it lasts as long as the page. */
export function keep() {
  try {
    if (isKept) localStorage.setItem(KEPT_AS, JSON.stringify(state.progress));
  } catch {
    isKept = false;
  }
}

export const typedField = /** @type {HTMLInputElement} */ (at("typed"));

/** A level as a row of the list. @param {Level} one @param {number} place */
function levelRow(one, place) {
  const { passed, row } = doneIn(state.progress, one.name), isNext = suggested(practice, state.progress) === place;
  const made = element("li", "", [passed ? "passed" : "", isNext ? "next" : ""].filter(Boolean).join(" "));
  const button = element("button", `${place + 1} ${one.title}`), words = element("div");
  button.type = "button";
  Object.assign(button.dataset, { act: "numbered", number: place + 1 });
  if (place === state.level) button.setAttribute("aria-current", "true");
  words.append(element("p", one.teaches), element("p", one.passedWhen));
  const inARow = row > 0 ? `${row} of ${practice.inARow} in a row` : "";
  const now = [place === state.level ? "open now" : "", passed ? "✓ passed" : isNext ? "suggested next" : "", passed ? "" : inARow];
  made.append(button, words, element("p", now.filter(Boolean).join(", "), "state"));
  return made;
}

/** Shows levels and score as they are now. */
export function showCourse() {
  at("levels").replaceChildren(...practice.levels.map(levelRow));
  const score = scoreOf(practice, state.progress);
  at("score").textContent = scoreInWords(practice, score);
  at("code").textContent = written(practice.code, score);
  at("code-says").textContent = `The score as a code, for class ${practice.class}: read it out or hand it in. ${practice.code.noExamination}`;
  at("kept").textContent = isKept
    ? "Your progress is kept in this browser, for this class."
    : "This browser keeps nothing for the page: your progress is lost when you close it, so note the code.";
  at("check-says").textContent = `For teachers: type a code to see what it says. Any single wrong sign, and any two neighbours that changed places, is found. It holds for copies of class ${practice.class} in ${practice.room}.`;
  showRead();
}

/** What is said of a code that was typed. @param {Read} read */
function readInWords(read) {
  if (read.score) return `This code belongs to class ${practice.class}. ${scoreInWords(practice, read.score)}`;
  const { alphabet, scoreDigits, tagDigits } = practice.code;
  return {
    letter: `A typing error: codes never have “${read.letter}”. Their signs are ${alphabet}.`,
    length: `A code has ${scoreDigits + tagDigits + 1} signs; spaces and hyphens do not count.`,
    typing: "A typing error: a sign is wrong, or two changed places. Ask for the code again.",
    class: `This code does not belong to class ${practice.class} in this room: it was made by another copy of the page.`,
  }[read.wrong];
}

/** Reads the code in the field. */
export function showRead() {
  const { value } = typedField;
  at("read").textContent = value.trim() === "" ? "" : readInWords(readCode(practice.code, value));
}

/* The sheet */

/** @param {[string, string][]} pairs */
function listOf(pairs) {
  const list = element("dl");
  for (const [term, words] of pairs) if (words) list.append(element("dt", term), element("dd", words));
  return list;
}

/** @param {string[]} cells @param {"td" | "th"} tag */
function sheetRow(cells, tag) {
  const row = element("tr");
  row.append(...cells.map((words) => element(tag, words)));
  if (tag === "th") for (const cell of row.cells) cell.scope = "col";
  return row;
}

/** The questions with what the rule says of each. @param {ReturnType<typeof judgedRun>["held"]} held */
function sheetTable(held) {
  const made = element("table"), head = element("thead"), body = element("tbody");
  head.append(sheetRow(["No.", "Lens", "Answer", "Asked with", "The rule", "Verdict"], "th"));
  body.append(...state.asked.map((question, number) => {
    const remark = held.remarks[number];
    const cells = [`${number + 1}`, lens(practice, question.clicks), answerInAWord(question), askedWith(question)];
    return sheetRow([...cells, remarkWords(practice, remark), remarkVerdict(remark)], "td");
  }));
  made.append(head, body);
  made.setAttribute("aria-label", "Questions beside the rule");
  return made;
}

/** The run that was finished, as it is printed. */
function sheetOfRun() {
  if (state.done === null) return [];
  const { held, own, said } = judgedRun(), { title, passedWhen, guideWords } = level();
  return [
    listOf([
      ["Level", `${state.level + 1} of ${practice.levels.length}: ${title}, patient ${state.number}`],
      ["Left in", state.done === "lens" ? `${lens(practice, state.clicks)} over the manifest` : ""],
      ["Verdict", [said.lens, said.path, said.why].filter(Boolean).join(" ")],
      ["Hints", helpForPrint(level(), state)],
      ["Counts", at("counted").textContent ?? ""],
      ["This level", `${passedWhen} ${guideWords}`],
    ]),
    element("h3", "Question by question"),
    sheetTable(held),
    element("p", ownInWords(own)),
  ];
}

/** Writes the sheet; only a printer sees it. */
export function showSheet() {
  const { supervision, notApproved } = practice.page.said, score = scoreOf(practice, state.progress);
  const lines = element("div", "", "lines");
  lines.append(element("p", "Name"), element("p", "Date"));
  at("sheet").replaceChildren(
    element("h2", "Practising the red-green balance: result"), lines,
    listOf([["Class", `${practice.class}, ${practice.room}`]]), ...sheetOfRun(),
    element("h3", "All levels so far"), element("p", scoreInWords(practice, score)),
    element("p", written(practice.code, score), "code"),
    element("p", `${practice.code.noExamination} ${at("model").textContent} ${supervision} ${notApproved}`, "caution"),
  );
}
