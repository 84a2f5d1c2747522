// A small table as the page to practise on has it: one rule of three questions, one eye, two levels.

const RED = 0, GREEN = 1, SAME = 2, UNSURE = 3;

/** The same on white, behind them. */
const READ = 4, LOST = 5;

/** Reasons: the manifest, on after red or green, could not tell, sides swapped. */
const FIRST = 0, ON = 1, UNREADABLE = 2, SWAPPED = 3;

/** What else belongs to a question. */
const FOG = 1, LARGER = 2, SWAP = 4, RED_LEFT = 8, RED_RIGHT = 16;

/** Red asks for the next lens, which must be met from plus, then its check with sides swapped; "unsure" for larger letters. */
const RULE = {
  procedure: "in three questions", endPoint: "the last lens", answers: [RED, GREEN, SAME, UNSURE], onWhite: false,
  steps: [[FIRST, 0, 0], [ON, -1, FOG], [SWAPPED, -1, SWAP], [UNREADABLE, 0, LARGER], 0, 1],
  next: [1, 5, 4, 3, 2, 5, 4, 3, 4, 5, 4, 3, 1, 5, 4, 5],
  ends: [{ clicks: -1, words: "Ended at {lens} (here)." }, { clicks: null, words: "Not decided." }],
};

/** On white: plus until the line is lost, then that lens, whatever is read. */
const ON_WHITE = {
  procedure: "on white", endPoint: "", answers: [READ, LOST], onWhite: true,
  steps: [[FIRST, 0, 0], [ON, 1, LARGER], 0], next: [1, 2, 2, 2, 2, 2], ends: [{ clicks: 1, words: "Ended at {lens}." }],
};

/** Red on the right, then on the left. */
const BY_SIDES = {
  ...RULE, steps: [[FIRST, 0, RED_RIGHT], [ON, 0, RED_LEFT + FOG], 0], next: [1, 1, 1, 1, 2, 2, 2, 2, 2, 2, 2, 2], ends: [RULE.ends[0]],
};

/** Ratios from -200 to +200 thousandths of a dioptre in steps of 100; only larger letters are read everywhere. */
const SIGHT = {
  balance: 30, pupil: "3.0 mm", from: -200, step: 100,
  clearer: [[null, -100, 0, 100, 300], [-300, -100, 0, 100, 300]],
  white: [[-2000, -100, 0, 50, 100], [-2000, 100, 100, 100, 100]],
  curve: { from: -500, step: 250, clarity: [[0, 100, 300, 390, 100], [100, 350, 250, 100, 0], [0, 0, 0, 0, 0]] },
  views: [],
};

export const PATIENT = { start: 100, offset: 0, lean: 0, jitter: [0, 0, 0], noise: [0, 0, 0], lapses: [] };

const LEVEL = { rule: 0, sight: 0, sameWithin: 50, takesUp: null, bySide: false, guide: "asked", patients: [PATIENT, PATIENT, PATIENT] };

export const TABLE = {
  page: { fieldNames: ["red", "green"], sides: ["red left, green right", "green left, red right"] },
  answers: ["On red.", "On green.", "No difference.", "I cannot tell.", "All of it.", "None of it."], short: ["red", "green", "same", "unsure", "read", "lost"],
  judged: { red: RED, green: GREEN, same: SAME, unsure: UNSURE, read: READ, lost: LOST },
  marks: { fog: FOG, larger: LARGER, swap: SWAP, redLeft: RED_LEFT, redRight: RED_RIGHT },
  readSd: 100, beside: 0.25, inARow: 2, mostHints: 1,
  because: [["First."], ["Back.", "Stay.", "On."], ["Larger."], ["Swap."]],
  mostClicks: 4, click: 100, lensPlace: "{lens}", throughPlus: "Fog first.",
  rules: [RULE, ON_WHITE, BY_SIDES], sights: [SIGHT], levels: [
    { name: "easy", title: "Easy", ...LEVEL, guide: "told" }, { name: "hard", title: "Hard", ...LEVEL },
    { name: "white", title: "White", ...LEVEL, rule: 1 }, { name: "sides", title: "Sides", ...LEVEL, rule: 2, bySide: true },
  ],
};

export const [EASY, HARD, WHITE, SIDES] = TABLE.levels;

/** A question as a learner put it. */
export const question = (clicks, answer, more = {}) => ({ number: 0, clicks, answer, fromPlus: false, larger: false, redLeft: true, fog: false, ...more });

/** By the rule to its end: red, red from plus, the same with sides swapped. */
export const BY_THE_RULE = [question(0, RED), question(-1, RED, { fog: true }), question(-1, SAME, { redLeft: false })];

export { GREEN, LOST, READ, RED, SAME, UNSURE };
