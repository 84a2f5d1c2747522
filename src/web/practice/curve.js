// The curve of clarity, as shapes that are still to be drawn.
import { THOUSAND, between } from "./model.js";
import { signed } from "./verdict.js";

/** @import { Sight, Plot } from "./table.js" */

/** @typedef {{ tag: string, attributes: Record<string, string | number>, words?: string }} Shape */

/** A lens that is named in the curve. @typedef {{ name: string, clicks: number, lensError: number }} Mark */

/** From a lens error or a clarity to its place. @typedef {{ x: (lensError: number) => number, y: (clarity: number) => number }} Scales */

/** Where the plot stands, in units of the drawing. */
const BOX = { left: 48, right: 528, above: 56, below: 226 };

/** Lines of the grid, in thousandths of a dioptre. */
const GRID = 500;

/** The axis of clarity ends at a multiple of this, in thousandths. */
const CLARITY_STEP = 200;

/** At which share of the best clarity a side has its name, where its flank is steep. */
const NAME_AT = 0.6;

/** How wide a mark's name may be, and the one of balance. */
const NAME_WIDTH = { mark: 90, balance: 70 };

/** @param {string} tag @param {Record<string, string | number>} attributes @param {string} [words] @returns {Shape} */
const shape = (tag, attributes, words) => ({ tag, attributes, words });

/** @param {Plot} plot */
const endOf = ({ from, step, clarity }) => from + (clarity[0].length - 1) * step;

/** @param {Plot} plot */
const mostOf = ({ clarity: [red, green] }) => Math.ceil(Math.max(...red, ...green) / CLARITY_STEP) * CLARITY_STEP;

/** @param {Plot} plot @returns {Scales} */
function scalesOf(plot) {
  const { from } = plot, to = endOf(plot), most = mostOf(plot);
  return {
    x: (lensError) => BOX.left + ((between(from, lensError, to) - from) / (to - from)) * (BOX.right - BOX.left),
    y: (clarity) => BOX.below - (clarity / most) * (BOX.below - BOX.above),
  };
}

/**
 * The whole curve, with lenses marked in it.
 * @param {Sight} sight
 * @param {string[]} fieldNames
 * @param {number} click
 * @param {Mark[]} marks
 */
export function curveShapes(sight, fieldNames, click, marks) {
  const scales = scalesOf(sight.curve);
  return [
    ...axes(sight.curve, scales),
    ...fieldNames.flatMap((side, field) => sideShapes(sight.curve, field, side, click, scales)),
    ...standing(sight, marks, scales),
  ];
}

/** @param {Plot} plot @param {Scales} scales */
function axes(plot, { x, y }) {
  const parts = [];
  for (let lensError = plot.from; lensError <= endOf(plot); lensError += GRID) {
    parts.push(shape("line", { x1: x(lensError), x2: x(lensError), y1: BOX.above, y2: BOX.below, class: "grid" }),
      shape("text", { x: x(lensError), y: BOX.below + 18, class: "middle" }, signed(lensError)));
  }
  const most = mostOf(plot);
  for (const clarity of [0, most / 2, most]) {
    parts.push(shape("text", { x: BOX.left - 8, y: y(clarity) + 4, class: "end" }, (clarity / THOUSAND).toFixed(1)));
  }
  parts.push(shape("text", { x: (BOX.left + BOX.right) / 2, y: BOX.below + 38, class: "middle" }, "lens error, D (+ is too much plus)"),
    shape("text", { x: BOX.left - 40, y: BOX.above - 10 }, "clarity"));
  return parts;
}

/**
 * A side's line, a mark on it at every click, and its name.
 * @param {Plot} plot
 * @param {number} field 0 for red: round marks; 1 for green: square ones.
 * @param {string} side
 * @param {number} click
 * @param {Scales} scales
 */
function sideShapes(plot, field, side, click, { x, y }) {
  const values = plot.clarity[field], kind = field === 0 ? "red" : "green";
  const points = values.map((value, place) => [x(plot.from + place * plot.step), y(value)]);
  const marked = points.filter((_, place) => place % (click / plot.step) === 0).map(([across, down]) => (field === 0
    ? shape("circle", { cx: across, cy: down, r: 3, class: kind })
    : shape("rect", { x: across - 3, y: down - 3, width: 6, height: 6, class: kind })));
  // The name stands beside the outer flank.
  const best = Math.max(...values);
  /** @param {number} value */
  const high = (value) => value >= NAME_AT * best;
  const [across, down] = points[field === 0 ? values.findLastIndex(high) : values.findIndex(high)];
  const label = field === 0 ? { x: across + 10, y: down, class: kind } : { x: across - 10, y: down, class: `${kind} end` };
  return [shape("polyline", { points: points.map((point) => point.join(",")).join(" "), class: kind }), ...marked, shape("text", label, side)];
}

/** Balance and the marks; those that meet share a line and a name. @param {Sight} sight @param {Mark[]} marks @param {Scales} scales */
function standing({ balance }, marks, { x }) {
  const isCrowded = marks.some(({ lensError }) => x(lensError) > x(balance) && x(lensError) < x(balance) + NAME_WIDTH.balance);
  const parts = upright(x(balance), "balance", "balance", 44, isCrowded);
  const places = [...new Set(marks.map(({ lensError }) => lensError))];
  places.forEach((lensError, row) => {
    const names = marks.filter((mark) => mark.lensError === lensError).map(({ name: called }) => called).join(", ");
    /** Whether another mark's line stands where the name would, to one side. @param {1 | -1} side */
    const isTaken = (side) => places.some((other) => other !== lensError && between(0, side * (x(other) - x(lensError)), NAME_WIDTH.mark) === side * (x(other) - x(lensError)));
    const toLeft = lensError < balance ? !isTaken(-1) || isTaken(1) : isTaken(1) && !isTaken(-1);
    parts.push(...upright(x(lensError), names, "mark", 12 + 16 * (row % 2), toLeft));
  });
  return parts;
}

/**
 * A line with its name, on its left where that is asked for or the edge is near.
 * @param {number} across
 * @param {string} words
 * @param {string} kind
 * @param {number} down
 * @param {boolean} toLeft
 */
function upright(across, words, kind, down, toLeft) {
  const isLeft = across > BOX.right - NAME_WIDTH.mark || (toLeft && across > BOX.left + 60);
  return [
    shape("line", { x1: across, x2: across, y1: down - 8, y2: BOX.below, class: kind }),
    shape("text", isLeft ? { x: across - 6, y: down, class: `${kind} end` } : { x: across + 6, y: down, class: kind }, words),
  ];
}
