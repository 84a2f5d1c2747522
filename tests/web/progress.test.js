// How far a learner has come.
import assert from "node:assert/strict";
import test from "node:test";
import { counted, doneIn, isNew, progressIn, scoreInWords, scoreOf, suggested } from "../../src/web/practice/progress.js";
import { TABLE } from "./table.js";

/** A run by the rule in four questions. */
const run = (number, more = {}) => ({ number, isByRule: true, asked: 4, right: 4, help: 0, ...more });
const after = (level, ...runs) => runs.reduce((progress, one) => counted(TABLE, progress, level, one), {});

test("two new patients in a row pass a level, and it stays passed", () => {
  assert.equal(doneIn(after("easy", run(1)), "easy").passed, false);
  assert.equal(doneIn(after("easy", run(1), run(2)), "easy").passed, true);
  assert.equal(doneIn(after("easy", run(1), run(2), run(3, { isByRule: false })), "easy").passed, true);
  assert.equal(doneIn(after("easy", run(1), run(2, { isByRule: false }), run(3)), "easy").passed, false);
  assert.equal(doneIn(after("easy", run(1), run(2, { isByRule: false }), run(3), run(4)), "easy").passed, true);
});

test("more help than may be taken breaks the row", () => {
  assert.equal(doneIn(after("easy", run(1, { help: 1 }), run(2, { help: 1 })), "easy").passed, true);
  assert.equal(doneIn(after("easy", run(1), run(2, { help: 2 })), "easy").row, 0);
});

test("a patient who was seen before changes nothing", () => {
  const once = after("easy", run(1));
  assert.equal(counted(TABLE, once, "easy", run(1)), once);
  assert.deepEqual([isNew(once, "easy", 1), isNew(once, "easy", 2), isNew(once, "hard", 1)], [false, true, true]);
});

test("the first level that is not passed is suggested, in whatever order they were taken", () => {
  assert.equal(suggested(TABLE, {}), 0);
  assert.equal(suggested(TABLE, after("hard", run(1), run(2))), 0);
  const passed = (...names) => names.reduce((all, called) => ({ ...all, [called]: doneIn(after(called, run(1), run(2)), called) }), {});
  assert.equal(suggested(TABLE, passed("easy", "white")), 1);
  assert.equal(suggested(TABLE, passed(...TABLE.levels.map(({ name: called }) => called))), -1);
});

test("a score sums all levels", () => {
  const hard = after("hard", run(1), run(2), run(3, { isByRule: false, asked: 5, right: 2, help: 3 }));
  const both = counted(TABLE, hard, "easy", run(7, { asked: 3, right: 3 }));
  // 4 + 4 + 2 + 3 of 4 + 4 + 5 + 3: 13 of 16.
  assert.deepEqual(scoreOf(TABLE, both), { passed: 2, finished: 4, byRule: 3, share: 81, hints: 3 });
  assert.deepEqual(scoreOf(TABLE, {}), { passed: 0, finished: 0, byRule: 0, share: 0, hints: 0 });
});

test("a score is said with the levels that are passed", () => {
  assert.equal(scoreInWords(TABLE, { passed: 0b101, finished: 1, byRule: 1, share: 81, hints: 1 }),
    "2 of 4 levels passed: easy, white. 1 patient finished, 1 by the rule; 81\u202f% of the questions by the rule; 1 hint or look.");
  assert.equal(scoreInWords(TABLE, { passed: 0, finished: 2, byRule: 0, share: 0, hints: 0 }),
    "0 of 4 levels passed. 2 patients finished, 0 by the rule; 0\u202f% of the questions by the rule; 0 hints or looks.");
});

test("what was kept comes back, and what cannot be read is left out", () => {
  const progress = after("easy", run(1), run(2));
  assert.deepEqual(progressIn(TABLE, JSON.stringify(progress)), progress);
  for (const kept of [null, "", "{", "7", "[]", "null", "{\"easy\":3}", "{\"easy\":{\"seen\":[1]}}"]) assert.deepEqual(progressIn(TABLE, kept), {}, `${kept}`);
  assert.deepEqual(progressIn(TABLE, JSON.stringify({ ...progress, odd: progress.easy })), progress);
  const { easy } = progress;
  for (const spoilt of [{ seen: ["x"] }, { asked: -1 }, { row: 0.5 }, { passed: 1 }]) {
    assert.deepEqual(progressIn(TABLE, JSON.stringify({ easy: { ...easy, ...spoilt } })), {}, JSON.stringify(spoilt));
  }
});
