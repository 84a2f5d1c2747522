// The score of a learner as a short code, written and read. How it is built, and why it finds slips, stands with its numbers in Rust.

/**
 * What Rust hands over: the digits in order, how many hold the score and the tag, how a code is grouped, what mixes the tag, what
 * binds it to a class, and how many values each part of a score has.
 * @typedef {object} Code
 * @property {string} alphabet
 * @property {number} scoreDigits
 * @property {number} tagDigits
 * @property {number} group
 * @property {number} factor
 * @property {number} key
 * @property {Record<keyof Score, number>} sizes
 * @property {string} noExamination
 */

/**
 * Levels that are passed, a bit each; patients finished, and by the rule of them; questions by the rule in per cent; hints.
 * @typedef {{ passed: number, finished: number, byRule: number, share: number, hints: number }} Score
 */

/**
 * What a code says, or what is wrong with it: a sign that is none of the digits, its length, a slip, another class.
 * @typedef {{ score: Score, wrong?: undefined } | { score?: undefined, wrong: "letter" | "length" | "typing" | "class", letter?: string }} Read
 */

/** The parts of a score in the order in which a code has them. @type {(keyof Score)[]} */
const PARTS = ["passed", "finished", "byRule", "share", "hints"];

/** A number as so many digits, the highest first. @param {Code} code @param {number} number @param {number} count */
function digitsOf({ alphabet: { length: base } }, number, count) {
  const digits = [];
  for (let rest = number; digits.length < count; rest = Math.floor(rest / base)) digits.unshift(rest % base);
  return digits;
}

/** What the weighed digits of a code leave, divided by the base: nought where it has no slip. @param {Code} code @param {number[]} digits */
const restOf = ({ alphabet: { length: base } }, digits) => digits.reduce((sum, digit, place) => sum + digit * (place + 1), 0) % base;

/** What binds a score to its class. @param {Code} code @param {number[]} digits */
function tagOf(code, digits) {
  const mixed = digits.reduce((hash, digit) => Math.imul(hash ^ digit, code.factor), code.key);
  // The higher half of a product is mixed better than the lower.
  return digitsOf(code, (mixed ^ (mixed >>> 16)) >>> 0, code.tagDigits);
}

/** A score as a code, in groups. @param {Code} code @param {Score} score */
export function written(code, score) {
  const number = PARTS.reduce((sum, part) => sum * code.sizes[part] + Math.min(score[part], code.sizes[part] - 1), 0);
  const held = digitsOf(code, number, code.scoreDigits), digits = [...held, ...tagOf(code, held)];
  const { length: base } = code.alphabet;
  for (let last = 0; last < base; last += 1) {
    if (restOf(code, [...digits, last]) === 0) return grouped(code, [...digits, last]);
  }
  throw new Error("the base is no prime");
}

/** @param {Code} code @param {number[]} digits */
const grouped = ({ alphabet, group }, digits) =>
  digits.map((digit, place) => (place > 0 && place % group === 0 ? "-" : "") + alphabet[digit]).join("");

/** What a code says; spaces, hyphens and small letters are no slips. @param {Code} code @param {string} typed @returns {Read} */
export function readCode(code, typed) {
  const letters = [...typed.toUpperCase()].filter((letter) => !/[\s\u2010-\u2015-]/.test(letter));
  const letter = letters.find((one) => !code.alphabet.includes(one));
  if (letter !== undefined) return { wrong: "letter", letter };
  if (letters.length !== code.scoreDigits + code.tagDigits + 1) return { wrong: "length" };
  const digits = letters.map((one) => code.alphabet.indexOf(one));
  if (restOf(code, digits) !== 0) return { wrong: "typing" };
  const held = digits.slice(0, code.scoreDigits);
  if (`${digits.slice(code.scoreDigits, -1)}` !== `${tagOf(code, held)}`) return { wrong: "class" };
  return { score: scoreIn(code, held) };
}

/** @param {Code} code @param {number[]} digits @returns {Score} */
function scoreIn({ alphabet: { length: base }, sizes }, digits) {
  let rest = digits.reduce((sum, digit) => sum * base + digit, 0);
  const score = { passed: 0, finished: 0, byRule: 0, share: 0, hints: 0 };
  for (const part of [...PARTS].reverse()) {
    score[part] = rest % sizes[part];
    rest = Math.floor(rest / sizes[part]);
  }
  return score;
}
