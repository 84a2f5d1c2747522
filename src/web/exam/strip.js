// What stands beside the chart: the examiner's strip, notices, the card's outline and help.
import { at, canvasAt, element, keyList, keyOf, say, sidesInWords, unknownInWords } from "../page.js";
import { draw, fits, picture, place, ratio, screenPixels, windowPixels } from "./chart.js";
import { countOf, cutOff, rowOf, targetOf, thresholdAfter } from "./layout.js";
import { state } from "./state.js";
import { room } from "./table.js";

const { said } = room.page;

/** Why there is no chart; nothing where there is one. */
function reason() {
  if (fits()) return "";
  const [width, height] = screenPixels();
  return `This page is for a screen of ${room.pixels.join(" × ")} pixels; the browser sees ${width} × ${height}.\n`
    + `Zoom to 100 % (Ctrl and 0). If this is another screen, make a page for it, or press ${keyOf("card")} and measure it with a bank card.`;
}

function notices() {
  const told = [];
  if (cutOff(windowPixels(), picture())) {
    told.push(`Not full screen: the letters keep their size, but the picture is cut off. Press ${keyOf("full_screen")} for full screen`);
  }
  if (matchMedia("(color-gamut: p3)").matches) {
    told.push(`Wide-gamut screen: the browser may change colours. Measure the patches of this page (${keyOf("patches")}) with a meter`);
  }
  if (state.unknown.length > 0) told.push(unknownInWords(state.unknown));
  if (state.measured) told.push("Size measured with your card, colours of another screen: brightness is not matched");
  return told;
}

/** Where the colours lie; marked where that is not as the page opened. */
function sides() {
  if (countOf(room, state) === 1) return element("span", state.fields);
  return element(state.redLeft === room.redLeft ? "span" : "b", `${sidesInWords(state.redLeft)}, as the patient sees it`);
}

/** The letters that are shown. */
function lettersInWords() {
  const row = rowOf(room, state).slice(0, place()?.count ?? 0).map((index) => room.letters[index].name);
  return state.one === null ? row.join(" ") : row[state.one % row.length];
}

/** What is shown, in a line. */
function shownNow() {
  if (!fits() || place() === null) return element("p", "No chart is shown.", "now");
  const line = room.lines[state.line];
  const known = state.threshold ?? thresholdAfter(room, null, 0), named = room.lines[known].name;
  const threshold = state.threshold === null ? ` for who reads ${named}: set the threshold with ${keyOf("threshold_larger")} ${keyOf("threshold_smaller")}`
    : ` · threshold ${named}`;
  const made = element("p", "", "now");
  made.append(element("b", `${line.name}${line.coarse ? " (coarse)" : ""}`), element("span", lettersInWords()), sides(),
    element("span", `target ${room.lines[targetOf(room, state.threshold)].name}${threshold}`),
    element("span", `${keyOf("help")} help`, "quiet"));
  return made;
}

function strip() {
  const { question, beforeAsking, supervision, notApproved } = said;
  const asked = countOf(room, state) === 1 ? [element("p", room.acuity)]
    : [element("p", beforeAsking), element("p", `“${question}”`, "question"), element("p", room.rule),
      ...room.doubt === null || state.measured ? [] : [element("p", room.doubt, "doubt")]];
  at("strip").replaceChildren(shownNow(), ...asked, element("p", `${supervision} ${notApproved}`, "quiet"));
  at("strip").hidden = !state.strip || state.dark;
  at("strip").classList.toggle("turned", state.turned);
}

/** For each kind of eye the first lens, and what each answer asks for next. */
function firstSteps() {
  const steps = element("table"), head = steps.createTHead().insertRow(), body = steps.createTBody();
  const heads = ["Eye: procedure", "First lens", ...room.answers.map((answer) => `Answer: ${answer}`)];
  head.append(...heads.map((words) => element("th", words)));
  for (const { eyes, procedure, first, next } of room.firstSteps) {
    body.insertRow().append(...[`${eyes}: ${procedure}`, first, ...next].map((words) => element("td", words)));
  }
  return steps;
}

/** @param {string} title @param {string[]} words */
function section(title, words) {
  const made = element("div");
  made.append(element("h2", title), ...words.map((text) => element("p", text)));
  return made;
}

/** Writes the help, once. */
export function writeHelp() {
  const { question, bySide, noDifference, beforeAsking, seizures, supervision, notApproved } = said;
  const words = element("div", "", "words"), [forRoom, ...notes] = room.notes;
  words.append(
    section("The question", [beforeAsking, `“${question} ${noDifference}”`, `With a colour vision defect: “${bySide} ${noDifference}”`, forRoom]),
    section("Cautions", [seizures, ...notes, `${supervision} ${notApproved}`]),
  );
  const after = element("h2", "After the first question");
  after.append(element("span", room.stepsHoldFor));
  at("help").replaceChildren(element("h2", "Keys"), keyList(), after, firstSteps(), words);
}

/** The outline that a bank card is held to. */
function card() {
  const box = at("card");
  box.hidden = state.card === null;
  if (state.card === null) return;
  box.textContent = `Hold a bank card here. Press ${keyOf("more")} and ${keyOf("less")} until it fits, ${keyOf("take")} to keep the size, ${keyOf("leave")} to leave.`;
  const { size: [width, height], corner } = room.card, pixelsAMm = state.card / ratio() / width;
  box.style.width = `${width * pixelsAMm}px`;
  box.style.height = `${height * pixelsAMm}px`;
  box.style.borderRadius = `${corner * pixelsAMm}px`;
}

/** Words in an element that is hidden where there are none. @param {string} id @param {string} words */
function sayOrHide(id, words) {
  at(id).hidden = words === "";
  say(id, words);
}

/** What the chart shows, for readers of screens. */
function chartInWords() {
  if (state.dark) return "dark";
  if (state.patch !== null) return room.patches[state.patch].name;
  return `${room.lines[state.line].name}, ${state.fields}`;
}

/** What is said of a patch that is shown, for who holds the meter. */
function patchInWords() {
  if (state.patch === null || state.dark || state.card !== null || !fits()) return "";
  const patch = room.patches[state.patch];
  // Of another screen's light nothing is known.
  return `${patch.name}: ${state.measured ? patch.says : `${patch.says}; ${patch.expected}`}`;
}

/** Shows what is set. */
export function render() {
  draw();
  const why = state.card === null ? reason() : "";
  sayOrHide("reason", why);
  sayOrHide("notice", (why === "" && state.card === null && !state.dark ? notices() : []).join(" · "));
  strip();
  sayOrHide("patch", patchInWords());
  at("help").hidden = !state.help;
  card();
  canvasAt("chart").setAttribute("aria-label", chartInWords());
  say("spoken", chartInWords());
}
