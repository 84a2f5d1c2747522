// The curve in a result, as shapes.
import assert from "node:assert/strict";
import test from "node:test";
import { curveShapes } from "../../src/web/practice/curve.js";
import { TABLE } from "./table.js";

const CLICK = 250;
const mark = (called, lensError) => ({ name: called, clicks: 0, lensError });
const shapes = (...marks) => curveShapes(TABLE.sights[0], ["red", "green"], CLICK, marks);
const of = (all, tag, kind) => all.filter((one) => one.tag === tag && `${one.attributes.class ?? ""}`.split(" ")[0] === kind);

test("a side's line goes through its clarities, with a mark at every click", () => {
  // From −0.5 to +0.5 D in 480 units from 48; clarity to 0.4 in 170 units up from 226.
  const [red] = of(shapes(), "polyline", "red");
  assert.equal(red.attributes.points, "48,226 168,183.5 288,98.5 408,60.25 528,183.5");
  assert.deepEqual(of(shapes(), "circle", "red").map(({ attributes }) => attributes.cx), [48, 168, 288, 408, 528]);
  assert.equal(of(shapes(), "rect", "green").length, 5);
});

test("the axes are named at round values", () => {
  assert.deepEqual(of(shapes(), "text", "middle").map(({ words }) => words), ["−0.50", "0.00", "+0.50", "lens error, D (+ is too much plus)"]);
  assert.deepEqual(of(shapes(), "text", "end").map(({ words }) => words), ["0.0", "0.2", "0.4"]);
});

test("each side is named beside its outer flank", () => {
  const [red] = of(shapes(), "text", "red"), [green] = of(shapes(), "text", "green");
  // Red is at least three fifths of its best at +0.25 D last, green of its best at −0.25 D first.
  assert.deepEqual([red.words, red.attributes.x, green.words, green.attributes.x], ["red", 418, "green", 158]);
});

test("marks that meet share a line and a name, in turn on two heights", () => {
  const named = of(shapes(mark("one", 100), mark("two", 200), mark("three", 100)), "text", "mark");
  assert.deepEqual(named.map(({ words }) => words), ["one, three", "two"]);
  assert.deepEqual(named.map(({ attributes }) => attributes.y), [12, 28]);
  assert.equal(of(shapes(mark("one", 100), mark("two", 100)), "line", "mark").length, 1);
});

test("names stand left of their lines where the edge is near or balance would be hidden", () => {
  const side = (lensError) => of(shapes(mark("one", lensError)), "text", "mark")[0].attributes;
  assert.equal(side(100).class, "mark");
  assert.equal(side(400).class, "mark end");
  assert.equal(side(-100).class, "mark end");
  // Nor does a name lie across another mark's line, where the other side is free.
  const both = of(shapes(mark("one", -200), mark("two", -100)), "text", "mark").map(({ attributes }) => attributes.class);
  assert.deepEqual(both, ["mark end", "mark"]);
  assert.equal(of(shapes(mark("one", 100), mark("two", 200)), "text", "mark")[0].attributes.class, "mark end");
  // At the left edge there is no room for that.
  assert.equal(side(-450).class, "mark");
  const balance = (lensError) => of(shapes(mark("one", lensError)), "text", "balance")[0].attributes.class;
  assert.deepEqual([balance(100), balance(300), balance(-100)], ["balance end", "balance", "balance"]);
});

test("a lens beyond the curve stands at its end", () => {
  assert.deepEqual([-900, 900].map((lensError) => of(shapes(mark("one", lensError)), "line", "mark")[0].attributes.x1), [48, 528]);
});
