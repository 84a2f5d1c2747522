// Codes of scores: what they carry comes back, and slips are found.
import assert from "node:assert/strict";
import test from "node:test";
import { readCode, written } from "../../src/web/practice/code.js";

const CODE = {
  alphabet: "ACDEFHJKLMNPRTVWXY34679", scoreDigits: 8, tagDigits: 3, group: 4, factor: 16777619, key: 2323441947,
  sizes: { passed: 512, finished: 100, byRule: 100, share: 101, hints: 61 },
};
const SCORE = { passed: 0b101100111, finished: 23, byRule: 17, share: 91, hints: 6 };
const NOTHING = { passed: 0, finished: 0, byRule: 0, share: 0, hints: 0 };
const MOST = { passed: 511, finished: 99, byRule: 99, share: 100, hints: 60 };

const plain = (code) => [...code.replaceAll("-", "")];
const wrong = (letters, code = CODE) => readCode(code, letters.join("")).wrong;

test("a score comes back from its code", () => {
  for (const score of [SCORE, NOTHING, MOST]) assert.deepEqual(readCode(CODE, written(CODE, score)), { score });
  for (const part of Object.keys(SCORE)) {
    for (let value = 0; value < CODE.sizes[part]; value += 7) {
      const score = { ...SCORE, [part]: value };
      assert.deepEqual(readCode(CODE, written(CODE, score)).score, score);
    }
  }
});

test("what is more than a code can hold counts as the most that it can", () => {
  assert.deepEqual(readCode(CODE, written(CODE, { ...SCORE, finished: 300, hints: 61 })).score, { ...SCORE, finished: 99, hints: 60 });
});

test("a code stands in three groups of four, without signs that look alike", () => {
  assert.match(written(CODE, SCORE), /^[^0OQ1I2Z5S8BGU]{4}-[^0OQ1I2Z5S8BGU]{4}-[^0OQ1I2Z5S8BGU]{4}$/);
});

test("any single wrong sign is found, at every place", () => {
  let tried = 0;
  for (const score of [SCORE, NOTHING, MOST]) {
    const letters = plain(written(CODE, score));
    for (const place of letters.keys()) {
      for (const other of CODE.alphabet) {
        if (other === letters[place]) continue;
        assert.equal(wrong(letters.with(place, other)), "typing", `${other} at ${place}`);
        tried += 1;
      }
    }
  }
  assert.equal(tried, 3 * 12 * 22);
});

test("any swap of two neighbours is found, at every place", () => {
  let tried = 0;
  for (let hints = 0; hints < 61; hints += 1) {
    const letters = plain(written(CODE, { ...SCORE, hints }));
    for (let place = 0; place + 1 < letters.length; place += 1) {
      const [one, other] = [letters[place], letters[place + 1]];
      if (one === other) continue;
      assert.equal(wrong(letters.with(place, other).with(place + 1, one)), "typing", `${one}${other} at ${place}`);
      tried += 1;
    }
  }
  // Neighbours are alike in one pair of 23, so hardly any falls away.
  assert.ok(tried > 500, `${tried}`);
});

test("a code of another class is told from a slip", () => {
  let taken = 0;
  for (let key = 1; key <= 2000; key += 1) {
    const other = readCode({ ...CODE, key: Math.imul(key, 2654435761) >>> 0 }, written(CODE, SCORE));
    assert.ok(other.wrong === "class" || other.score);
    taken += other.score ? 1 : 0;
  }
  // One of 23 · 23 · 23 tags fits by chance.
  assert.ok(taken <= 3, `${taken} of 2000 other classes take it`);
});

test("every part of a score moves the tag, so no score can be changed with its check alone", () => {
  const tag = (score) => plain(written(CODE, score)).slice(8, 11).join("");
  for (const part of Object.keys(SCORE)) assert.notEqual(tag({ ...SCORE, [part]: SCORE[part] + 1 }), tag(SCORE), part);
});

test("small letters, spaces and any hyphens are no slips; other signs and lengths are told", () => {
  const code = written(CODE, SCORE);
  for (const typed of [code.toLowerCase(), code.replaceAll("-", " "), code.replaceAll("-", "‑"), ` ${code} `, plain(code).join("")]) {
    assert.deepEqual(readCode(CODE, typed).score, SCORE, typed);
  }
  assert.deepEqual(readCode(CODE, code.replace(/.$/, "O")), { wrong: "letter", letter: "O" });
  for (const typed of ["", code.slice(1), `${code}A`]) assert.deepEqual(readCode(CODE, typed), { wrong: "length" });
});
