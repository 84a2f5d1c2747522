// From an outline to coverage, and from coverage to codes.
import assert from "node:assert/strict";
import test from "node:test";
import { coded, filled, painted } from "../../src/web/exam/coverage.js";

/** Sums of a few binary fractions, and of slopes that are none. */
const ROUNDING = 1e-12;

const rows = ({ width, height, coverage }) => Array.from({ length: height }, (_, row) => [...coverage.slice(row * width, (row + 1) * width)]);
const sum = (numbers) => numbers.reduce((one, other) => one + other, 0);

const SQUARE = [1, 1, 2, 1, 2, 2, 1, 2];

test("a square between pixels covers each by its share", () => {
  // Two pixels a stroke, a quarter of a pixel to the right: columns 2.25 to 4.25, rows 2 to 4.
  const seen = rows(filled([SQUARE], 3, [2, 2], 0.25));
  const row = [0, 0, 0.75, 1, 0.25, 0, 0, 0, 0];
  const empty = row.map(() => 0);
  assert.deepEqual(seen, [empty, empty, row, row, empty, empty, empty]);
});

test("rows are covered by their share as well, each axis at its own scale", () => {
  // One pixel a stroke across, 1.5 down: rows 1.5 to 3.
  assert.deepEqual(rows(filled([SQUARE], 3, [1, 1.5], 0)).map((row) => row[1]), [0, 0.5, 1, 0, 0, 0]);
});

test("a hole runs the other way round", () => {
  const outer = [0, 0, 3, 0, 3, 3, 0, 3], hole = [1, 1, 1, 2, 2, 2, 2, 1];
  assert.deepEqual(rows(filled([outer, hole], 3, [1, 1], 0)).slice(0, 3).map((row) => row.slice(0, 4)), [[1, 1, 1, 0], [1, 0, 1, 0], [1, 1, 1, 0]]);
});

test("slants cover the area that they enclose, whichever way they lean", () => {
  for (const triangle of [[0, 0, 3, 1, 0, 3], [3, 0, 0, 2, 3, 3], [0, 0, 3, 0.1, 1, 3]]) {
    const [x0, y0, x1, y1, x2, y2] = triangle;
    const area = Math.abs((x1 - x0) * (y2 - y0) - (x2 - x0) * (y1 - y0)) / 2;
    const { coverage } = filled([triangle], 3, [7.3, 5.9], 0.6);
    assert.ok(Math.abs(sum([...coverage]) - area * 7.3 * 5.9) < 100 * ROUNDING, `${triangle}`);
    assert.ok(coverage.every((share) => share >= 0 && share <= 1 + ROUNDING));
  }
  // Half of the unit square, by its pixel: a slant of 45 degrees.
  assert.deepEqual(rows(filled([[0, 0, 2, 2, 0, 2]], 2, [1, 1], 0)).slice(0, 2).map((row) => row.slice(0, 2)), [[0.5, 0], [1, 0.5]]);
});

test("a coverage takes the code whose range it lies in", () => {
  // From code 0, covered whole, to code 3, the bare field.
  const edges = [0.9, 0.5, 0.2];
  assert.deepEqual([1, 0.9, 0.89, 0.5, 0.49, 0.2, 0.19, 0].map((share) => coded(edges, share)), [0, 0, 1, 1, 2, 2, 3, 3]);
  assert.equal(coded([], 0), 0);
});

test("a letter's pixels drive the channels of its field, and turn in a mirror", () => {
  const glyph = { width: 2, height: 2, coverage: new Float64Array([1, 0, 0.5, 0]) };
  const paint = { codes: [2, 0, 1], edges: [[0.8, 0.4], null, [0.3]] };
  const black = [0, 0, 0, 255], bare = [2, 0, 1, 255], half = [1, 0, 0, 255];
  assert.deepEqual([...painted(glyph, paint, false)], [...black, ...bare, ...half, ...bare]);
  assert.deepEqual([...painted(glyph, paint, true)], [...bare, ...black, ...bare, ...half]);
});
