// How a run went, in words.
import { THOUSAND, because, lensErrorOf, sightOf } from "./model.js";

/** @import { Practice, Level, Patient, End } from "./table.js" */
/** @import { Held, Ran, Remark } from "./model.js" */
/** @import { Run } from "./state.js" */

const SLIPS = {
  swap: "Right lens, but the sides were not swapped.",
  fog: "Right lens, but the eye was not fogged first.",
  larger: "Right lens, but the letters were not larger.",
};

/** A power with sign and a true minus, from thousandths; zero has no sign. @param {number} thousandths */
export function signed(thousandths) {
  const hundredths = Math.round((Math.abs(thousandths) * 100) / THOUSAND);
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
export function nextStep(table, { want, moved }) {
  if (want.end) return `The rule ends here. ${ended(table, want.end)}`;
  const fog = want.throughPlus ? ` ${table.throughPlus}` : "";
  return `${because(table, want.why, moved)} Lens ${lens(table, want.clicks)}.${fog}`;
}

/**
 * The sentence that a run comes to, and why.
 * @param {Practice} table
 * @param {Patient} patient
 * @param {Run} run
 * @param {Held} held
 * @param {Ran} own The rule's own run.
 * @returns {[string, string]}
 */
export function verdict(table, patient, run, held, own) {
  if (run.done === "unequal" || patient.dimmer !== undefined) return aboutFields(table, patient, run);
  const first = held.remarks.findIndex(({ departed }) => departed);
  if (first >= 0) {
    return [`You left the rule at question ${first + 1}.`, `By the rule, in ${plural(own.asked.length, "question")}: ${ended(table, own.end)}`];
  }
  if (!held.want.end) {
    return [run.asked.length === 0 ? "Nothing was asked." : "By the rule so far, but the rule goes on.", nextStep(table, held)];
  }
  return [byTheRule(run, held, held.want.end), ended(table, held.want.end)];
}

/**
 * A run that ended, or should have, because the fields are unequal.
 * @param {Practice} table
 * @param {Patient} patient
 * @param {Run} run
 * @returns {[string, string]}
 */
function aboutFields({ page: { fieldNames } }, { dimmer }, { done, asked }) {
  if (dimmer === undefined) return ["These fields are equal.", "Both have the same brightness. The balance can go on."];
  const dimmed = `The ${fieldNames[dimmer]} field is too dim, so answers lean to ${fieldNames[1 - dimmer]}, here by about one click.`;
  return done === "unequal"
    ? ["Right: the fields are unequal.", `${dimmed} You said so after ${plural(asked.length, "question")}.`]
    : ["The fields were unequal.", `${dimmed} Look at the fields before the first question, and say so.`];
}

/** A run in which every question was by the rule, to its end. @param {Run} run @param {Held} held @param {End} end */
function byTheRule({ done, clicks }, { remarks }, end) {
  if (done === "lens" && end.clicks === null) return "By the rule, but the rule leaves no lens in here.";
  if (done !== "lens" && end.clicks !== null) return "By the rule, but the rule does leave a lens in.";
  if (done === "lens" && end.clicks !== clicks) return "By the rule, but the rule leaves another lens in.";
  const slips = remarks.filter(({ slip }) => slip).length;
  return slips ? `By the rule, with ${plural(slips, "slip")}.` : "By the rule, to the end.";
}

/** A question beside the rule. @param {Practice} table @param {Remark} remark */
export function remarkWords(table, { want, slip, departed, moved }) {
  if (want.end) return "The rule had already ended.";
  if (slip) return SLIPS[slip];
  return `${departed ? `Rule: ${lens(table, want.clicks)}. ` : ""}${because(table, want.why, moved)}`;
}

/** The lens that a learner leaves in; the manifest's own where none. @param {Run} run */
export const leftIn = ({ done, clicks }) => (done === "lens" ? clicks : 0);

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
  const right = held.remarks.filter(({ departed, slip }) => !departed && !slip).length;
  /** @param {number} clicks */
  const off = (clicks) => dioptres(lensErrorOf(table, patient, clicks) - sightOf(table, level).balance);
  const hints = run.hints ? `; ${plural(run.hints, "hint")}` : "";
  const looks = run.peeks ? `${hints ? "," : ";"} ${plural(run.peeks, "look")} at the view` : "";
  const rules = own.end.clicks;
  return [
    [`${right} of ${run.asked.length}`, `questions by the rule${hints}${looks}`],
    [run.done === "lens" ? lens(table, run.clicks) : "manifest", `your lens: ${off(leftIn(run))} from balance`],
    [rules === null ? "manifest" : lens(table, rules), `the rule’s lens: ${off(rules ?? 0)} from balance`],
    [off(0), "the manifest refraction, from balance (+ is too much plus)"],
  ];
}
