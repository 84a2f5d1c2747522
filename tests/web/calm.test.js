// What may change at most once in a time.
import assert from "node:assert/strict";
import test from "node:test";
import { Calm } from "../../src/web/calm.js";

const SEVENTY = 70;

function calmAt(times) {
  const clock = { time: 0 };
  const calm = new Calm(SEVENTY, () => clock.time);
  return times.map((time) => {
    clock.time = time;
    return calm.take();
  });
}

test("the first change may come at once, and the next only when the whole time has passed", () => {
  assert.deepEqual(calmAt([0, 1, 69, 70, 71, 139, 140]), [true, false, false, true, false, false, true]);
});

test("a wish that is refused does not put off the next change", () => {
  assert.deepEqual(calmAt([0, 60, 65, 70]), [true, false, false, true]);
});

test("what is left to wait is told, and forgotten where the change is part of another", () => {
  let time = 10;
  const calm = new Calm(SEVENTY, () => time);
  assert.equal(calm.wait(), 0);
  calm.take();
  time = 30;
  assert.equal(calm.wait(), 50);
  calm.forget();
  assert.equal(calm.wait(), 0);
  assert.equal(calm.take(), true);
  time = 300;
  assert.equal(calm.wait(), 0);
});
