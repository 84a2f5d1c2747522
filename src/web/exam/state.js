// What the examiner has set.
import { room } from "./table.js";

/** @import { Shown } from "./layout.js" */

/**
 * `patch` is the place of the patch that is shown; `card` the width of a card's outline in device pixels while one is held
 * to it; `scale` what a measured screen makes of the room's pixels; `unknown` the address's settings that mean nothing.
 * @typedef {Shown & { threshold: number | null, dark: boolean, strip: boolean, turned: boolean, help: boolean,
 *   patch: number | null, card: number | null, scale: number, measured: boolean, unknown: string[] }} State
 */

/** @type {State} */
export const state = {
  line: room.target, threshold: null, fields: room.fields[0], redLeft: room.redLeft, draw: 0,
  one: null, dark: false, strip: false, turned: false, help: false, patch: null,
  card: null, scale: 1, measured: false, unknown: [],
};
