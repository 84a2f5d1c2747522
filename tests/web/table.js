// A small table as the page to practise on has it: one rule of three questions, one eye, two levels.

const RED = 0, GREEN = 1, SAME = 2, UNSURE = 3;

/** Reasons: the manifest, on after red or green, could not tell, sides swapped. */
const FIRST = 0, ON = 1, UNREADABLE = 2, SWAPPED = 3;

/** Red asks for the next lens, which must be met from plus, then its check with sides swapped; "unsure" for larger letters. */
const RULE = {
  procedure: "in three questions", endPoint: "the last lens",
  steps: [[FIRST, 0, false], [ON, -1, true], [SWAPPED, -1, false], [UNREADABLE, 0, false], 0, 1],
  next: [1, 5, 4, 3, 2, 5, 4, 3, 4, 5, 4, 3, 1, 5, 4, 5],
  ends: [{ clicks: -1, words: "Ended at {lens} (here)." }, { clicks: null, words: "Not decided." }],
};

/** Ratios from -200 to +200 thousandths of a dioptre in steps of 100; only larger letters are read everywhere. */
const SIGHT = {
  balance: 30, pupil: "3.0 mm", from: -200, step: 100,
  clearer: [[null, -100, 0, 100, 300], [-300, -100, 0, 100, 300]],
  curve: { from: -500, step: 250, clarity: [[0, 100, 300, 390, 100], [100, 350, 250, 100, 0], [0, 0, 0, 0, 0]] },
  views: [],
};

export const PATIENT = { start: 100, offset: 0, lean: 0, jitter: [0, 0, 0], noise: [0, 0, 0], lapses: [] };

const LEVEL = { rule: 0, sight: 0, sameWithin: 50, takesUp: null, patients: [PATIENT, PATIENT, PATIENT] };

export const TABLE = {
  page: { fieldNames: ["red", "green"] },
  answers: ["On red.", "On green.", "No difference.", "I cannot tell."], short: ["red", "green", "same", "unsure"],
  judged: { red: RED, green: GREEN, same: SAME, unsure: UNSURE },
  because: [["First."], ["Back.", "Stay.", "On."], ["Larger."], ["Swap."]],
  couldNotTell: UNREADABLE, sidesSwapped: SWAPPED, mostClicks: 4, click: 100, lensPlace: "{lens}", throughPlus: "Fog first.",
  rules: [RULE], sights: [SIGHT], levels: [{ name: "easy", ...LEVEL }, { name: "hard", ...LEVEL }],
};

export const [EASY] = TABLE.levels;

/** A question as a learner put it. */
export const question = (clicks, answer, more = {}) => ({ number: 0, clicks, answer, fromPlus: false, larger: false, redLeft: true, fog: false, ...more });

/** By the rule to its end: red, red from plus, the same with sides swapped. */
export const BY_THE_RULE = [question(0, RED), question(-1, RED, { fog: true }), question(-1, SAME, { redLeft: false })];

export { GREEN, RED, SAME, UNSURE };
