// Where things stand in the room's page, and which line comes next.
import assert from "node:assert/strict";
import test from "node:test";
import * as layout from "../../src/web/exam/layout.js";

const place = (count) => ({ left: 10, top: 40, count });
const line = (called, logMar, unit, more) => ({
  name: called, logMar, coarse: false, unit: [unit, unit], two: place(3), one: place(5),
  draws: [{ two: [2, 0, 1], one: [0, 1, 2, 0, 1] }, { two: [1, 2, 0], one: [2, 2, 2, 2, 2] }], ...more,
});

/** Five lines; only one field has room for the largest. */
const ROOM = {
  page: { fieldNames: ["red", "green"], sideNames: ["left", "right"] },
  pixels: [401, 100], pitch: [0.25, 0.25], mirror: false, redLeft: true, leastStroke: 2, strokesASide: 5,
  card: { size: [85.6, 53.98], corner: 3 }, target: 2, linesAbove: 2,
  fields: ["red-green", "white", "red", "green"],
  lines: [line("A", 0.5, 9, { two: null }), line("B", 0.4, 8), line("C", 0.3, 6), line("D", 0.2, 4), line("E", 0, 3)],
  patches: [{ name: "one" }, { name: "two" }],
};
const SHOWN = { line: 2, fields: "red-green", redLeft: true, draw: 0, one: null };
const AS_ROOM = { width: 401, height: 100, scale: null };

test("two fields meet left of the middle of an odd width, and one fills the picture", () => {
  assert.deepEqual(layout.fieldsOf(ROOM, SHOWN, AS_ROOM), [{ name: "red", left: 0, width: 200 }, { name: "green", left: 200, width: 201 }]);
  assert.deepEqual(layout.fieldsOf(ROOM, { ...SHOWN, redLeft: false }, AS_ROOM).map((field) => field.name), ["green", "red"]);
  assert.deepEqual(layout.fieldsOf(ROOM, { ...SHOWN, fields: "white" }, AS_ROOM), [{ name: "white", left: 0, width: 401 }]);
});

test("on the room's own screen a row stands as Rust laid it out", () => {
  assert.deepEqual(layout.placed(ROOM, ROOM.lines[2], AS_ROOM, 2), { left: 10, top: 40, count: 3, unit: [6, 6] });
  assert.equal(layout.placed(ROOM, ROOM.lines[2], AS_ROOM, 1).count, 5);
  assert.equal(layout.placed(ROOM, ROOM.lines[0], AS_ROOM, 2), null);
});

test("on a measured screen a row stands in the middle with a letter's air at both ends", () => {
  // Letters of 30 px: three of them with gaps and air take 210 px, two take 150.
  const measured = (width, height, scale) => layout.placed(ROOM, ROOM.lines[2], { width, height, scale }, 2);
  assert.deepEqual(measured(420, 90, 1), { left: 30, top: 30, count: 3, unit: [6, 6] });
  assert.deepEqual(measured(418, 90, 1), { left: 60, top: 30, count: 2, unit: [6, 6] });
  assert.deepEqual(measured(840, 180, 2), { left: 60, top: 60, count: 3, unit: [12, 12] });
  // Too low for the air above and below, too narrow for one letter, too fine for its strokes.
  assert.equal(measured(420, 89, 1), null);
  assert.equal(measured(178, 90, 1), null);
  assert.equal(measured(420, 90, 0.3), null);
});

test("letters have gaps of their own width, and one alone stands in the middle", () => {
  const lettersOf = (more) => layout.lettersOf(ROOM, { ...SHOWN, ...more }, AS_ROOM, { left: 10, top: 40, count: 3, unit: [6, 6] });
  assert.deepEqual(lettersOf({}), [{ letter: 2, left: 10 }, { letter: 0, left: 70 }, { letter: 1, left: 130 }]);
  assert.deepEqual(lettersOf({ one: 4 }), [{ letter: 0, left: 85 }]);
  // In one field of 401 px.
  assert.deepEqual(lettersOf({ one: 0, fields: "white" }), [{ letter: 0, left: 186 }]);
});

test("draws of letters follow each other and begin again, each field with its own", () => {
  const row = (draw, fields) => layout.rowOf(ROOM, { ...SHOWN, draw, fields });
  assert.deepEqual([0, 1, 2].map((draw) => row(draw, "red-green")), [[2, 0, 1], [1, 2, 0], [2, 0, 1]]);
  assert.deepEqual(row(1, "red"), [2, 2, 2, 2, 2]);
});

test("lines go on to the last that the picture has room for, and no farther", () => {
  const stepped = (from, by) => layout.stepped(ROOM, from, by, AS_ROOM);
  assert.deepEqual([stepped(2, 1), stepped(4, 1), stepped(2, -1), stepped(1, -1)], [3, 4, 1, 1]);
  // From a line that does not fit, the next smaller one that does is where one stands.
  assert.equal(stepped(0, 0), 1);
  // On a measured screen whose pixels are half as large all strokes under 4 px are too fine.
  assert.equal(layout.stepped(ROOM, 3, 1, { width: 400, height: 100, scale: 0.5 }), 3);
  assert.equal(layout.stepped(ROOM, 4, 0, { width: 400, height: 100, scale: 0.5 }), 3);
  assert.equal(layout.stepped(ROOM, 4, 1, { width: 10, height: 10, scale: 1 }), 4);
});

test("the target lies above the threshold, and without one it is the customary line", () => {
  assert.deepEqual([null, 4, 3, 1].map((threshold) => layout.targetOf(ROOM, threshold)), [2, 2, 1, 0]);
  const after = (threshold, by) => layout.thresholdAfter(ROOM, threshold, by);
  assert.deepEqual([after(null, 1), after(null, -1), after(4, 1), after(4, -1), after(0, -1)], [4, 4, 4, 3, 0]);
});

test("a window that cuts a picture off shows its middle, by whole pixels, and any other its corner", () => {
  assert.deepEqual(layout.centredIn([300, 91], AS_ROOM), [-50, -4]);
  // Some browsers round a window up.
  assert.deepEqual(layout.centredIn([403, 101], AS_ROOM), [0, 0]);
});

test("patches follow each other, then the chart", () => {
  assert.deepEqual([null, 0, 1].map((patch) => layout.patchAfter(ROOM, patch)), [0, 1, null]);
});

test("a card settles the scale, and whether the screen is another", () => {
  assert.equal(layout.outlineOf(ROOM), 342);
  assert.deepEqual([layout.widened(342, -1), layout.widened(100, -1)], [341, 100]);
  const { scale, measured } = layout.measuredBy(ROOM, 411, [401, 100]);
  assert.equal(scale, (411 / 85.6) * 0.25);
  assert.equal(measured, true);
  assert.equal(layout.measuredBy(ROOM, 343, [401, 100]).measured, false);
  assert.equal(layout.measuredBy(ROOM, 345, [401, 100]).measured, true);
  assert.equal(layout.measuredBy(ROOM, 342, [800, 600]).measured, true);
});

test("sizes may differ by rounding only", () => {
  assert.deepEqual([layout.near([400, 98], [402, 100]), layout.near([400, 97], [402, 100])], [true, false]);
  assert.deepEqual([[399, 98], [398, 100], [500, 97]].map((seen) => layout.cutOff(seen, AS_ROOM)), [false, true, true]);
});

test("an address sets what it names, and what it does not know is told", () => {
  const preset = (hash) => layout.preset(ROOM, hash);
  assert.deepEqual(preset(""), { unknown: [] });
  assert.deepEqual(preset("#line=0.2&fields=white&red=right&strip=on"), { line: 3, fields: "white", redLeft: false, strip: true, unknown: [] });
  assert.deepEqual(preset("#line=B&red=left&strip=off"), { line: 1, redLeft: true, strip: false, unknown: [] });
  const odd = ["line=9", "line=", "fields=purple", "red=up", "strip=yes", "size=3"];
  assert.deepEqual(preset(`#${odd.join("&")}`), { unknown: odd });
});
