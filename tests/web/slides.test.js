// Which slide comes, and when it may.
import assert from "node:assert/strict";
import test from "node:test";
import { clockFace, Pace, placeAfter, placeAsked } from "../../src/web/slides/model.js";

test("an address names a slide that there is, or none", () => {
  const asked = ["#1", "#3", "#24", "#0", "#25", "#notes", "", "#3x", "#-1", "#1e1", "#99999"].map((hash) => placeAsked(hash, 24));
  assert.deepEqual(asked, [0, 2, 23, null, null, null, null, null, null, null, null]);
});

test("acts lead on, back and to both ends, and never beyond", () => {
  const from = (place) => ["next", "before", "first", "last", "full_screen"].map((act) => placeAfter(act, place, 5));
  assert.deepEqual(from(2), [3, 1, 0, 4, 2]);
  assert.deepEqual(from(0), [1, 0, 0, 4, 0]);
  assert.deepEqual(from(4), [4, 3, 0, 4, 4]);
});

test("time is told in minutes and seconds", () => {
  assert.deepEqual([0, 999, 1000, 61_000, 3_599_999, 3_600_000].map(clockFace), ["0:00", "0:00", "0:01", "1:01", "59:59", "60:00"]);
});

/** Whether each change at its time may come, by 30 and 70 of a clock. */
function paced(changes) {
  let time = 0;
  const pace = new Pace({ everyMs: 30, calmMs: 70 }, () => time);
  return changes.map(([at, saturated]) => {
    time = at;
    return pace.take(saturated);
  });
}

test("slides change at most once in the shorter time", () => {
  assert.deepEqual(paced([[0, false], [29, false], [30, false], [59, false], [60, false]]), [true, false, true, false, true]);
});

test("red and green come and go at most once in the longer time, whatever lies between", () => {
  assert.deepEqual(paced([[0, true], [30, true], [69, true], [70, true]]), [true, false, false, true]);
  assert.deepEqual(paced([[0, true], [30, false], [60, true], [70, true], [99, false], [100, false]]), [true, true, false, true, false, true]);
});
