// How a run went, in words.
import { THOUSAND, because, lensErrorOf, sightOf } from "./model.js";

/** @import { Practice, Level, Patient, End } from "./table.js" */
/** @import { Held, Ran, Remark } from "./model.js" */
/** @import { Run } from "./state.js" */

const SLIPS = {
  swap: "Right lens, but the sides were not swapped.",
  fog: "Right lens, but the eye was not fogged first.",
  larger: "Right lens, but the letters were not larger.",
  side: "Right lens, but red lay on the other side.",
};

/** A power with sign and a true minus, from thousandths, an eighth's half to the even hundredth as Rust writes it; zero has no sign. @param {number} thousandths */
export function signed(thousandths) {
  const size = Math.abs(thousandths), hundredths = size % 250 === 125 ? 2 * Math.round(size / 20) : Math.round((size * 100) / THOUSAND);
  const sign = hundredths === 0 ? "" : thousandths < 0 ? "−" : "+";
  return `${sign}${(hundredths / 100).toFixed(2)}`;
}

/** The same with its unit. @param {number} thousandths */
export const dioptres = (thousandths) => `${signed(thousandths)}\u202fD`;

/** @param {Practice} table @param {number} clicks */
export const lens = (table, clicks) => dioptres(clicks * table.click);

/** @param {number} count @param {string} word */
export const plural = (count, word) => `${count} ${word}${count === 1 ? "" : "s"}`;

/** A "0.00 D" stays in where the rule keeps the manifest's own lens. @param {Practice} table @param {End} end */
export const ended = (table, end) => end.words.replace(table.lensPlace, end.clicks === null ? "" : lens(table, end.clicks));

/** What the rule wants next, in the balance's words. @param {Practice} table @param {Held} held */
export function nextStep(table, { want, moved, remarks }) {
  if (want.end) return `The rule ends here. ${ended(table, want.end)}`;
  const { sides } = table.page;
  const side = want.redLeft === null ? "" : ` Sides: ${sides[want.redLeft ? 0 : 1]}.`;
  const fog = want.throughPlus ? ` ${table.throughPlus}` : "";
  // The answer before the rule's own lens is in place says nothing of what the rule does next.
  const why = remarks.at(-1)?.departed ? `Question ${remarks.length} had another lens than the rule’s, so its answer is left out. Still wanted:` : because(table, want.why, moved);
  return `${why} Lens ${lens(table, want.clicks)}.${side}${fog}`;
}

/**
 * What a run came to: of the lens first, then of the way to it, and why.
 * @typedef {{ lens: string, path: string, why: string, isByRule: boolean }} Verdict
 */

/**
 * @param {Practice} table
 * @param {Patient} patient
 * @param {Run} run
 * @param {Held} held
 * @param {Ran} own The rule's own run.
 * @returns {Verdict}
 */
export function verdict(table, patient, run, held, own) {
  if (run.done === "unequal" || patient.dimmer !== undefined) return aboutFields(table, patient, run);
  const end = held.want.end ?? own.end, first = held.remarks.findIndex(({ departed }) => departed);
  const slips = held.remarks.filter(({ slip }) => slip).length, isRight = finishesAs(run, end);
  if (run.asked.length === 0) return { lens: "Nothing was asked.", path: "", why: nextStep(table, held), isByRule: false };
  const says = { lens: aboutLens(run, end, isRight), why: ended(table, end), isByRule: false };
  if (first >= 0) {
    return { ...says, path: `You left the rule at question ${first + 1}.`, why: `By the rule, in ${plural(own.asked.length, "question")}: ${ended(table, own.end)}` };
  }
  if (!held.want.end) return { ...says, lens: isRight ? "The rule’s lens, but too early." : says.lens, path: "By the rule so far, but the rule goes on.", why: nextStep(table, held) };
  if (slips > 0) {
    // A rule that was not followed at a slip may have ended otherwise.
    const otherwise = own.end.clicks === end.clicks ? "" : ` Without ${slips === 1 ? "the slip" : "slips"}: ${ended(table, own.end)}`;
    return { ...says, lens: aboutLens(run, end, isRight && otherwise === ""), path: `By the rule, with ${plural(slips, "slip")}.`, why: `${says.why}${otherwise}` };
  }
  return { ...says, path: `By the rule${isRight ? ", to the end" : " until the finish"}.`, isByRule: isRight };
}

/** Whether a run is finished as the rule ends. @param {Run} run @param {End} end */
const finishesAs = ({ done, clicks }, end) => (done === "lens" ? end.clicks === clicks : end.clicks === null);

/** What is said of the lens that was left in. @param {Run} run @param {End} end @param {boolean} isRight */
function aboutLens({ done }, end, isRight) {
  if (isRight) return done === "lens" ? "The rule’s lens." : "Right: nothing is decided.";
  if (done !== "lens") return "The rule does leave a lens in.";
  return end.clicks === null ? "The rule leaves no lens in here." : "Another lens than the rule’s.";
}

/**
 * A run that ended, or should have, because the fields are unequal.
 * @param {Practice} table
 * @param {Patient} patient
 * @param {Run} run
 * @returns {Verdict}
 */
function aboutFields({ page: { fieldNames } }, { dimmer }, { done, asked }) {
  if (dimmer === undefined) {
    return { lens: "These fields are equal.", path: "", why: "Both have the same brightness. The balance can go on.", isByRule: false };
  }
  const why = `The ${fieldNames[dimmer]} field is too dim, so answers lean to ${fieldNames[1 - dimmer]}, here by about one click.`;
  return done === "unequal"
    ? { lens: "Right: the fields are unequal.", path: `You said so after ${plural(asked.length, "question")}.`, why, isByRule: true }
    : { lens: "The fields were unequal.", path: "Look at the fields before the first question, and say so.", why, isByRule: false };
}

/** A question beside the rule. @param {Practice} table @param {Remark} remark */
export function remarkWords(table, { want, slip, departed, moved }) {
  if (want.end) return "The rule had already ended.";
  if (slip) return SLIPS[slip];
  return `${departed ? `Rule: ${lens(table, want.clicks)}. ` : ""}${because(table, want.why, moved)}`;
}

/** A verdict on a question in a word, for print. @param {Remark} remark */
export const remarkVerdict = ({ departed, slip }) => (departed ? "left the rule" : slip ? "slip" : "by the rule");

/** How many questions were by the rule. @param {Held} held */
export const rightOnes = ({ remarks }) => remarks.filter(({ departed, slip }) => !departed && !slip).length;

/** What help a run had, in words; nothing where none was taken. @param {Level} level @param {Run} run */
export function helpInWords({ guide }, { hints, peeks }) {
  const taken = [
    guide === "told" ? "told before each" : hints > 0 ? plural(hints, "hint") : "",
    peeks > 0 ? `${plural(peeks, "look")} at the view` : "",
  ];
  return taken.filter(Boolean).join(", ");
}

/** The same for print, where the score stands below. @param {Level} level @param {Run} run */
export function helpForPrint(level, run) {
  const words = helpInWords(level, run);
  if (words === "") return "none taken";
  return level.guide === "told" ? `${words}; where the page says each step, help is not counted` : words;
}

/** How much of that counts: where the page says each step, none does. @param {Level} level @param {Run} run */
export const helpThatCounts = ({ guide }, { hints, peeks }) => (guide === "told" ? 0 : hints + peeks);

/** The lens that a learner leaves in; the manifest's own where none. @param {Run} run */
export const leftIn = ({ done, clicks }) => (done === "lens" ? clicks : 0);

/**
 * How far a lens lies from balance, from thousandths, and in which direction.
 * @param {number} thousandths @param {string} whose
 */
function missed(thousandths, whose) {
  const size = dioptres(Math.abs(thousandths)).replace("+", "");
  return [size, signed(thousandths) === "0.00" ? `off balance with ${whose}` : `too ${thousandths < 0 ? "minus" : "plus"} with ${whose}`];
}

/**
 * The figures, each with what it is.
 * @param {Practice} table
 * @param {Level} level
 * @param {Patient} patient
 * @param {Run} run
 * @param {Held} held
 * @param {Ran} own
 */
export function figures(table, level, patient, run, held, own) {
  /** @param {number} clicks @param {string} whose */
  const off = (clicks, whose) => missed(lensErrorOf(table, patient, clicks) - sightOf(table, level).balance, whose);
  const help = helpInWords(level, run) || "no hints", rules = own.end.clicks;
  return [
    off(leftIn(run), `your lens, ${run.done === "lens" ? lens(table, run.clicks) : "the manifest"}`),
    off(rules ?? 0, `the rule’s lens, ${rules === null ? "the manifest" : lens(table, rules)}`),
    [`${rightOnes(held)} of ${run.asked.length}`, `questions by the rule; ${help}`],
    off(0, `the manifest, ${lens(table, 0)}`),
  ];
}
