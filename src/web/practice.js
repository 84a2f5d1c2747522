// What the learner sees and does. Fields and views are pictures from Rust; nothing here knows optics.

const byId = (id) => document.getElementById(id);

const state = {
  level: 0, number: 1, clicks: 0, redLeft: true, draw: 0, larger: false, fog: false, peek: false, help: false,
  asked: [], hints: 0, peeks: 0, hint: "", done: null, changed: -Infinity, viewed: -Infinity, unknown: [],
};

const level = () => practice.levels[state.level];
const patient = () => level().patients[state.number - 1];

/* Pictures */

const loaded = new Map();
const latest = new WeakMap();

/** A picture from the table; decoded once. */
function load(data) {
  if (!loaded.has(data)) {
    const image = new Image();
    image.src = `data:image/png;base64,${data}`;
    loaded.set(data, image.decode().then(() => image));
  }
  return loaded.get(data);
}

/** Both fields on a canvas, each with its picture in the middle, all at once when both are there. */
async function paint(canvas, pictures, redLeft, dimmer) {
  latest.set(canvas, pictures);
  const images = await Promise.all(pictures.map(load));
  if (latest.get(canvas) !== pictures) return;
  const context = canvas.getContext("2d", { alpha: false, willReadFrequently: true });
  const seam = Math.floor(canvas.width / 2);
  images.forEach((image, field) => {
    const start = (field === 0) === redLeft ? 0 : seam;
    context.fillStyle = `rgb(${practice.paints[field]})`;
    context.fillRect(start, 0, seam, canvas.height);
    context.drawImage(image, start + Math.round((seam - image.width) / 2), Math.round((canvas.height - image.height) / 2));
    if (field === dimmer) dimField(context, start, seam, canvas.height, field);
  });
}

/** A field with less light, by Rust's table of codes. */
function dimField(context, start, width, height, field) {
  const part = context.getImageData(start, 0, width, height);
  for (let pixel = field; pixel < part.data.length; pixel += 4) part.data[pixel] = practice.dim[field][part.data[pixel]];
  context.putImageData(part, start, 0);
}

function paintChart() {
  const { red, green } = practice.charts[state.larger ? 1 : 0];
  paint(byId("chart"), [red[state.draw % 2], green[state.draw % 2]], state.redLeft, patient().dimmer);
  const sides = state.redLeft ? "red left, green right" : "green left, red right";
  byId("chart").setAttribute("aria-label", `chart: ${sides}, letters ${practice.line[state.larger ? 1 : 0]}`);
  byId("chart-says").textContent = `The chart: ${sides}, letters ${practice.line[state.larger ? 1 : 0]}`;
}

/** What a patient sees at a lens error: the picture whose lens error is nearest to what accommodation leaves. */
function paintView(canvas, ofLevel, ofPatient, lensError, redLeft, fromPlus = true) {
  const seen = left(ofLevel, lensError, fromPlus);
  const views = sightOf(ofLevel).views;
  const off = (view) => Math.abs(view.at - seen);
  const nearest = views.reduce((best, view) => (off(view) < off(best) ? view : best));
  return paint(canvas, [nearest.red, nearest.green], redLeft, ofPatient.dimmer);
}

/** The patient's view, at most once in the calm time; a later wish waits for its turn. */
function paintEye() {
  clearTimeout(state.waiting);
  if (!state.peek) return;
  const wait = CALM_MS - (performance.now() - state.viewed);
  if (wait > 0) {
    state.waiting = setTimeout(paintEye, wait);
    return;
  }
  state.viewed = performance.now();
  paintView(byId("view"), level(), patient(), patient().start + state.clicks * practice.click, state.redLeft, fromPlus());
}

/* What stands on the page */

/** Whether the eye meets this lens coming down from plus. */
const fromPlus = () => state.fog || (state.asked.length > 0 && state.asked.at(-1).clicks > state.clicks);

function brief() {
  const { kind, words } = level(), { pupil } = sightOf(level());
  byId("brief").replaceChildren(element("b", words), element("span", `Eye: ${kind}, pupil ${pupil}`));
}

function ruleWords() {
  const { procedure, endPoint } = ruleOf(level());
  const { question, noDifference, beforeAsking } = practice.said;
  return [["Procedure", procedure], ["Which lens stays in", endPoint], ["Before you ask", beforeAsking], ["The question", `“${question} ${noDifference}”`]];
}

function definitions(list) {
  const made = element("dl", "");
  for (const [term, words] of list) made.append(element("dt", term), element("dd", words));
  return made;
}

function log() {
  byId("before").hidden = state.asked.length > 0;
  byId("log").hidden = state.asked.length === 0;
  byId("before").replaceChildren(definitions(ruleWords()));
  byId("log").tBodies[0].replaceChildren(...state.asked.map((question, number) => {
    const row = element("tr", "");
    const how = [question.redLeft ? "red left" : "red right", question.fog ? "fog first" : "", question.larger ? "larger letters" : ""];
    row.append(element("td", `${number + 1}`), element("td", lens(question.clicks)),
      element("td", practice.short[question.answer]), element("td", how.filter(Boolean).join(", ")));
    return row;
  }).reverse());
}

function say(id, words) {
  if (byId(id).textContent !== words) byId(id).textContent = words;
}

function words() {
  const last = state.asked.at(-1);
  say("answer", last ? `“${practice.answers[last.answer]}”` : "The manifest refraction is in place. Set a lens, then ask.");
  byId("answer").classList.toggle("said", last !== undefined);
  say("hint", state.hint);
  say("power", lens(state.clicks));
  say("covered", state.peek ? "" : "Hidden, as in a real examination");
  say("view-says", state.peek ? "What the patient sees, enlarged, as a model computes it" : "What the patient sees");
  byId("notice").hidden = state.unknown.length === 0;
  say("notice", state.unknown.length === 0 ? "" : `The address has settings that this page does not know, so they are ignored: ${state.unknown.join(", ")}`);
}

function help() {
  const close = element("button", "Close");
  close.type = "button";
  close.dataset.act = "leave";
  const { seizures, supervision, notApproved } = practice.said;
  byId("help").replaceChildren(close, element("h2", `The rule: ${level().title.toLowerCase()}`), definitions(ruleWords()),
    element("h2", "Keys"), keyList(practice.keys), element("p", seizures),
    element("p", "Sides and pictures change at most once in 0.7 s. The page stores nothing and uses no network. Its chart is not for examination."),
    element("p", `${supervision} ${notApproved}`));
}

function render() {
  document.querySelectorAll("#levels button").forEach((button, index) => {
    button.setAttribute("aria-pressed", index === state.level);
  });
  if (document.activeElement !== byId("patient")) byId("patient").value = state.number;
  for (const [id, on] of [["fog", state.fog], ["larger", state.larger], ["peek", state.peek]]) {
    byId(id).setAttribute("aria-pressed", on);
  }
  byId("run").hidden = state.done !== null;
  byId("result").hidden = state.done === null;
  byId("help").hidden = !state.help;
  if (state.help) help();
  byId("view").hidden = !state.peek;
  brief();
  log();
  words();
  if (state.done === null) {
    paintChart();
    paintEye();
  }
}

/* What the learner does */

/** Whether fields, sides and pictures may change now. */
function calm() {
  const now = performance.now();
  if (now - state.changed < CALM_MS) return false;
  state.changed = now;
  return true;
}

/** Sits a patient down with the manifest in place. */
function open(toLevel, toNumber) {
  const most = practice.levels[toLevel].patients.length;
  if (!calm()) return;
  Object.assign(state, {
    level: toLevel, number: ((toNumber - 1 + most) % most) + 1, clicks: 0, redLeft: true, draw: 0, larger: false, fog: false,
    peek: false, help: false, asked: [], hints: 0, peeks: 0, hint: "", done: null, viewed: -Infinity,
  });
  const address = `#patient=${state.number}&level=${level().name}`;
  if (location.hash !== address) history.replaceState(null, "", address);
}

function turn(by) {
  // How far a lens may go from the manifest; the rule stays well within.
  state.clicks = Math.max(-practice.mostMoved / 2, Math.min(practice.mostMoved / 2, state.clicks + by));
  state.hint = "";
}

function ask() {
  const question = {
    number: state.asked.length, clicks: state.clicks, fromPlus: fromPlus(), larger: state.larger,
    redLeft: state.redLeft, fog: state.fog,
  };
  state.asked.push({ ...question, answer: answerOf(level(), patient(), question) });
  Object.assign(state, { larger: false, fog: false, hint: "" });
}

function swap() {
  if (!calm()) return;
  state.redLeft = !state.redLeft;
  state.draw += 1;
  state.viewed = -Infinity;
}

function peek() {
  if (!calm()) return;
  state.peek = !state.peek;
  state.peeks += state.peek ? 1 : 0;
  state.viewed = -Infinity;
}

function hint() {
  state.hints += 1;
  state.hint = nextStep(heldAgainst(level(), state.asked));
}

function finish(how) {
  if (!calm()) return;
  state.done = how;
  showResult(level(), patient(), state);
  byId("model").textContent = "These results come from a model whose numbers are mostly assumed. They are no evidence about real eyes.";
}

const during = (action) => () => { if (state.done === null && !state.help) action(); };

/** Asks, or after the run goes on to the next patient. */
function take() {
  if (state.help) return;
  if (state.done === null) ask();
  else open(state.level, state.number + 1);
}

/** What each act of the table does. */
const ACTS = {
  more: during(() => turn(1)),
  less: during(() => turn(-1)),
  take,
  swap_sides: during(swap),
  fog: during(() => { state.fog = !state.fog; }),
  larger: during(() => { state.larger = !state.larger; }),
  view: during(peek),
  hint: during(hint),
  done: during(() => finish("lens")),
  undecided: during(() => finish("undecided")),
  unequal: during(() => finish("unequal")),
  again: () => open(state.level, state.number),
  next: () => open(state.level, state.number + 1),
  before: () => open(state.level, state.number - 1),
  numbered: (number) => { if (practice.levels[number - 1]) open(number - 1, state.number); },
  help: () => { state.help = !state.help; },
  leave: () => { state.help = false; },
};

/** Does an act of the table; a number comes with that of a level. */
function perform(act, number) {
  const before = state.done;
  ACTS[act](number);
  render();
  if (state.help) byId("help").focus();
  else if (state.done !== before && state.done !== null) {
    byId("result").focus({ preventScroll: true });
    scrollTo(0, 0);
  }
}

/** While help lies over the page only these do anything, and other keys scroll it. */
const IN_HELP = ["help", "leave"];

addEventListener("keydown", (event) => {
  // What a held key repeats does nothing, on a button neither; but it scrolls the help.
  if (event.repeat && !state.help) event.preventDefault();
  if (event.repeat || event.ctrlKey || event.metaKey || event.altKey) return;
  if (event.target === byId("patient") && event.key !== "Escape") return;
  const onButton = event.target instanceof HTMLButtonElement && (event.key === "Enter" || event.key === " ");
  const found = keyed(practice.keys, event.key);
  if (onButton || !found || (state.help && !IN_HELP.includes(found.act))) return;
  perform(found.act, Number(event.key));
  event.preventDefault();
});

addEventListener("click", (event) => {
  const button = event.target.closest?.("button");
  if (!button) return;
  perform(button.dataset.act, Number(button.dataset.number));
  // After a pointer the keys go on meaning what they mean.
  if (event.detail > 0 && document.activeElement === button) button.blur();
});

/** Writes its key on a button: as its whole text where it has none, and beside words. */
function inscribe(button) {
  const shown = keyOf(practice.keys, button.dataset.act);
  if (button.textContent === "") button.textContent = shown;
  else if (!button.hasAttribute("aria-label")) button.append(element("kbd", shown));
}

document.querySelectorAll("button[data-act]").forEach(inscribe);

byId("patient").addEventListener("change", () => {
  const number = Math.round(Number(byId("patient").value));
  if (number >= 1 && number <= level().patients.length) open(state.level, number);
  byId("patient").blur();
  render();
});

/** `#patient=7&level=noisy` opens that patient. */
function preset() {
  state.unknown = [];
  let toLevel = state.level, toNumber = state.number;
  for (const [key, value] of new URLSearchParams(location.hash.slice(1))) {
    const index = practice.levels.findIndex((one) => one.name === value);
    const number = Number(value);
    if (key === "level" && index >= 0) toLevel = index;
    else if (key === "patient" && Number.isInteger(number) && number >= 1 && number <= level().patients.length) toNumber = number;
    else state.unknown.push(`${key}=${value}`);
  }
  return [toLevel, toNumber];
}

addEventListener("hashchange", () => {
  open(...preset());
  render();
});

byId("levels").append(...practice.levels.map(({ title }, index) => {
  const button = element("button", title);
  button.type = "button";
  button.dataset.act = "numbered";
  button.dataset.number = index + 1;
  return button;
}));
byId("patient").max = level().patients.length;
document.querySelector("footer").textContent =
  `Simulated patients, class ${practice.seed}, on the screen of ${practice.room}. Not for examination. ${practice.said.notApproved} ${practice.said.supervision}`;
open(...preset());
render();
