// Where everything stands on the screen, and which line comes next: decided from what the examiner set, without drawing.

/** @import { Room, Line, Place } from "./table.js" */

/**
 * What of a state the chart shows: `one` counts the letters that were shown alone.
 * @typedef {{ line: number, fields: string, redLeft: boolean, draw: number, one: number | null }} Shown
 */

/**
 * The picture in device pixels; `scale` is what a measured screen makes of the room's pixels, null where it is the room's.
 * @typedef {{ width: number, height: number, scale: number | null }} Picture
 */

/** @typedef {{ name: string, left: number, width: number }} Field */

/** @typedef {Place & { unit: [number, number] }} Placed */

/** Maximum number of device pixels by which a window and a screen may differ from the room's. */
const NEAR_PX = 2;

/** A card that differs from its outline by less than this share is as wide as the room has it. */
const SAME_SCALE = 0.005;

/** The narrowest outline of a card in device pixels, so that there is something to widen. */
const LEAST_CARD_PX = 100;

/**
 * Whether two sizes in device pixels are the same but for rounding.
 * @param {number[]} one
 * @param {number[]} other
 */
export const near = (one, other) => one.every((value, axis) => Math.abs(value - other[axis]) <= NEAR_PX);

/**
 * Where a picture begins in a window: in the middle of one that cuts it off, so that as much is left of either field.
 * @param {number[]} seen
 * @param {Picture} picture
 */
export const centredIn = ([across, down], { width, height }) =>
  [across - width, down - height].map((spare) => Math.min(0, Math.trunc(spare / 2)));

/**
 * Whether a window cuts off a picture.
 * @param {number[]} seen
 * @param {Picture} picture
 */
export const cutOff = ([across, down], { width, height }) => across < width - NEAR_PX || down < height - NEAR_PX;

/** How many fields there are. @param {Room} room @param {Shown} shown */
export const countOf = (room, { fields }) => (fields === room.fields[0] ? 2 : 1);

/**
 * The width that counts for where letters stand: of two fields that of the narrower.
 * @param {Picture} picture
 * @param {number} count
 */
const fieldWidth = ({ width }, count) => Math.floor(width / count);

/**
 * The fields from the patient's left.
 * @param {Room} room
 * @param {Shown} shown
 * @param {Picture} picture
 * @returns {Field[]}
 */
export function fieldsOf(room, shown, picture) {
  if (countOf(room, shown) === 1) return [{ name: shown.fields, left: 0, width: picture.width }];
  const [red, green] = room.page.fieldNames, seam = fieldWidth(picture, 2);
  const [left, right] = shown.redLeft ? [red, green] : [green, red];
  return [{ name: left, left: 0, width: seam }, { name: right, left: seam, width: picture.width - seam }];
}

/**
 * Where a row of letters stands on a field: as Rust laid it out, or in the middle of a measured screen; null where it does
 * not fit.
 * @param {Room} room
 * @param {Line} line
 * @param {Picture} picture
 * @param {number} count Of fields.
 * @returns {Placed | null}
 */
export function placed(room, line, picture, count) {
  const layout = count === 2 ? line.two : line.one;
  if (layout === null) return null;
  const { scale } = picture;
  return scale === null ? { ...layout, unit: line.unit } : centred(room, scaled(line.unit, scale), layout.count, picture, fieldWidth(picture, count));
}

/** @param {[number, number]} unit @param {number} scale @returns {[number, number]} */
const scaled = ([across, down], scale) => [across * scale, down * scale];

/**
 * A row in the middle of a field, with letters left out until it has a letter's air at both ends.
 * @param {Room} room
 * @param {[number, number]} unit
 * @param {number} most
 * @param {Picture} picture
 * @param {number} width
 * @returns {Placed | null}
 */
function centred(room, unit, most, { height }, width) {
  const across = room.strokesASide * unit[0], down = room.strokesASide * unit[1];
  // Between letters are gaps of their own width.
  const count = Math.min(most, Math.floor((width / across - 1) / 2));
  if (count < 1 || 3 * down > height || unit[0] < room.leastStroke) return null;
  const left = Math.round((width - (2 * count - 1) * across) / 2);
  return { left, top: Math.round((height - down) / 2), count, unit };
}

/**
 * The letters of the row that is drawn, by their places in the alphabet.
 * @param {Room} room
 * @param {Shown} shown
 */
export function rowOf(room, shown) {
  const { draws } = room.lines[shown.line];
  const drawn = draws[shown.draw % draws.length];
  return countOf(room, shown) === 2 ? drawn.two : drawn.one;
}

/**
 * The letters of a row that are shown, each with its distance from the field's left edge: all of them, or one alone in the
 * middle.
 * @param {Room} room
 * @param {Shown} shown
 * @param {Picture} picture
 * @param {Placed} place
 * @returns {{ letter: number, left: number }[]}
 */
export function lettersOf(room, shown, picture, place) {
  const row = rowOf(room, shown).slice(0, place.count), across = place.unit[0];
  if (shown.one !== null) {
    const width = fieldWidth(picture, countOf(room, shown));
    return [{ letter: row[shown.one % row.length], left: Math.round((width - room.strokesASide * across) / 2) }];
  }
  return row.map((letter, number) => ({ letter, left: place.left + number * 2 * room.strokesASide * across }));
}

/**
 * The line that is so many lines on among those that the picture has room for.
 * @param {Room} room
 * @param {number} line
 * @param {number} by
 * @param {Picture} picture
 */
export function stepped(room, line, by, picture) {
  const able = [...room.lines.keys()].filter((index) => placed(room, room.lines[index], picture, 2) !== null);
  const here = able.findIndex((index) => index >= line);
  const last = able.length - 1;
  return able[clamped((here < 0 ? last : here) + by, last)] ?? line;
}

/** @param {number} number @param {number} most */
const clamped = (number, most) => Math.max(0, Math.min(most, number));

/**
 * Some lines above the threshold that the examiner set, as far as the room shows it; else the customary line.
 * @param {Room} room
 * @param {number | null} threshold
 */
export const targetOf = (room, threshold) => (threshold === null ? room.target : Math.max(0, threshold - room.linesAbove));

/**
 * The threshold that is so many lines on; the first one is that of the customary target.
 * @param {Room} room
 * @param {number | null} threshold
 * @param {number} by
 */
export const thresholdAfter = (room, threshold, by) =>
  clamped(threshold === null ? room.target + room.linesAbove : threshold + by, room.lines.length - 1);

/**
 * The patch after another; null after the last.
 * @param {Room} room
 * @param {number | null} patch
 */
export function patchAfter(room, patch) {
  const next = patch === null ? 0 : patch + 1;
  return next < room.patches.length ? next : null;
}

/** A card's outline in device pixels as the room's screen would have it. @param {Room} room */
export const outlineOf = (room) => Math.round(room.card.size[0] / room.pitch[0]);

/** An outline that is wider by so many device pixels. @param {number} card @param {number} by */
export const widened = (card, by) => Math.max(LEAST_CARD_PX, card + by);

/**
 * What an outline that a card fits makes of the room's pixels, and whether the screen is then another than the room's.
 * @param {Room} room
 * @param {number} card
 * @param {number[]} screenPixels
 */
export function measuredBy(room, card, screenPixels) {
  const scale = (card / room.card.size[0]) * room.pitch[0];
  return { scale, measured: Math.abs(scale - 1) > SAME_SCALE || !near(screenPixels, room.pixels) };
}

/** How near a number names a line, in logMAR. */
const SAME_LINE = 0.01;

/**
 * What a setting in the address asks for; null where it means nothing.
 * @param {Room} room
 * @param {string} key
 * @param {string} value
 */
function setting(room, key, value) {
  switch (key) {
    case "line": {
      // An empty value would be the number 0.
      const isIt = /** @param {Line} one */ (one) => one.name === value || Math.abs(one.logMar - Number(value)) < SAME_LINE;
      const line = value === "" ? -1 : room.lines.findIndex(isIt);
      return line < 0 ? null : { line };
    }
    case "fields": return room.fields.includes(value) ? { fields: value } : null;
    case "red": return room.page.sideNames.includes(value) ? { redLeft: value === room.page.sideNames[0] } : null;
    case "strip": return ["on", "off"].includes(value) ? { strip: value === "on" } : null;
    default: return null;
  }
}

/**
 * `#line=0.3&fields=white&red=right&strip=on` sets how the page opens; what it does not know is told.
 * @param {Room} room
 * @param {string} hash
 */
export function preset(room, hash) {
  const settings = {}, unknown = [];
  for (const [key, value] of new URLSearchParams(hash.slice(1))) {
    const asked = setting(room, key, value);
    if (asked === null) unknown.push(`${key}=${value}`);
    else Object.assign(settings, asked);
  }
  return { ...settings, unknown };
}
