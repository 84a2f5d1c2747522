// The patient's screen while a room is set up: a card's outline, or the match strip; still, and nothing else.
import { at, canvasAt, say, table } from "./page.js";
import { connected } from "./socket.js";
import { drawBorders } from "./exam/paint.js";

/**
 * What is to be shown: the outline's width, height and corner in device pixels; the red code and the green codes of a strip.
 * @typedef {{ number: number, card: [number, number, number] | null, strip: [number, number[]] | null, mirror: boolean, words: string }} Gauge
 */

const { lost: lostWords, click: clickWords } = /** @type {{ words: { lost: string, click: string } }} */ (/** @type {unknown} */ (table)).words;
const canvas = canvasAt("chart");
const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d", { alpha: false }));

/** @type {{ gauge: Gauge | null, lost: boolean }} */
const state = { gauge: null, lost: true };

const ratio = () => window.devicePixelRatio;
const screenPixels = () => [screen.width * ratio(), screen.height * ratio()].map(Math.round);
const isWhole = () => innerWidth * ratio() >= screenPixels()[0] - 2 && innerHeight * ratio() >= screenPixels()[1] - 2;

/** @param {[number, number, number]} sizes */
function outline(sizes) {
  const box = at("card").style, [width, height, corner] = sizes.map((pixels) => `${pixels / ratio()}px`);
  box.width = width;
  box.height = height;
  box.borderRadius = corner;
}

/** @param {[number, number[]]} strip @param {boolean} mirror */
function borders([red, greens], mirror) {
  [canvas.width, canvas.height] = screenPixels();
  canvas.style.width = `${canvas.width / ratio()}px`;
  canvas.style.height = `${canvas.height / ratio()}px`;
  drawBorders(context, greens.map((green) => ({ codes: [[red, 0, 0], [0, green, 0]], says: [] })), table.page.colours, mirror);
}

function render() {
  const gauge = state.lost ? null : state.gauge, whole = isWhole();
  const card = whole ? gauge?.card : null, strip = whole ? gauge?.strip : null;
  if (card) outline(card);
  if (strip) borders(strip, gauge?.mirror === true);
  at("card").hidden = !card;
  canvas.hidden = !strip;
  say("said", state.lost ? lostWords : whole ? gauge?.words ?? "" : clickWords);
  if (gauge) send({ said: { number: gauge.number, pixels: screenPixels(), whole } });
}

const send = connected("wall", {
  opened: () => { state.lost = false; },
  message: (message) => {
    if (message.reload) return location.reload();
    if (message.gauge) state.gauge = message.gauge;
    render();
  },
  lost: () => {
    state.lost = true;
    render();
  },
});

addEventListener("resize", render);
document.addEventListener("fullscreenchange", render);
addEventListener("click", () => { document.documentElement.requestFullscreen().catch(() => {}); });
