// Draws the chart, or a patch, pixel by pixel.
import { at, canvasAt, table } from "../page.js";
import { centredIn, countOf, fieldsOf, lettersOf, near, placed } from "./layout.js";
import { drawBorders, drawField, drawLetter } from "./paint.js";
import { state } from "./state.js";
import { room } from "./table.js";

/** @import { Field, Picture } from "./layout.js" */

const canvas = canvasAt("chart");
const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d", { alpha: false }));

/* Device pixels */

export const ratio = () => window.devicePixelRatio;
export const screenPixels = () => [screen.width * ratio(), screen.height * ratio()].map(Math.round);
export const windowPixels = () => [innerWidth * ratio(), innerHeight * ratio()];
export const fits = () => state.measured || near(screenPixels(), room.pixels);

/** The picture: the room's pixels, or those of a screen that was measured with a card. @returns {Picture} */
export function picture() {
  const [width, height] = state.measured ? screenPixels() : room.pixels;
  return { width, height, scale: state.measured ? state.scale : null };
}

/** Where the row stands that is drawn; null where it does not fit. */
export const place = () => placed(room, room.lines[state.line], picture(), countOf(room, state));

/** Draws what is set; nothing while the screen is not the room's, in the dark, or while a card is held to it. */
export function draw() {
  const { width, height } = picture();
  if (canvas.width !== width || canvas.height !== height) [canvas.width, canvas.height] = [width, height];
  canvas.style.width = `${width / ratio()}px`;
  canvas.style.height = `${height / ratio()}px`;
  [canvas.style.left, canvas.style.top] = centredIn(windowPixels(), picture()).map((pixels) => `${pixels / ratio()}px`);
  const lit = fits() && !state.dark && state.card === null;
  at("chart").hidden = !lit;
  if (!lit) return;
  if (state.patch === null) fieldsOf(room, state, picture()).forEach(drawWhole);
  else drawPatch(state.patch);
}

/** @param {Field} field */
function drawWhole(field) {
  drawField(context, room, field);
  const row = place();
  if (row === null) return;
  for (const letter of lettersOf(room, state, picture(), row)) drawLetter(context, room, letter, field, row);
}

/** @param {number[]} codes @param {number[]} box Left, upper edge, width and height. */
function fill(codes, [left, high, width, height]) {
  context.fillStyle = `rgb(${codes})`;
  context.fillRect(left, high, width, height);
}

/** Plain pictures to hold a meter to, along this page's own path. @param {number} number */
function drawPatch(number) {
  const { codes, strip } = room.patches[number];
  if (strip) drawBorders(context, strip, table.page.colours, room.mirror);
  else fill(codes, [0, 0, canvas.width, canvas.height]);
}
