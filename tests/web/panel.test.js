// What a touch or a key of the panel wishes for, and when a touch is held back.
import assert from "node:assert/strict";
import test from "node:test";
import { Touches } from "../../src/web/panel/touch.js";
import { controlOf, wishOf } from "../../src/web/panel/wishes.js";

/** Green lies on the left. */
const ANSWERS = [
  { answer: "left", words: "Green", more: "left", field: "green" }, { answer: "right", words: "Red", more: "right", field: "red" },
  { answer: "same", words: "No difference", more: "", field: null }, { answer: "unsure", words: "Cannot tell", more: "", field: null },
];
const BARE = { step: 7, ask: null, white: null, choices: [], darkBetween: false, patientButtons: true };
const asked = (more = {}) => ({ ...BARE, ask: { covered: false, pressed: null, answers: ANSWERS, ...more } });
const WHITE = { ...BARE, white: { counts: true, letters: [{ name: "S", missed: false }, { name: "K", missed: true }] } };
const CHOOSING = {
  ...BARE,
  choices: [
    { do: "choose", with: ["choice", "far-exact"] }, { do: "choose", with: ["choice", "nothing"] },
    { do: "binocular", with: ["done", true] }, { do: "one-eye", with: null },
  ],
};

test("keys answer by side, by field and by a presenter's remote", () => {
  const said = (act) => controlOf(asked(), act, NaN)?.answer;
  assert.deepEqual(["points_left", "points_right", "same", "cannot_tell"].map(said), ["left", "right", "same", "unsure"]);
  assert.deepEqual(["names_red", "names_green"].map(said), ["right", "left"]);
  assert.deepEqual(["before", "next", "remote_middle"].map(said), ["left", "right", "same"]);
});

test("keys answer nothing where nothing is asked", () => {
  for (const act of ["points_left", "names_red", "same", "next"]) assert.equal(controlOf(CHOOSING, act, NaN), null, act);
  assert.equal(controlOf(asked(), "view", NaN), null);
});

test("Enter takes what is offered, and nothing where nothing is", () => {
  const taken = (view) => controlOf(view, "take", NaN);
  assert.deepEqual(taken(asked({ covered: true, pressed: "Green" })), { does: "lens-in" });
  assert.deepEqual(taken(asked({ pressed: "Green" })), { does: "confirm" });
  assert.deepEqual(taken(WHITE), { does: "take-white" });
  assert.deepEqual(taken({ ...WHITE, white: { ...WHITE.white, goesBack: true } }), { does: "larger" });
  assert.deepEqual(taken({ ...WHITE, white: { ...WHITE.white, goesOn: true } }), { does: "smaller" });
  assert.equal(taken({ ...WHITE, white: { ...WHITE.white, counts: false } }), null, "a line that is only looked at");
  assert.deepEqual([asked(), CHOOSING].map(taken), [null, null]);
});

test("digits choose what stands at their place", () => {
  assert.deepEqual(controlOf(CHOOSING, "numbered", 2), { does: "choose", value: "nothing" });
  assert.deepEqual(controlOf(CHOOSING, "numbered", 4), { does: "one-eye", value: "" });
  assert.equal(controlOf(CHOOSING, "numbered", 5), null);
});

test("a wish carries the step and what its control stands for", () => {
  const wish = (view, does, value) => wishOf(view, { does, value });
  assert.deepEqual(wishOf(asked(), { answer: "left" }), { of: 7, do: "answer", answer: "left" });
  assert.deepEqual(wish(asked(), "undo"), { of: 7, do: "undo" });
  assert.deepEqual(wish(CHOOSING, "choose", "far-exact"), { of: 7, do: "choose", choice: "far-exact" });
  assert.deepEqual(wish(CHOOSING, "one-eye", ""), { of: 7, do: "one-eye" });
  assert.deepEqual(wish(BARE, "write", "decimal"), { of: 7, do: "write", notation: "decimal" });
  assert.deepEqual(wish(WHITE, "white", "6/6-2"), { of: 7, do: "white", score: "6/6-2" });
});

test("a value that is no text stays what it was", () => {
  assert.deepEqual(wishOf(CHOOSING, { does: "binocular", value: "true" }), { of: 7, do: "binocular", done: true });
});

test("what is on goes off, and what is off goes on", () => {
  assert.deepEqual(wishOf(WHITE, { does: "missed", value: "0" }), { of: 7, do: "missed", letter: 0, missed: true });
  assert.deepEqual(wishOf(WHITE, { does: "missed", value: "1" }), { of: 7, do: "missed", letter: 1, missed: false });
  assert.equal(wishOf(BARE, { does: "dark-between" }).on, true);
  assert.equal(wishOf(BARE, { does: "patient-buttons" }).on, false);
});

test("one touch at a time, none without a line, and none for ever", () => {
  let now = 0;
  const touches = new Touches(3000, () => now);
  assert.equal(touches.take(), "lost");
  touches.opened();
  assert.deepEqual([touches.take(), touches.take()], [null, "onItsWay"]);
  touches.answered();
  assert.equal(touches.take(), null);
  now = 2999;
  assert.equal(touches.take(), "onItsWay");
  now = 3000;
  assert.equal(touches.take(), null);
  touches.lost();
  assert.equal(touches.take(), "lost");
  touches.opened();
  assert.equal(touches.take(), null);
});
