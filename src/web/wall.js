// The patient's screen. It draws what it is told, at the calm pace, and says what it has really drawn; where anything is not
// as it must be, it is dark and says why.
import { calm, canvasAt, isForBrowser, keyed, later, never, say, whenShown } from "./page.js";
import { connected } from "./socket.js";
import { codesOf, drawField, drawLetter } from "./exam/paint.js";
import { SAYS } from "./panel/wishes.js";
import { wall } from "./wall/table.js";

/** @import { Drawing, Picture } from "./wall/table.js" */

/** Maximum number of device pixels by which a window and a screen may differ from the room's. */
const NEAR_PX = 2;

const canvas = canvasAt("chart");
const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d", { alpha: false, willReadFrequently: true }));

/** What a patient sees changes at most once in the calm time. */
const changes = calm();

/** What is to be shown, and what is; a chart that was drawn stays on the canvas while the wall is dark. */
const state = {
  /** @type {Picture | null} */ wanted: null,
  /** @type {Picture | null} */ shown: null,
  lit: false, lost: true, replaced: false,
};

/** @type {ReturnType<typeof later> | undefined} */
let planned;
/** @type {{ released: boolean } | null} */
let lock = null;

const ratio = () => window.devicePixelRatio;
const screenPixels = () => [screen.width * ratio(), screen.height * ratio()].map(Math.round);
/** @param {number[]} one */
const isTheRooms = (one) => one.every((pixels, axis) => Math.abs(pixels - wall.pixels[axis]) <= NEAR_PX);
const fits = () => isTheRooms(screenPixels());
const isWhole = () => [innerWidth, innerHeight].every((pixels, axis) => pixels * ratio() >= wall.pixels[axis] - NEAR_PX);
const isSeen = () => document.visibilityState === "visible";

/** Why nothing may be shown; empty where something may. */
function reason() {
  if (state.replaced) return wall.words.replaced;
  if (state.lost) return wall.words.lost;
  if (!fits()) return wall.words.otherScreen;
  return isWhole() ? "" : wall.words.click;
}

/** @param {Drawing} chart */
function draw(chart) {
  [canvas.width, canvas.height] = wall.pixels;
  canvas.style.width = `${canvas.width / ratio()}px`;
  canvas.style.height = `${canvas.height / ratio()}px`;
  for (const field of chart.places) {
    drawField(context, wall, field);
    for (const placed of chart.letters) {
      const letter = wall.letters.findIndex(({ name: known }) => known === placed.name);
      drawLetter(context, wall, { letter, left: placed.left }, field, chart);
    }
  }
}

/** What stands on the wall now, as the canvas has it; null where it is dark. */
function shownNow() {
  const chart = state.shown?.chart;
  if (!chart || !state.lit) return null;
  return {
    line: chart.line, fields: chart.fields, red: chart.red, letters: chart.letters.map((letter) => letter.name),
    codes: chart.places.map((field) => codesOf(context, wall, field)), pixels: screenPixels(), whole: isWhole(),
  };
}

/** Tells what the wall shows, once that has reached the screen. */
function tell() {
  whenShown(() => {
    if (state.shown === null) return;
    send({
      said: {
        picture: state.shown.number, shown: shownNow(), whole: isWhole(), fits: fits(), visible: isSeen(),
        pixels: screenPixels(), awake: lock !== null && !lock.released,
      },
    });
  });
}

/** Brings the wall to what is wanted, at once or when the calm time has passed. */
function settle() {
  never(planned);
  const why = reason();
  say("said", why);
  const chart = state.wanted?.chart ?? null;
  const lit = why === "" && chart !== null;
  // The dark comes at once; what is lit waits.
  if (!lit) show(false, state.wanted);
  else if (state.lit && state.shown?.number === state.wanted?.number) tell();
  else if (changes.take()) show(true, state.wanted);
  else planned = later(changes.wait(), settle);
}

/** @param {boolean} lit @param {Picture | null} picture */
function show(lit, picture) {
  if (lit && picture?.chart) draw(picture.chart);
  // From light to dark is a change as well, so that light does not come back too soon.
  if (state.lit && !lit) changes.take();
  state.shown = picture;
  state.lit = lit;
  canvas.hidden = !lit;
  canvas.setAttribute("aria-label", lit && picture?.chart ? `${picture.chart.line}, ${picture.chart.fields}` : "dark");
  document.body.dataset.picture = `${picture?.number ?? ""}`;
  tell();
}

/** Keeps the screen awake, where the browser lets it. */
async function stayAwake() {
  if (!("wakeLock" in navigator) || (lock !== null && !lock.released)) return;
  try {
    lock = await navigator.wakeLock.request("screen");
  } catch {
    lock = null;
  }
  tell();
}

const send = connected("wall", {
  opened: () => {
    state.lost = false;
    settle();
  },
  message: (message) => {
    if (message.reload) return location.reload();
    if (message.replaced) state.replaced = true;
    if (message.picture) state.wanted = message.picture;
    settle();
  },
  lost: () => {
    state.lost = true;
    settle();
    // Two walls that replace each other would take turns.
    return !state.replaced;
  },
});

addEventListener("resize", settle);
document.addEventListener("fullscreenchange", settle);
document.addEventListener("visibilitychange", () => {
  if (isSeen()) void stayAwake();
  settle();
});
addEventListener("click", () => {
  document.documentElement.requestFullscreen().catch(() => {});
  void stayAwake();
});
// What a patient presses, on a keyboard or a presenter's remote of their own; whether it counts is not decided here.
addEventListener("keydown", (pressed) => {
  const answer = SAYS[keyed(pressed.key)?.act ?? ""];
  if (isForBrowser(pressed) || !answer || state.shown === null) return;
  pressed.preventDefault();
  if (!pressed.repeat) send({ pressed: { picture: state.shown.number, answer } });
});
addEventListener("contextmenu", (asked) => asked.preventDefault());
void stayAwake();
settle();
