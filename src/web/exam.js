// What the examiner does. A picture of this page is what Rust's table says: sizes, places, codes and words come from there.
import { at, calm, isForBrowser, keyed, later, never } from "./page.js";
import { picture, screenPixels } from "./exam/chart.js";
import { measuredBy, outlineOf, patchAfter, preset, stepped, targetOf, thresholdAfter, widened } from "./exam/layout.js";
import { state } from "./exam/state.js";
import { render, writeHelp } from "./exam/strip.js";
import { room } from "./exam/table.js";

/** For how long the pointer is seen after it was moved, in milliseconds. */
const POINTER_MS = 2000;

/** Changes of fields, sides and the dark. */
const changes = calm();

/** @param {number} by */
function step(by) {
  state.line = stepped(room, state.line, by, picture());
}

function toTarget() {
  state.line = targetOf(room, state.threshold);
}

/** @param {number} by */
function threshold(by) {
  state.threshold = thresholdAfter(room, state.threshold, by);
  toTarget();
}

/** @param {string | undefined} fields */
function show(fields) {
  if (fields === undefined || fields === state.fields || !changes.take()) return;
  state.fields = fields;
  state.patch = null;
}

/** @param {number} by */
function widen(by) {
  if (state.card !== null) state.card = widened(state.card, by);
}

function keepSize() {
  if (state.card === null) return;
  Object.assign(state, measuredBy(room, state.card, screenPixels()), { card: null });
  step(0);
}

function leave() {
  if (state.help) state.help = false;
  else if (state.card !== null) state.card = null;
  else if (state.patch !== null && changes.take()) state.patch = null;
}

function fullScreen() {
  const done = document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen();
  done.catch(() => {});
}

/**
 * What each act of the table does; a number comes with that of its key.
 * @type {Record<string, (number: number) => void>}
 */
const ACTS = {
  next: () => step(1),
  before: () => step(-1),
  smaller: () => step(1),
  larger: () => step(-1),
  target: toTarget,
  threshold_smaller: () => threshold(1),
  threshold_larger: () => threshold(-1),
  numbered: (number) => show(room.fields[number - 1]),
  swap_sides: () => { if (changes.take()) state.redLeft = !state.redLeft; },
  new_letters: () => { state.draw += 1; },
  one_letter: () => { state.one = state.one === null ? 0 : state.one + 1; },
  whole_line: () => { state.one = null; },
  dark: () => { if (changes.take()) state.dark = !state.dark; },
  strip: () => { state.strip = !state.strip; },
  turn_strip: () => { state.turned = !state.turned; },
  full_screen: fullScreen,
  patches: () => { if (changes.take()) state.patch = patchAfter(room, state.patch); },
  card: () => { state.card = outlineOf(room); },
  more: () => widen(1),
  less: () => widen(-1),
  take: keepSize,
  help: () => { state.help = !state.help; },
  leave,
};

/** In the dark only these do anything, so that nothing bright is one step away but what was there. */
const IN_THE_DARK = ["dark", "strip", "help", "leave"];
/** While help lies over the chart only these do, and other keys scroll it. */
const IN_HELP = ["full_screen", "help", "leave"];

/** @param {string} act */
const isAllowed = (act) => (!state.dark || IN_THE_DARK.includes(act)) && (!state.help || IN_HELP.includes(act));

addEventListener("keydown", (pressed) => {
  const found = keyed(pressed.key);
  if (isForBrowser(pressed) || !found || !isAllowed(found.act)) return;
  pressed.preventDefault();
  // What a held key repeats does nothing.
  if (pressed.repeat) return;
  ACTS[found.act](Number(pressed.key));
  render();
  if (state.help) at("help").focus();
});

addEventListener("resize", render);

/** @type {ReturnType<typeof later> | undefined} */
let hiding;

addEventListener("mousemove", () => {
  document.body.style.cursor = "default";
  never(hiding);
  hiding = later(POINTER_MS, () => { document.body.style.cursor = "none"; });
});

Object.assign(state, preset(room, location.hash));
writeHelp();
render();
