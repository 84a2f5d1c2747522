// The form of an eye: built once for its fields, so that nothing typed is lost when a state arrives.
import { at, element } from "../page.js";
import { panel } from "./table.js";

/** @import { Field, Refused } from "./table.js" */

/** @param {Field} field @param {{ value: string, words: string, how: string }} choice */
function radioRow(field, { value, words, how }) {
  const row = element("label", "", "choice"), input = element("input"), text = element("span");
  Object.assign(input, { type: "radio", name: field.name, value, checked: field.value === value });
  text.append(element("b", words));
  if (how) text.append(element("span", how, "quiet"));
  row.append(input, text);
  return row;
}

/** @param {Field} field */
function chosenField(field) {
  const set = element("fieldset", "", "field");
  const rows = element("div", "", field.choices.some(({ how }) => how) ? "choices" : "choices short");
  rows.append(...field.choices.map((choice) => radioRow(field, choice)));
  set.append(element("legend", field.label), rows);
  return set;
}

/** @param {Field} field */
function typedField({ name: of, label, example, value }) {
  const made = element("div", "", "field"), words = element("label", label), input = element("input");
  const such = element("span", `${panel.words.suchAs} ${example}`, "quiet");
  such.id = `such-${of}`;
  words.htmlFor = input.id = `field-${of}`;
  Object.assign(input, { name: of, value, autocomplete: "off", autocapitalize: "off", spellcheck: false });
  input.setAttribute("aria-describedby", such.id);
  made.append(words, input, such);
  return made;
}

/** @param {Field} field */
const fieldOf = (field) => field.choices.length > 0 ? chosenField(field) : typedField(field);

/** What a form holds, each under its name. @param {HTMLFormElement} form @returns {Record<string, string>} */
export const valuesIn = (form) =>
  Object.fromEntries([...new FormData(form)].map(([key, value]) => [key, `${value}`]));

/** @param {string} id */
export const formAt = (id) => /** @type {HTMLFormElement} */ (at(id));

let built = "";

/**
 * Shows the fields; those that stand there already keep what was typed.
 * @param {Field[]} fields
 * @param {[string, string]} wish What the form is sent as, and what its button says.
 */
export function showForm(fields, [does, words]) {
  const form = formAt("form"), wanted = JSON.stringify([fields, does]);
  form.hidden = fields.length === 0;
  if (wanted === built) return;
  built = wanted;
  const more = element("details"), go = element("button", words, "next");
  const rest = fields.filter((field) => field.more);
  go.dataset.do = does;
  form.dataset.wish = does;
  more.append(element("summary", panel.words.more), ...rest.map(fieldOf));
  form.replaceChildren(...fields.filter((field) => !field.more).map(fieldOf), ...(rest.length > 0 ? [more] : []), go);
}

/** Takes the mark from every field. */
export function unmark() {
  document.querySelectorAll(".field .wrong").forEach((wrong) => wrong.remove());
  document.querySelectorAll("[aria-invalid]").forEach((field) => field.removeAttribute("aria-invalid"));
}

/**
 * Marks the field that a refusal is about and goes there; whether there is such a field.
 * @param {Refused} refused
 */
export function mark({ what, field }) {
  const named = [...document.querySelectorAll("main .field input")].filter((one) => one.getAttribute("name") === field);
  const inputs = /** @type {HTMLInputElement[]} */ (named.filter((one) => !one.closest("[hidden]")));
  const input = inputs.find((one) => one.checked) ?? inputs[0];
  const box = input?.closest(".field");
  if (!box) return false;
  const wrong = element("p", what, "wrong");
  wrong.id = `wrong-${field}`;
  wrong.setAttribute("role", "alert");
  for (const one of inputs) one.setAttribute("aria-invalid", "true");
  input.setAttribute("aria-describedby", wrong.id);
  box.append(wrong);
  const more = box.closest("details");
  if (more) more.open = true;
  input.focus();
  box.scrollIntoView({ block: "center" });
  return true;
}
