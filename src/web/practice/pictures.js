// The chart and what the patient sees: pictures from Rust; nothing here knows optics.
import { at, calm, canvasAt, later, never, sidesInWords } from "../page.js";
import { left, lensErrorOf, ruleOf, sightOf } from "./model.js";
import { state } from "./state.js";
import { practice } from "./table.js";

/** @import { Level, Patient } from "./table.js" */

export const level = () => practice.levels[state.level];
export const patient = () => level().patients[state.number - 1];

/** Changes of the patient's view. */
export const viewed = calm();

/** The place of white among paints. */
const WHITE = 2;

/** How wide the chart is in pixels, and on a narrow screen, where letters would else be too small; both hold its pictures. */
const CHART_WIDTH = 1200, NARROW_CHART_WIDTH = 900;
const narrow = matchMedia("(max-width: 999px)");

/** @type {Map<string, Promise<HTMLImageElement>>} */
const loaded = new Map();
/** The pictures that each canvas was asked to show last. @type {WeakMap<HTMLCanvasElement, string[]>} */
const latest = new WeakMap();

/** A picture from the table; decoded once. @param {string} data */
function load(data) {
  const begun = loaded.get(data);
  if (begun) return begun;
  const image = new Image();
  image.src = `data:image/png;base64,${data}`;
  const decoded = image.decode().then(() => image);
  loaded.set(data, decoded);
  return decoded;
}

/**
 * Fields on a canvas, each with its picture in the middle, all at once when all are there.
 * @param {HTMLCanvasElement} canvas
 * @param {string[]} pictures Of red and green, or of white alone.
 * @param {boolean} redLeft
 * @param {number | undefined} dimmer
 */
async function paint(canvas, pictures, redLeft, dimmer) {
  latest.set(canvas, pictures);
  const images = await Promise.all(pictures.map(load));
  if (latest.get(canvas) !== pictures) return;
  const wide = Math.floor(canvas.width / pictures.length), { height } = canvas;
  const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d", { alpha: false, willReadFrequently: true }));
  images.forEach((image, field) => {
    const start = pictures.length === 1 || (field === 0) === redLeft ? 0 : wide;
    context.save();
    context.beginPath();
    context.rect(start, 0, wide, height);
    context.clip();
    context.fillStyle = `rgb(${practice.paints[pictures.length === 1 ? WHITE : field]})`;
    context.fillRect(start, 0, wide, height);
    context.drawImage(image, start + Math.round((wide - image.width) / 2), Math.round((height - image.height) / 2));
    if (field === dimmer) dimField(context, [start, 0, wide, height], field);
    context.restore();
  });
}

/**
 * A field with less light, by Rust's table of codes.
 * @param {CanvasRenderingContext2D} context
 * @param {[number, number, number, number]} box
 * @param {number} field Its channel is the one of its place.
 */
function dimField(context, box, field) {
  const part = context.getImageData(...box);
  for (let pixel = field; pixel < part.data.length; pixel += 4) part.data[pixel] = practice.dim[field][part.data[pixel]];
  context.putImageData(part, box[0], box[1]);
}

export function paintChart() {
  const size = state.larger ? 1 : 0, canvas = canvasAt("chart"), wide = narrow.matches ? NARROW_CHART_WIDTH : CHART_WIDTH;
  if (canvas.width !== wide) canvas.width = wide;
  const { red, green, white } = practice.charts[size], draw = state.draw % red.length;
  const { onWhite } = ruleOf(practice, level());
  paint(canvas, onWhite ? [white[draw]] : [red[draw], green[draw]], state.redLeft, onWhite ? undefined : patient().dimmer);
  const words = `${onWhite ? "white" : sidesInWords(state.redLeft)}, letters ${practice.line[size]}`;
  canvas.setAttribute("aria-label", `chart: ${words}`);
  at("chart-says").textContent = `The chart: ${words}`;
}

/**
 * What a patient sees at a lens error: the picture whose lens error is nearest to what accommodation leaves.
 * @param {HTMLCanvasElement} canvas
 * @param {Level} ofLevel
 * @param {Patient} ofPatient
 * @param {number} lensError
 * @param {{ redLeft: boolean, fromPlus: boolean }} how
 */
export function paintView(canvas, ofLevel, ofPatient, lensError, { redLeft, fromPlus }) {
  const seen = left(ofLevel, lensError, fromPlus);
  const { views } = sightOf(practice, ofLevel);
  const { red, green, white } = views.reduce((best, view) => (Math.abs(view.at - seen) < Math.abs(best.at - seen) ? view : best));
  const isWhite = ruleOf(practice, ofLevel).onWhite && white !== undefined;
  return paint(canvas, isWhite ? [white] : [red, green], redLeft, isWhite ? undefined : ofPatient.dimmer);
}

/** Whether the eye meets this lens coming down from plus. */
export const fromPlusNow = () => state.fog || (state.asked.at(-1)?.clicks ?? -Infinity) > state.clicks;

narrow.addEventListener("change", () => { if (state.done === null) paintChart(); });

/** @type {ReturnType<typeof later> | undefined} */
let waiting;

/** The patient's view, at most once in the calm time; a later wish waits for its turn. */
export function paintEye() {
  never(waiting);
  if (!state.peek) return;
  if (!viewed.take()) {
    waiting = later(viewed.wait(), paintEye);
    return;
  }
  const how = { redLeft: state.redLeft, fromPlus: fromPlusNow() };
  paintView(canvasAt("view"), level(), patient(), lensErrorOf(practice, patient(), state.clicks), how);
}
