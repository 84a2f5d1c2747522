// The chart and what the patient sees: pictures from Rust; nothing here knows optics.
import { at, calm, canvasAt, later, never, sidesInWords } from "../page.js";
import { left, lensErrorOf, sightOf } from "./model.js";
import { state } from "./state.js";
import { practice } from "./table.js";

/** @import { Level, Patient } from "./table.js" */

export const level = () => practice.levels[state.level];
export const patient = () => level().patients[state.number - 1];

/** Changes of the patient's view. */
export const viewed = calm();

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
 * Both fields on a canvas, each with its picture in the middle, all at once when both are there.
 * @param {HTMLCanvasElement} canvas
 * @param {string[]} pictures Of red and green.
 * @param {boolean} redLeft
 * @param {number | undefined} dimmer
 */
async function paint(canvas, pictures, redLeft, dimmer) {
  latest.set(canvas, pictures);
  const images = await Promise.all(pictures.map(load));
  if (latest.get(canvas) !== pictures) return;
  const seam = Math.floor(canvas.width / 2), { height } = canvas;
  const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d", { alpha: false, willReadFrequently: true }));
  images.forEach((image, field) => {
    const start = (field === 0) === redLeft ? 0 : seam;
    context.fillStyle = `rgb(${practice.paints[field]})`;
    context.fillRect(start, 0, seam, height);
    context.drawImage(image, start + Math.round((seam - image.width) / 2), Math.round((height - image.height) / 2));
    if (field === dimmer) dimField(context, [start, 0, seam, height], field);
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
  const size = state.larger ? 1 : 0, { red, green } = practice.charts[size], canvas = canvasAt("chart");
  const draw = state.draw % red.length;
  paint(canvas, [red[draw], green[draw]], state.redLeft, patient().dimmer);
  const words = `${sidesInWords(state.redLeft)}, letters ${practice.line[size]}`;
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
  const nearest = views.reduce((best, view) => (Math.abs(view.at - seen) < Math.abs(best.at - seen) ? view : best));
  return paint(canvas, [nearest.red, nearest.green], redLeft, ofPatient.dimmer);
}

/** Whether the eye meets this lens coming down from plus. */
export const fromPlusNow = () => state.fog || (state.asked.at(-1)?.clicks ?? -Infinity) > state.clicks;

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
