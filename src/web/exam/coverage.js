// How much of each pixel a letter covers, and which codes that takes. Rust's outlines, filled by exact area: the browser's
// own fill makes strokes too thick.

/** @import { Paint } from "./table.js" */

/** @typedef {{ width: number, height: number, coverage: Float64Array }} Glyph */

/** @typedef {[number, number]} Point */

/**
 * The coverage by a letter at a scale in pixels a stroke, which begins a part of a pixel from the left.
 * @param {number[][]} contours
 * @param {number} strokesASide
 * @param {Point} unit
 * @param {number} offset
 * @returns {Glyph}
 */
export function filled(contours, strokesASide, [across, down], offset) {
  // An edge adds to the pixel right of it as well.
  const width = Math.ceil(strokesASide * across + offset) + 2, height = Math.ceil(strokesASide * down) + 1;
  const coverage = new Float64Array(width * height);
  for (const contour of contours) {
    const count = contour.length / 2;
    /** @param {number} index @returns {Point} */
    const point = (index) => [contour[2 * index] * across + offset, contour[2 * index + 1] * down];
    for (let index = 0; index < count; index += 1) addEdge(coverage, width, point(index), point((index + 1) % count));
  }
  sumRows(coverage, width);
  return { width, height, coverage };
}

/**
 * Adds an edge: in each row it crosses, how its height divides among the columns it passes and those to the right.
 * @param {Float64Array} sums
 * @param {number} width
 * @param {Point} one
 * @param {Point} other
 */
function addEdge(sums, width, one, other) {
  const sign = one[1] < other[1] ? 1 : -1;
  const [[x0, y0], [x1, y1]] = sign > 0 ? [one, other] : [other, one];
  const slope = (x1 - x0) / (y1 - y0);
  for (let row = Math.floor(y0); row < y1; row += 1) {
    const above = Math.max(y0, row), below = Math.min(y1, row + 1);
    if (below <= above) continue;
    const from = x0 + (above - y0) * slope, to = x0 + (below - y0) * slope;
    addPiece(sums, row * width, Math.min(from, to), Math.max(from, to), sign * (below - above));
  }
}

/**
 * Adds the piece of an edge within a row: from one column to another, with a signed height.
 * @param {Float64Array} sums
 * @param {number} start Where the row begins.
 * @param {number} left
 * @param {number} right
 * @param {number} high
 */
function addPiece(sums, start, left, right, high) {
  const first = Math.floor(left), last = Math.floor(right);
  if (first === last) {
    const inside = 1 - ((left + right) / 2 - first);
    sums[start + first] += high * inside;
    sums[start + first + 1] += high * (1 - inside);
    return;
  }
  // The edge spends an equal share of its height on each unit of its width.
  const share = high / (right - left);
  let before = 0;
  for (let column = first; column <= last; column += 1) {
    const enter = Math.max(left, column), leave = Math.min(right, column + 1);
    const passed = share * (leave - enter);
    const covered = passed * (1 - ((enter + leave) / 2 - column));
    // What earlier columns passed covers this one whole.
    sums[start + column] += covered + before;
    before = passed - covered;
  }
  sums[start + last + 1] += before;
}

/**
 * Signed areas summed along each row are the coverage.
 * @param {Float64Array} sums
 * @param {number} width
 */
function sumRows(sums, width) {
  let sum = 0;
  sums.forEach((added, place) => {
    sum = place % width === 0 ? added : sum + added;
    sums[place] = Math.min(1, Math.abs(sum));
  });
}

/**
 * How many codes begin above a coverage: the code whose light is nearest, by Rust's table.
 * @param {number[]} edges
 * @param {number} share
 */
export function coded(edges, share) {
  let low = 0, high = edges.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (share < edges[middle]) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * A letter's pixels on a field: red, green, blue and opacity in turn.
 * @param {Glyph} glyph
 * @param {Paint} paint
 * @param {boolean} mirrored
 */
export function painted({ width, height, coverage }, paint, mirrored) {
  const pixels = new Uint8ClampedArray(4 * width * height);
  for (let pixel = 0; pixel < width * height; pixel += 1) {
    const column = pixel % width;
    const share = coverage[mirrored ? pixel - column + (width - 1 - column) : pixel];
    paint.edges.forEach((edges, channel) => { pixels[4 * pixel + channel] = edges ? coded(edges, share) : 0; });
    pixels[4 * pixel + 3] = 255;
  }
  return pixels;
}
