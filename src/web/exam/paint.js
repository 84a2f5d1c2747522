// Fields and letters in device pixels, on whatever page they stand.
import { filled, painted } from "./coverage.js";

/** @import { Letter, Paint } from "./table.js" */

/** @typedef {{ mirror: boolean, strokesASide: number, letters: Letter[], paints: Record<string, Paint> }} Look */

/** @typedef {{ name: string, left: number, width: number }} Field */

/** @typedef {{ unit: [number, number], top: number }} Row */

/** Between the pairs of the strip of borders, in device pixels on either side. */
const GAP_PX = 8;

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
export function drawField(context, look, field) {
  context.fillStyle = `rgb(${look.paints[field.name].codes})`;
  context.fillRect(turned(context, look, field.left, field.width), 0, field.width, context.canvas.height);
}

/**
 * @param {CanvasRenderingContext2D} context
 * @param {Look} look
 * @param {{ letter: number, left: number }} placed The letter by its place in the alphabet, and where it begins in its field.
 * @param {Field} field
 * @param {Row} row
 */
export function drawLetter(context, look, { letter, left }, field, row) {
  const whole = Math.floor(field.left + left);
  const glyph = filled(look.letters[letter].contours, look.strokesASide, row.unit, field.left + left - whole);
  const image = context.createImageData(glyph.width, glyph.height);
  image.data.set(painted(glyph, look.paints[field.name], look.mirror));
  context.putImageData(image, turned(context, look, whole, glyph.width), row.top);
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

/**
 * The strip of borders for the eye, red over green, with the steps' names as on the setup sheet, and what is said of each.
 * @param {CanvasRenderingContext2D} context
 * @param {{ codes: [number[], number[]], says: string[] }[]} strip
 * @param {Record<string, string>} colours
 * @param {boolean} mirrored Whether it is looked at in a mirror: its order and its names are turned round, so that they read there.
 */
export function drawBorders(context, strip, { night, dim }, mirrored) {
  const { width, height } = context.canvas, slot = Math.floor(width / strip.length);
  const third = Math.floor(height / 3), sixth = Math.floor(height / 6);
  /** @param {string} style @param {[number, number, number, number]} box */
  const fill = (style, box) => {
    context.fillStyle = style;
    context.fillRect(...box);
  };
  context.save();
  if (mirrored) context.transform(-1, 0, 0, 1, width, 0);
  fill(night, [0, 0, width, height]);
  context.textAlign = "center";
  strip.forEach(({ codes: [red, green], says }, index) => {
    const left = index * slot + GAP_PX, wide = slot - 2 * GAP_PX, middle = (index + 0.5) * slot, below = Math.floor((height * 2) / 3);
    fill(`rgb(${red})`, [left, third, wide, sixth]);
    fill(`rgb(${green})`, [left, third + sixth, wide, sixth]);
    context.fillStyle = dim;
    context.font = `${Math.floor(Math.min(height / 16, slot / 2))}px sans-serif`;
    context.fillText(`${index + 1}`, middle, below + Math.floor(height / 14));
    context.font = `${Math.floor(Math.min(height / 54, slot / 9))}px sans-serif`;
    says.forEach((words, line) => context.fillText(words, middle, below + Math.floor(((line + 4) * height) / 36)));
  });
  context.restore();
}
