// What a learner is told of a run.
import assert from "node:assert/strict";
import test from "node:test";
import { heldAgainst, walk } from "../../src/web/practice/model.js";
import { newRun } from "../../src/web/practice/state.js";
import * as words from "../../src/web/practice/verdict.js";
import { BY_THE_RULE, EASY, GREEN, PATIENT, RED, SAME, TABLE, UNSURE, question } from "./table.js";

const D = "\u202FD";

test("powers have a sign and a true minus; what rounds to nought has none", () => {
  assert.deepEqual([250, -250, 0, 4, -4, 5, -1005, 995].map(words.signed), ["+0.25", "−0.25", "0.00", "0.00", "0.00", "+0.01", "−1.01", "+1.00"]);
  assert.equal(words.dioptres(-500), `−0.50${D}`);
  assert.equal(words.lens(TABLE, -3), `−0.30${D}`);
});

test("one thing is one, and more are more", () => {
  assert.deepEqual([0, 1, 2].map((count) => words.plural(count, "hint")), ["0 hints", "1 hint", "2 hints"]);
});

/** A run in which these questions were asked, as it is judged. */
function judged(asked, more = {}, patient = {}) {
  const run = { ...newRun(), asked, done: "lens", clicks: asked.at(-1)?.clicks ?? 0, ...more };
  const who = { ...PATIENT, start: 200, ...patient }, held = heldAgainst(TABLE, EASY, asked), own = walk(TABLE, EASY, who);
  return { verdict: words.verdict(TABLE, who, run, held, own), figures: words.figures(TABLE, EASY, who, run, held, own), held };
}
const said = (...run) => judged(...run).verdict[0];

const ENDED = `Ended at −0.10${D} (here).`;
const NOTHING_DECIDED = [question(0, GREEN)];

test("a run by the rule is told so", () => {
  assert.deepEqual(judged(BY_THE_RULE).verdict, ["By the rule, to the end.", ENDED]);
  assert.deepEqual(judged(NOTHING_DECIDED, { done: "undecided" }).verdict, ["By the rule, to the end.", "Not decided."]);
});

test("slips are counted", () => {
  const [first, second, third] = BY_THE_RULE;
  assert.equal(said([first, { ...second, fog: false }, third]), "By the rule, with 1 slip.");
  assert.equal(said([first, { ...second, fog: false }, { ...third, redLeft: true }]), "By the rule, with 2 slips.");
});

test("another finish than the rule's is told, with what the rule has", () => {
  assert.deepEqual(judged(NOTHING_DECIDED).verdict, ["By the rule, but the rule leaves no lens in here.", "Not decided."]);
  assert.deepEqual(judged(BY_THE_RULE, { done: "undecided" }).verdict, ["By the rule, but the rule does leave a lens in.", ENDED]);
  assert.deepEqual(judged(BY_THE_RULE, { clicks: 2 }).verdict, ["By the rule, but the rule leaves another lens in.", ENDED]);
});

test("stopping early is told, with what the rule wants next", () => {
  assert.deepEqual(judged([]).verdict, ["Nothing was asked.", `First. Lens 0.00${D}.`]);
  assert.deepEqual(judged([question(0, RED)]).verdict, ["By the rule so far, but the rule goes on.", `Back. Lens −0.10${D}. Fog first.`]);
  assert.equal(words.nextStep(TABLE, heldAgainst(TABLE, EASY, BY_THE_RULE)), `The rule ends here. ${ENDED}`);
});

test("the first departure is told, with the rule's own run", () => {
  assert.deepEqual(judged([question(0, RED), question(2, RED), question(3, SAME)]).verdict, ["You left the rule at question 2.", `By the rule, in 3 questions: ${ENDED}`]);
});

test("unequal fields are what a run is about where there are any, or where a learner says so", () => {
  const dim = { dimmer: 1 };
  assert.match(judged([question(0, RED)], { done: "unequal" }, dim).verdict[1], /^The green field is too dim, so answers lean to red, .* after 1 question\.$/);
  assert.equal(said([], { done: "unequal" }, { dimmer: 0 }), "Right: the fields are unequal.");
  assert.equal(said(BY_THE_RULE, {}, dim), "The fields were unequal.");
  assert.equal(said(BY_THE_RULE, { done: "unequal" }), "These fields are equal.");
});

test("each question has its remark", () => {
  const remarks = (asked) => judged(asked).held.remarks.map((remark) => words.remarkWords(TABLE, remark));
  assert.deepEqual(remarks([question(0, RED), question(2, RED), question(-1, RED)]), ["First.", `Rule: −0.10${D}. Back.`, "Right lens, but the eye was not fogged first."]);
  assert.deepEqual(remarks([question(0, UNSURE), question(0, GREEN), question(0, RED)]), ["First.", "Right lens, but the letters were not larger.", "The rule had already ended."]);
  assert.equal(remarks([...BY_THE_RULE.slice(0, 2), question(-1, SAME)])[2], "Right lens, but the sides were not swapped.");
});

test("the figures count what was right, and hold both lenses against balance", () => {
  const [first, second, third] = BY_THE_RULE;
  // From 0.20 D with the manifest, and balance at 0.03 D: 0.07 D one click below.
  assert.deepEqual(judged([first, { ...second, fog: false }, third], { hints: 1, peeks: 2 }).figures, [
    ["2 of 3", "questions by the rule; 1 hint, 2 looks at the view"],
    [`−0.10${D}`, `your lens: +0.07${D} from balance`],
    [`−0.10${D}`, `the rule’s lens: +0.07${D} from balance`],
    [`+0.17${D}`, "the manifest refraction, from balance (+ is too much plus)"],
  ]);
  const undecided = judged(NOTHING_DECIDED, { done: "undecided", peeks: 1, clicks: 3 }, { start: -100 }).figures;
  assert.deepEqual(undecided.slice(0, 3), [
    ["1 of 1", "questions by the rule; 1 look at the view"],
    ["manifest", `your lens: −0.13${D} from balance`],
    ["manifest", `the rule’s lens: −0.13${D} from balance`],
  ]);
  assert.equal(judged(BY_THE_RULE).figures[0][1], "questions by the rule");
});
