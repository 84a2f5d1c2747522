// What a touch or a key wishes for.

/** @import { Points, View } from "./table.js" */

/** A control: an answer, or what its touch does with which value. @typedef {{ answer: Points } | { does: string, value?: string }} Control */

/** The acts of keys that do the same at every stage at which there is a control for it. @type {Record<string, string>} */
const DOES = { take_back: "undo", larger: "larger", smaller: "smaller", new_letters: "new-letters" };

/** The answers of keys, a presenter's remote among them. @type {Record<string, Points>} */
export const SAYS = {
  points_left: "left", before: "left", points_right: "right", next: "right", same: "same", remote_middle: "same",
  cannot_tell: "unsure",
};

/** The fields that keys name. @type {Record<string, string>} */
const NAMES = { names_red: "red", names_green: "green" };

/** What Enter takes. @param {View} view @returns {Control | null} */
function offered({ ask, white }) {
  if (ask?.covered) return { does: "lens-in" };
  if (ask?.pressed) return { does: "confirm" };
  if (!white?.counts) return null;
  return { does: white.goesBack ? "larger" : white.goesOn ? "smaller" : "take-white" };
}

/**
 * The control that a key stands for, if it stands for one now.
 * @param {View} view
 * @param {string} act
 * @param {number} number What a digit says.
 * @returns {Control | null}
 */
export function controlOf(view, act, number) {
  if (act === "take") return offered(view);
  if (act === "numbered") {
    const choice = view.choices[number - 1];
    return choice ? { does: choice.do, value: valueIn(choice) } : null;
  }
  if (act in DOES) return { does: DOES[act] };
  const answer = SAYS[act] ?? view.ask?.answers.find(({ field }) => field !== null && field === NAMES[act])?.answer;
  return view.ask && answer ? { answer } : null;
}

/** The value of a choice as its control has it. @param {{ with: [string, string | boolean | number | null] | null }} choice */
export const valueIn = (choice) => choice.with ? `${choice.with[1]}` : "";

/** What carries more than its name, with what it carries. @type {Record<string, (view: View, value: string) => object>} */
const CARRIES = {
  "missed": ({ white }, value) => ({ letter: Number(value), missed: !white?.letters[Number(value)]?.missed }),
  "dark-between": ({ darkBetween }) => ({ on: !darkBetween }),
  "patient-buttons": ({ patientButtons }) => ({ on: !patientButtons }),
  "write": (_, value) => ({ notation: value }),
  "white": (_, value) => ({ score: value }),
};

/**
 * What a control wishes for, with the step that its panel shows.
 * @param {View} view
 * @param {Control} control
 */
export function wishOf(view, control) {
  const of = view.step;
  if ("answer" in control) return { of, do: "answer", answer: control.answer };
  const { does, value = "" } = control;
  const choice = view.choices.find((one) => one.do === does && valueIn(one) === value);
  const carried = choice?.with ? Object.fromEntries([choice.with]) : CARRIES[does]?.(view, value);
  return { of, do: does, ...carried };
}
