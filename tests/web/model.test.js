// The patient's answers and the rule, worked by hand on a small table.
import assert from "node:assert/strict";
import test from "node:test";
import * as rules from "../../src/web/practice/model.js";
import { BY_THE_RULE, EASY, GREEN, LOST, PATIENT, READ, RED, SAME, SIDES, TABLE, UNSURE, WHITE, question } from "./table.js";

const answer = (patient, put, level = EASY) =>
  rules.answerOf(TABLE, level, { ...PATIENT, ...patient }, { number: 0, clicks: 0, fromPlus: false, larger: false, ...put });

test("a patient judges by the ratio at the nearest lens error of the table", () => {
  // From +0.10 D with the manifest: red; each click takes 0.1 D.
  assert.deepEqual([1, 0, -1, -2, -3].map((clicks) => answer({}, { clicks })), [RED, RED, SAME, GREEN, UNSURE]);
  assert.deepEqual([149, 50, 49, -50, -51].map((start) => answer({ start }, {})), [RED, RED, SAME, SAME, GREEN]);
  // Beyond the table its ends count.
  assert.deepEqual([answer({ start: 2000 }, {}), answer({ start: -2000 }, {})], [RED, UNSURE]);
});

test("larger letters have their own clarities", () => {
  assert.equal(answer({ start: -200 }, { larger: true }), GREEN);
});

test("no difference reaches as far as the level has it, to either side", () => {
  const within = (sameWithin) => ({ ...EASY, sameWithin });
  assert.deepEqual([99, 100].map((limit) => answer({}, {}, within(limit))), [RED, SAME]);
  assert.deepEqual([99, 100].map((limit) => answer({ start: -100 }, {}, within(limit))), [GREEN, SAME]);
});

test("every chance of a patient moves the answer", () => {
  assert.equal(answer({ offset: -100 }, {}), SAME);
  assert.equal(answer({ lean: -160 }, {}), GREEN);
  assert.equal(answer({ noise: [-60] }, {}), SAME);
  assert.equal(answer({ jitter: [-200, 0] }, { number: 2 }), GREEN);
  assert.equal(answer({ jitter: [-200, 0] }, { number: 1 }), RED);
  assert.equal(answer({ lapses: [[1, UNSURE]] }, { number: 4 }), UNSURE);
  assert.equal(answer({ lapses: [[1, UNSURE]] }, { number: 3 }), RED);
});

test("an eye that accommodates takes up a share of the minus, up to its maximum, unless it comes from plus", () => {
  const young = { ...EASY, takesUp: [800, 500] };
  // Four fifths of 0.1 D; of 0.999 D whole thousandths count; of 2 D no more than half a dioptre.
  assert.deepEqual([-100, -600, -999, -2000, 100].map((error) => rules.left(young, error, false)), [-20, -120, -499, -1500, 100]);
  assert.equal(rules.left({ ...EASY, takesUp: [800, 4000] }, -999, false), -200);
  assert.equal(rules.left(young, -100, true), -100);
  assert.equal(rules.left(EASY, -100, false), -100);
  assert.equal(answer({ start: -100 }, {}, young), SAME);
});

test("the rule's steps, its next states and its reasons are those of the table", () => {
  assert.deepEqual(rules.wanted(TABLE, EASY, 1), { why: 1, clicks: -1, throughPlus: true, larger: false, swap: false, redLeft: null });
  assert.deepEqual(rules.wanted(TABLE, EASY, 2), { why: 3, clicks: -1, throughPlus: false, larger: false, swap: true, redLeft: null });
  assert.deepEqual(rules.wanted(TABLE, EASY, 3), { why: 2, clicks: 0, throughPlus: false, larger: true, swap: false, redLeft: null });
  assert.deepEqual([0, 1].map((state) => rules.wanted(TABLE, SIDES, state).redLeft), [false, true]);
  assert.equal(rules.wanted(TABLE, SIDES, 1).throughPlus, true);
  assert.deepEqual(rules.wanted(TABLE, EASY, 5), { end: TABLE.rules[0].ends[1] });
  assert.deepEqual([RED, GREEN, SAME, UNSURE].map((said) => rules.after(TABLE, EASY, 1, said)), [2, 5, 4, 3]);
  assert.deepEqual([-9, -1, 0, 1, 9].map((moved) => rules.because(TABLE, 1, moved)), ["Back.", "Back.", "Stay.", "On.", "On."]);
  assert.deepEqual([-9, 0, 9].map((moved) => rules.because(TABLE, 0, moved)), ["First.", "First.", "First."]);
});

test("the rule's own run asks from plus and in larger letters where it should", () => {
  const walk = (patient, level = EASY) => rules.walk(TABLE, level, { ...PATIENT, ...patient });
  // Red at +0.2 D, red at +0.1 D, and again with sides swapped: that ends it.
  assert.deepEqual(walk({ start: 200 }), {
    asked: [{ clicks: 0, answer: RED }, { clicks: -1, answer: RED }, { clicks: -1, answer: RED }], end: TABLE.rules[0].ends[0],
  });
  // Unreadable at −0.2 D, green in larger letters.
  assert.deepEqual(walk({ start: -200 }), { asked: [{ clicks: 0, answer: UNSURE }, { clicks: 0, answer: GREEN }], end: TABLE.rules[0].ends[1] });
  // From plus nothing is taken up: at −0.1 D, green. Otherwise 0.08 D of it were, and it would be the same.
  const young = { ...EASY, takesUp: [800, 500] };
  assert.deepEqual(walk({ start: 0, lapses: [[0, RED]] }, young).asked, [{ clicks: 0, answer: RED }, { clicks: -1, answer: GREEN }]);
  // As from a lens with more plus, so where the rule has the eye fogged.
  const [rule] = TABLE.rules, fogged = { ...TABLE, rules: [{ ...rule, steps: [[0, 0, true], ...rule.steps.slice(1)] }] };
  const first = (table) => rules.walk(table, young, { ...PATIENT, start: -100 }).asked[0].answer;
  assert.deepEqual([first(TABLE), first(fogged)], [SAME, GREEN]);
});

test("on white a line is read as its legibility and chance have it", () => {
  const read = (patient, put = {}) => answer(patient, put, WHITE) === READ;
  // Thousandths of a logarithm from −0.2 D on: −2000, −100, 0, 50, 100; what is just legible is read.
  assert.deepEqual([-200, -100, 0, 100, 200].map((start) => read({ start })), [false, false, true, true, true]);
  // A tenth of the noise counts: 1000 of it makes up for a hundred thousandths, 999 does not quite.
  assert.deepEqual([999, 998, 996].map((noise) => read({ start: -100, noise: [noise] })), [true, true, false]);
  assert.deepEqual([-3, -1000].map((noise) => read({ start: 0, noise: [noise] })), [false, false]);
  assert.equal(read({ start: -100 }, { larger: true }), true);
  // Who does not look reads it as often as not, whatever there is to see.
  assert.deepEqual([-1, 1].map((noise) => read({ start: 200, lapses: [[0, RED]], noise: [noise] })), [true, false]);
  const walk = (start) => rules.walk(TABLE, WHITE, { ...PATIENT, start }).asked;
  assert.deepEqual(walk(-100), [{ clicks: 0, answer: LOST }]);
  assert.deepEqual(walk(0), [{ clicks: 0, answer: READ }, { clicks: 1, answer: READ }]);
});

test("who cannot tell the colours apart names the side on which the clearer one lies", () => {
  const said = (level, one, redLeft) => rules.saidAs(TABLE, level, { answer: one, redLeft }, TABLE.answers, ["Left.", "Right."]);
  assert.deepEqual([said(SIDES, RED, true), said(SIDES, RED, false), said(SIDES, GREEN, true), said(SIDES, GREEN, false)], ["Left.", "Right.", "Right.", "Left."]);
  assert.deepEqual([said(SIDES, SAME, true), said(SIDES, UNSURE, true), said(EASY, RED, true)], ["No difference.", "I cannot tell.", "On red."]);
});

const held = (asked) => rules.heldAgainst(TABLE, EASY, asked);
const marks = (asked) => held(asked).remarks.map(({ departed, slip }) => (departed ? "left" : slip));

test("a run by the rule has neither departures nor slips, and comes to the rule's end", () => {
  assert.deepEqual(marks(BY_THE_RULE), [null, null, null]);
  assert.equal(held(BY_THE_RULE).want.end, TABLE.rules[0].ends[0]);
  assert.deepEqual(held(BY_THE_RULE).remarks.map(({ moved }) => moved), [0, -1, 0]);
});

test("another lens is a departure, and the rule still wants its own", () => {
  const { remarks, want, moved } = held([question(0, RED), question(-3, GREEN)]);
  assert.deepEqual(remarks.map(({ departed }) => departed), [false, true]);
  assert.equal(want.clicks, -1);
  // From the lens in place to the one that is wanted.
  assert.equal(moved, 2);
  assert.deepEqual(marks([question(0, RED), question(-3, GREEN), BY_THE_RULE[1]]), [null, "left", null]);
  assert.deepEqual(marks([...BY_THE_RULE, question(-1, RED)]).at(-1), "left");
});

test("a right lens without what belongs to it is a slip, and the rule goes on", () => {
  const [first, second] = BY_THE_RULE;
  assert.deepEqual(marks([first, question(-1, RED)]), [null, "fog"]);
  assert.deepEqual(marks([first, second, question(-1, SAME)]), [null, null, "swap"]);
  assert.deepEqual(marks([question(0, UNSURE), question(0, RED)]), [null, "larger"]);
  assert.deepEqual(marks([question(0, UNSURE), question(0, RED, { larger: true })]), [null, null]);
  assert.equal(held([first, question(-1, RED)]).want.swap, true);
  const bySides = (asked) => rules.heldAgainst(TABLE, SIDES, asked).remarks.map(({ slip }) => slip);
  assert.deepEqual(bySides([question(0, RED), question(0, RED, { fog: true })]), ["side", null]);
  assert.deepEqual(bySides([question(0, RED, { redLeft: false }), question(0, RED)]), [null, "fog"]);
});

test("patients follow each other in a ring", () => {
  assert.deepEqual([0, 1, 3, 4].map((number) => rules.patientNumber(EASY, number)), [3, 1, 3, 1]);
  assert.deepEqual([0, 1, 3, 4, 1.5, NaN].map((number) => rules.hasPatient(EASY, number)), [false, true, true, false, false, false]);
});

test("an address opens the patient that it names, and what it does not know is told", () => {
  const preset = (hash) => rules.preset(TABLE, hash, { level: 0, number: 2 });
  assert.deepEqual(preset(""), { level: 0, number: 2, unknown: [] });
  assert.deepEqual(preset("#patient=3&level=hard"), { level: 1, number: 3, unknown: [] });
  assert.deepEqual(preset("#patient=4&level=odd&seed=3"), { level: 0, number: 2, unknown: ["patient=4", "level=odd", "seed=3"] });
});
