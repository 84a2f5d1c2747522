// What the learner does.
import { at, calm, element, isForBrowser, keyed, keyOf } from "./page.js";
import { keep, showCourse, showRead, showSheet, takeUp, typedField } from "./practice/course.js";
import { answerOf, between, hasPatient, heldAgainst, patientNumber, preset, ruleOf } from "./practice/model.js";
import { fromPlusNow, level, patient, viewed } from "./practice/pictures.js";
import { countRun, showResult } from "./practice/result.js";
import { numberField, render } from "./practice/show.js";
import { isCovered, newRun, state } from "./practice/state.js";
import { practice } from "./practice/table.js";
import { nextStep } from "./practice/verdict.js";

/** @import { Done } from "./practice/state.js" */

/** Changes of sides, pictures and patients. */
const changes = calm();

/** Sits a patient down with the manifest in place. @param {number} toLevel @param {number} toNumber */
function seat(toLevel, toNumber) {
  if (!changes.take()) return;
  Object.assign(state, newRun(), { level: toLevel, number: patientNumber(practice.levels[toLevel], toNumber) });
  viewed.forget();
  const address = `#patient=${state.number}&level=${level().name}`;
  if (location.hash !== address) history.replaceState(null, "", address);
}

/** @param {number} by */
function turn(by) {
  state.clicks = between(-practice.mostClicks, state.clicks + by, practice.mostClicks);
  state.hint = "";
}

function ask() {
  const { clicks, larger, redLeft, fog } = state;
  const question = { number: state.asked.length, clicks, fromPlus: fromPlusNow(), larger, redLeft, fog };
  state.asked.push({ ...question, answer: answerOf(practice, level(), patient(), question) });
  Object.assign(state, { larger: false, fog: false, hint: "" });
  // On white a line is soon known by heart.
  if (ruleOf(practice, level()).onWhite) state.draw += 1;
}

function swap() {
  if (ruleOf(practice, level()).onWhite || !changes.take()) return;
  state.redLeft = !state.redLeft;
  state.draw += 1;
  viewed.forget();
}

function peek() {
  if (!changes.take()) return;
  state.peek = !state.peek;
  state.peeks += state.peek ? 1 : 0;
  if (state.peek) at("seen").scrollIntoView({ block: "nearest" });
  viewed.forget();
}

function hint() {
  if (level().guide !== "asked") {
    state.hint = level().guide === "after" ? level().guideWords : "";
    return;
  }
  state.hints += 1;
  state.hint = nextStep(practice, heldAgainst(practice, level(), state.asked));
}

/** @param {Done} how */
function finish(how) {
  if (!changes.take()) return;
  state.done = how;
  at("counted").textContent = countRun();
  keep();
  showResult();
}

function forget() {
  state.progress = {};
  keep();
}

/** @param {() => void} action */
const during = (action) => () => { if (state.done === null && !isCovered()) action(); };

/** Asks, or after the run goes on to the next patient. */
function take() {
  if (isCovered()) return;
  if (state.done === null) ask();
  else seat(state.level, state.number + 1);
}

/**
 * What each act of the table does; a number comes with that of a level.
 * @type {Record<string, (number: number) => void>}
 */
const ACTS = {
  more: during(() => turn(1)),
  less: during(() => turn(-1)),
  take,
  swap_sides: during(swap),
  fog: during(() => { state.fog = !state.fog && !ruleOf(practice, level()).onWhite; }),
  larger: during(() => { state.larger = !state.larger; }),
  view: during(peek),
  hint: during(hint),
  done: during(() => finish("lens")),
  undecided: during(() => finish("undecided")),
  unequal: during(() => finish("unequal")),
  again: () => seat(state.level, state.number),
  next: () => seat(state.level, state.number + 1),
  before: () => seat(state.level, state.number - 1),
  numbered: (number) => { if (practice.levels[number - 1]) seat(number - 1, state.number); },
  help: () => { state.help = !state.help; },
  leave: () => { Object.assign(state, state.help ? { help: false } : { course: false }); },
};

/** What only buttons do. @type {Record<string, () => void>} */
const BY_BUTTON = {
  course: () => { state.course = !state.course; },
  forget,
  print: () => { window.print(); },
};

/** Does an act of the table. @param {string} act @param {number} number */
function perform(act, number) {
  const before = { ...state };
  (ACTS[act] ?? BY_BUTTON[act])(number);
  if (state.course) showCourse();
  render();
  if (state.done !== null || state.course) showSheet();
  const opened = state.help && !before.help ? "help"
    : state.course && !before.course ? "course" : state.done !== null && before.done === null ? "result" : null;
  if (opened === null) return;
  at(opened).focus({ preventScroll: true });
  if (opened !== "help") scrollTo(0, 0);
}

/** While something lies over the page only these do anything, and other keys scroll it. */
const covered = () => (state.help ? ["help", "leave"] : ["help", "leave", "numbered"]);

/** Whether the element that has the focus takes this key for itself. @param {KeyboardEvent} pressed */
function isTaken({ target, key }) {
  if (target === numberField || target === typedField) return keyed(key)?.act !== "leave";
  return target instanceof HTMLButtonElement && (key === "Enter" || key === " ");
}

addEventListener("keydown", (pressed) => {
  // What a held key repeats does nothing, on a button neither; but it scrolls the help.
  if (pressed.repeat && !isCovered()) pressed.preventDefault();
  if (pressed.repeat || isForBrowser(pressed) || isTaken(pressed)) return;
  const found = keyed(pressed.key);
  if (!found || (isCovered() && !covered().includes(found.act))) return;
  perform(found.act, Number(pressed.key));
  pressed.preventDefault();
});

addEventListener("click", (pointed) => {
  const button = pointed.target instanceof Element ? pointed.target.closest("button") : null;
  if (button?.dataset.act === undefined) return;
  perform(button.dataset.act, Number(button.dataset.number));
  // After a pointer the keys go on meaning what they mean.
  if (pointed.detail > 0 && document.activeElement === button) button.blur();
});

typedField.addEventListener("input", showRead);
addEventListener("beforeprint", showSheet);

numberField.addEventListener("change", () => {
  const number = Math.round(Number(numberField.value));
  if (hasPatient(level(), number)) seat(state.level, number);
  numberField.blur();
  render();
});

/** Opens the patient that the address asks for. */
function seatAsAsked() {
  const asked = preset(practice, location.hash, state);
  state.unknown = asked.unknown;
  seat(asked.level, asked.number);
  render();
}

addEventListener("hashchange", seatAsAsked);

/** Writes its key on a button: as its whole text where it has none, and beside words. @param {HTMLButtonElement} button */
function inscribe(button) {
  const shown = keyOf(button.dataset.act ?? "");
  if (button.textContent === "") button.textContent = shown;
  else if (shown !== "" && !button.hasAttribute("aria-label")) button.append(element("kbd", shown));
}

/** What of the page never changes. */
function furnish() {
  /** @type {NodeListOf<HTMLButtonElement>} */
  (document.querySelectorAll("button[data-act]")).forEach(inscribe);
  numberField.max = `${level().patients.length}`;
  at("model").textContent = "These results come from a model whose numbers are mostly assumed. They are no evidence about real eyes.";
  const { notApproved, supervision } = practice.page.said;
  at("class").textContent =
    `Simulated patients, class ${practice.class}, on the screen of ${practice.room}. Not for examination. ${notApproved} ${supervision}`;
}

furnish();
takeUp();
seatAsAsked();
