// What a learner is told of a run.
import assert from "node:assert/strict";
import test from "node:test";
import { heldAgainst, walk } from "../../src/web/practice/model.js";
import { newRun } from "../../src/web/practice/state.js";
import * as words from "../../src/web/practice/verdict.js";
import { BY_THE_RULE, EASY, GREEN, HARD, PATIENT, RED, SAME, SIDES, TABLE, UNSURE, question } from "./table.js";

const D = "\u202FD";

test("powers have a sign and a true minus; what rounds to nought has none", () => {
  assert.deepEqual([250, -250, 0, 4, -4, 5, -1005, 995].map(words.signed), ["+0.25", "−0.25", "0.00", "0.00", "0.00", "+0.01", "−1.01", "+1.00"]);
  // As IEEE 754 rounds what lies in the middle: to even.
  assert.deepEqual([125, 375, -625, 875].map(words.signed), ["+0.12", "+0.38", "−0.62", "+0.88"]);
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
  return { verdict: words.verdict(TABLE, who, run, held, own), figures: words.figures(TABLE, HARD, who, run, held, own), held };
}
/** What is said of the lens, of the way to it, and why. */
const told = (...run) => { const { lens, path, why } = judged(...run).verdict; return [lens, path, why]; };
const said = (...run) => told(...run)[0], path = (...run) => told(...run)[1];
const isByRule = (...run) => judged(...run).verdict.isByRule;

const ENDED = `Ended at −0.10${D} (here).`;
const NOTHING_DECIDED = [question(0, GREEN)];

test("a run by the rule is told so, the lens first", () => {
  assert.deepEqual(told(BY_THE_RULE), ["The rule’s lens.", "By the rule, to the end.", ENDED]);
  assert.deepEqual(told(NOTHING_DECIDED, { done: "undecided" }), ["Right: nothing is decided.", "By the rule, to the end.", "Not decided."]);
  assert.deepEqual([isByRule(BY_THE_RULE), isByRule(NOTHING_DECIDED, { done: "undecided" })], [true, true]);
});

test("slips are counted, and do not pass for the rule", () => {
  const [first, second, third] = BY_THE_RULE;
  assert.equal(path([first, { ...second, fog: false }, third]), "By the rule, with 1 slip.");
  assert.deepEqual(told([first, { ...second, fog: false }, { ...third, redLeft: true }]).slice(0, 2), ["The rule’s lens.", "By the rule, with 2 slips."]);
  assert.equal(isByRule([first, { ...second, fog: false }, third]), false);
});

test("another finish than the rule's is told, with what the rule has", () => {
  const until = "By the rule until the finish.";
  assert.deepEqual(told(NOTHING_DECIDED), ["The rule leaves no lens in here.", until, "Not decided."]);
  assert.deepEqual(told(BY_THE_RULE, { done: "undecided" }), ["The rule does leave a lens in.", until, ENDED]);
  assert.deepEqual(told(BY_THE_RULE, { clicks: 2 }), ["Another lens than the rule’s.", until, ENDED]);
  assert.equal(isByRule(BY_THE_RULE, { clicks: 2 }), false);
});

test("stopping early is told, with what the rule wants next", () => {
  assert.deepEqual(told([]), ["Nothing was asked.", "", `First. Lens 0.00${D}.`]);
  assert.deepEqual(told([question(0, RED)]), ["Another lens than the rule’s.", "By the rule so far, but the rule goes on.", `Back. Lens −0.10${D}. Fog first.`]);
  assert.equal(words.nextStep(TABLE, heldAgainst(TABLE, EASY, BY_THE_RULE)), `The rule ends here. ${ENDED}`);
  assert.deepEqual([isByRule([]), isByRule([question(0, RED)])], [false, false]);
});

test("what another lens than the rule's was answered is no reason for the rule's next one", () => {
  const [first, other] = [question(0, RED), question(2, UNSURE)];
  assert.equal(words.nextStep(TABLE, heldAgainst(TABLE, EASY, [first, other])), `Question 2 had another lens than the rule’s, so its answer is left out. Still wanted: Lens −0.10${D}. Fog first.`);
});

test("the next step names the sides where the rule does", () => {
  assert.equal(words.nextStep(TABLE, heldAgainst(TABLE, SIDES, [])), `First. Lens 0.00${D}. Sides: green left, red right.`);
  const right = [question(0, RED, { redLeft: false })];
  assert.equal(words.nextStep(TABLE, heldAgainst(TABLE, SIDES, right)), `Stay. Lens 0.00${D}. Sides: red left, green right. Fog first.`);
});

test("the right lens is told before the first departure, with the rule's own run", () => {
  const why = `By the rule, in 3 questions: ${ENDED}`, left = "You left the rule at question 2.";
  assert.deepEqual(told([question(0, RED), question(2, RED), question(3, SAME)]), ["Another lens than the rule’s.", left, why]);
  assert.deepEqual(told([question(0, RED), question(2, RED), question(-1, SAME)]), ["The rule’s lens.", left, why]);
  assert.equal(isByRule([question(0, RED), question(2, RED), ...BY_THE_RULE.slice(1)]), false);
});

test("what help was taken is told, and counts where the page does not say each step", () => {
  const run = { ...newRun(), hints: 2, peeks: 1 };
  assert.equal(words.helpInWords(HARD, run), "2 hints, 1 look at the view");
  assert.equal(words.helpInWords(HARD, newRun()), "");
  assert.equal(words.helpInWords(EASY, { ...newRun(), peeks: 1 }), "told before each, 1 look at the view");
  assert.equal(words.helpForPrint(HARD, run), "2 hints, 1 look at the view");
  assert.equal(words.helpForPrint(HARD, newRun()), "none taken");
  assert.match(words.helpForPrint(EASY, newRun()), /^told before each; .*not counted$/u);
  assert.deepEqual([words.helpThatCounts(HARD, run), words.helpThatCounts(EASY, run)], [3, 0]);
});

test("unequal fields are what a run is about where there are any, or where a learner says so", () => {
  const dim = { dimmer: 1 };
  assert.deepEqual(told([question(0, RED)], { done: "unequal" }, dim).slice(0, 2), ["Right: the fields are unequal.", "You said so after 1 question."]);
  assert.match(told([question(0, RED)], { done: "unequal" }, dim)[2], /^The green field is too dim, so answers lean to red, /);
  assert.deepEqual([isByRule([], { done: "unequal" }, dim), isByRule(BY_THE_RULE, {}, dim), isByRule([], { done: "unequal" })], [true, false, false]);
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
    [`0.07${D}`, `too plus with your lens, −0.10${D}`],
    [`0.07${D}`, `too plus with the rule’s lens, −0.10${D}`],
    ["2 of 3", "questions by the rule; 1 hint, 2 looks at the view"],
    [`0.17${D}`, `too plus with the manifest, 0.00${D}`],
  ]);
  const undecided = judged(NOTHING_DECIDED, { done: "undecided", peeks: 1, clicks: 3 }, { start: -100 }).figures;
  assert.deepEqual(undecided.slice(0, 3), [
    [`0.13${D}`, "too minus with your lens, the manifest"],
    [`0.13${D}`, "too minus with the rule’s lens, the manifest"],
    ["1 of 1", "questions by the rule; 1 look at the view"],
  ]);
  assert.equal(judged(BY_THE_RULE).figures[2][1], "questions by the rule; no hints");
});
