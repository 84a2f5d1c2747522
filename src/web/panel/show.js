// What of a state stands on the panel.
import { at, element, keyed, say } from "../page.js";
import { showForm } from "./form.js";
import { panel } from "./table.js";
import { valueIn } from "./wishes.js";

/** @import { Ask, Choice, View } from "./table.js" */

/** What elements show that are filled as a whole. @type {Map<string, string>} */
const filled = new Map();

/**
 * Fills an element anew where what it shows has changed, so that what has the focus keeps it.
 * @template T
 * @param {string} id
 * @param {T} what
 * @param {(what: T) => HTMLElement[]} make
 */
function fill(id, what, make) {
  const text = JSON.stringify(what);
  if (filled.get(id) === text) return;
  filled.set(id, text);
  at(id).replaceChildren(...make(what));
}

/** Shows an element where there is something to show. @param {string} id @param {boolean} is */
function show(id, is) {
  at(id).hidden = !is;
}

/** @param {string} id @param {string | null | undefined} words */
function sayIfAny(id, words) {
  say(id, words ?? "");
  show(id, Boolean(words));
}

/** @param {View} view */
function head({ head: words, wall, undo, commands }) {
  say("head", words);
  say("wall-says", wall.sleepy ? `${wall.words} ${panel.words.sleepy}` : wall.words);
  at("wall").dataset.ready = `${wall.ready}`;
  sayIfAny("undo", undo);
  show("watching", !commands);
}

/** @param {View} view */
function lens({ lens: now }) {
  show("lens", now !== null);
  if (now === null) return;
  at("lens").classList.toggle("new", now.isNew);
  say("sphere", now.sphere);
  say("rest", now.rest);
  say("change", now.change);
  sayIfAny("first", now.first);
  sayIfAny("because", now.because);
}

/** @param {Ask["answers"]} answers */
function answerButtons(answers) {
  for (const { answer, words, more, field } of answers) {
    const button = /** @type {HTMLElement} */ (document.querySelector(`[data-answer="${answer}"]`));
    button.dataset.field = field ?? "";
    if (button.textContent !== words + more) button.replaceChildren(element("b", words), element("span", more, "quiet"));
  }
}

/** @param {View} view */
function ask({ ask: now }) {
  show("ask", now !== null);
  show("answers", now !== null && !now.covered && now.answers.length > 0);
  show("lens-in", now !== null && now.covered);
  show("pressed", Boolean(now?.pressed));
  if (now === null) return;
  say("line", now.line);
  say("letters", now.letters.join(" "));
  sayIfAny("question", now.question);
  say("keep", now.before);
  answerButtons(now.answers);
  fill("pressed", now.pressed, (words) => [element("p", words ?? ""), control("confirm", panel.words.confirm, "next")]);
}

/** A button that does something. @param {string} does @param {string} words @param {string} [classes] */
function control(does, words, classes) {
  const button = element("button", words, classes);
  button.type = "button";
  button.dataset.do = does;
  return button;
}

/** @param {string} called @param {number} place */
function letter(called, place) {
  const button = control("missed", called);
  button.dataset.value = `${place}`;
  return button;
}

/** @param {View} view */
function white({ white: now }) {
  show("white", now !== null);
  if (now === null) return;
  at("white").classList.toggle("looked-at", !now.counts);
  at("white").classList.toggle("goes-back", now.goesBack);
  at("white").classList.toggle("goes-on", now.goesOn);
  fill("read", now.letters.map((one) => one.name), (names) => names.map(letter));
  now.letters.forEach(({ missed }, place) => at("read").children[place].setAttribute("aria-pressed", `${missed}`));
  const { line, score, before } = now, { lineOnWall, readSoFar, readBefore } = panel.words;
  fill("scores", [[lineOnWall, line], [readSoFar, score], [readBefore, before]], (rows) => rows.map(pair));
}

/** A term and what is said of it. @param {string[]} row */
function pair([term, words]) {
  const made = element("div");
  made.append(element("dt", term), element("dd", words));
  return made;
}

/** @param {Choice} choice @param {number} place */
function choiceRow(choice, place) {
  const row = control(choice.do, "", choice.look), text = element("span");
  row.dataset.value = valueIn(choice);
  text.append(element("b", choice.words));
  if (choice.more) text.append(element("span", choice.more, "more"));
  const digit = `${place + 1}`, key = element("kbd", digit);
  key.ariaHidden = "true";
  // What is a number itself says its key.
  row.append(text, ...keyed(digit)?.act === "numbered" && choice.words !== digit ? [key] : []);
  return row;
}

/** Where balance lies. @param {View} view */
function estimate({ estimate: now, minds }) {
  show("estimate", now !== null || minds.length > 0);
  fill("estimate", { now, minds }, () => [
    ...now === null ? [] : [element("p", now.what)], ...minds.map((words) => element("p", words, "mind")),
    ...now === null ? [] : [element("p", now.basis, "quiet")],
  ]);
}

/** Where choices stand that stand elsewhere than most. @type {Record<string, string>} */
const PLACES = { last: "others", answer: "reads" };

/** @param {View} view */
function choices({ said, choices: now, keptAs, stage }) {
  show("said", said.length > 0);
  fill("said", said, (sentences) => sentences.map((sentence) => element("p", sentence)));
  // Numbers go on from those that come first to those below all else.
  const rows = now.map(choiceRow), placeOf = now.map(({ look }) => PLACES[look] ?? "choices");
  for (const id of ["choices", "others", "reads"]) {
    // A row is another one where its number is.
    const here = now.map((choice, place) => ({ choice, place })).filter(({ place }) => placeOf[place] === id);
    show(id, here.length > 0);
    fill(id, here, () => here.map(({ place }) => rows[place]));
  }
  show("record", stage === "closed" && keptAs !== null);
  /** @type {HTMLAnchorElement} */ (at("record-page")).href = `/records/${encodeURIComponent(keptAs ?? "")}`;
}

/** A heading and what stands under it; nothing where nothing does. @param {string} words @param {HTMLElement[]} under */
const group = (words, under) => under.length > 0 ? [element("h3", words), ...under] : [];

/** @param {View["earlier"]} rows */
function earlierList(rows) {
  const list = element("ol", "", "earlier");
  for (const { sphere, answer } of rows) {
    const row = element("li");
    row.append(element("span", sphere), " ", element("span", answer));
    list.append(row);
  }
  return rows.length > 0 ? [list] : [];
}

/** @param {{ what: string, basis: string }} caution */
function cautionRow({ what, basis }) {
  const row = element("p", what);
  row.append(" ", element("span", basis, "quiet"));
  return row;
}

/** @param {View} view */
function options(view) {
  for (const [does, on] of /** @type {[string, boolean][]} */ ([["dark-between", view.darkBetween], ["patient-buttons", view.patientButtons]])) {
    document.querySelector(`[data-do="${does}"]`)?.setAttribute("aria-pressed", `${on}`);
  }
  /** @type {HTMLSelectElement} */ (at("notation")).value = view.notation;
  const { cautions, earlier, facts, place, record, smallPrint } = view, { keepInMind, answersSoFar, about } = panel.words;
  const lines = [facts, place, record].filter(Boolean).map((words) => element("p", words));
  fill("facts", { cautions, earlier, facts, place, record, smallPrint }, () => [
    ...group(keepInMind, cautions.map(cautionRow)), ...group(answersSoFar, earlierList(earlier)), ...group(about, lines),
    ...smallPrint.map((words) => element("p", words, "quiet")),
  ]);
}

/** How the element that has the focus is found again. @param {Element | null} focused */
function signature(focused) {
  // What is chosen may change its value and keep its place, as the steps of a width do.
  const row = focused?.parentElement?.id === "choices" ? [...at("choices").children].indexOf(focused) : -1;
  if (row >= 0) return `#choices > :nth-child(${row + 1})`;
  const { answer, do: does, value } = focused instanceof HTMLElement ? focused.dataset : {};
  if (answer) return `[data-answer="${answer}"]`;
  return does ? `[data-do="${does}"]${value ? `[data-value="${CSS.escape(value)}"]` : ""}` : "";
}

/** Gives the focus back to what had it; at another stage, where that is gone, to the heading. @param {string} had @param {Element | null} focused */
function refocus(had, focused) {
  const isSeen = focused instanceof HTMLElement && focused.isConnected && focused.closest("[hidden]") === null;
  if (focused === null || focused === document.body || isSeen) return;
  const again = had ? document.querySelector(had) : null;
  const next = again instanceof HTMLElement && again.closest("[hidden]") === null ? again : at("head");
  next.focus({ preventScroll: true });
}

/** Shows a drawing of what to do, if there is one. @param {string | null} svg */
function drawing(svg) {
  show("drawing", svg !== null);
  const image = /** @type {HTMLImageElement} */ (at("drawing")), source = svg === null ? "" : `data:image/svg+xml,${encodeURIComponent(svg)}`;
  if (svg !== null && image.src !== source) image.src = source;
}

/** Shows a state. @param {View} view */
export function showView(view) {
  const focused = document.activeElement, had = signature(focused);
  const { stage, step, commands } = view, isNew = document.body.dataset.stage !== stage;
  Object.assign(document.body.dataset, { stage, state: step, commands });
  head(view);
  lens(view);
  ask(view);
  sayIfAny("stand-in", view.standIn);
  white(view);
  estimate(view);
  choices(view);
  showForm(view.form, view.formWish);
  drawing(view.picture);
  options(view);
  refocus(isNew ? "" : had, focused);
  if (isNew) scrollTo(0, 0);
}

/** Shows how to let another window in. @param {string} code @param {string} address */
export function showCode(code, address) {
  const { codeThere, addressThere } = panel.words;
  at("code").replaceChildren(element("p", addressThere, "quiet"), element("p", address, "address"),
    element("p", codeThere, "quiet"), element("p", code, "code"));
}
