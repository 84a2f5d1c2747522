// Fields and letters in device pixels, on whatever page they stand.
import { filled, painted } from "./coverage.js";

/** @import { Letter, Paint } from "./table.js" */

/** @typedef {{ mirror: boolean, strokesASide: number, letters: Letter[], paints: Record<string, Paint> }} Look */

/** @typedef {{ name: string, left: number, width: number }} Field */

/** @typedef {{ unit: [number, number], top: number }} Row */

/**
 * Where something begins that a mirrored room turns.
 * @param {CanvasRenderingContext2D} context
 * @param {Look} look
 * @param {number} left
 * @param {number} size
 */
const turned = ({ canvas }, { mirror }, left, size) => (mirror ? canvas.width - left - size : left);

/**
 * @param {CanvasRenderingContext2D} context
 * @param {Look} look
 * @param {Field} field
 */
export function drawField(context, look, { name, left, width }) {
  context.fillStyle = `rgb(${look.paints[name].codes})`;
  context.fillRect(turned(context, look, left, width), 0, width, context.canvas.height);
}

/**
 * @param {CanvasRenderingContext2D} context
 * @param {Look} look
 * @param {{ letter: number, left: number }} placed The letter by its place in the alphabet, and where it begins in its field.
 * @param {Field} field
 * @param {Row} row
 */
export function drawLetter(context, look, { letter, left }, field, { unit, top }) {
  const whole = Math.floor(field.left + left);
  const glyph = filled(look.letters[letter].contours, look.strokesASide, unit, field.left + left - whole);
  const image = context.createImageData(glyph.width, glyph.height);
  image.data.set(painted(glyph, look.paints[field.name], look.mirror));
  context.putImageData(image, turned(context, look, whole, glyph.width), top);
}

/**
 * The codes that a field has on the canvas, read back at its upper corner.
 * @param {CanvasRenderingContext2D} context
 * @param {Look} look
 * @param {Field} field
 */
export function codesOf(context, look, { left }) {
  return [...context.getImageData(turned(context, look, left, 1), 0, 1, 1).data.slice(0, 3)];
}
