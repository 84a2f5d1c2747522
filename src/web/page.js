// What both pages share: the table from Rust, the clock, calm, keys and elements.
import { Calm } from "./calm.js";

/**
 * A key, as Rust's table has it: what it does, how it is written, its names, and what is said of it.
 * @typedef {{ act: string, shown: string, names: string[], words: string }} Key
 */

/**
 * What both pages say in the balance's own words.
 * @typedef {object} Said
 * @property {string} question
 * @property {string} bySide
 * @property {string} noDifference
 * @property {string} beforeAsking
 * @property {string} seizures
 * @property {string} supervision
 * @property {string} notApproved
 */

/**
 * What both pages are handed. Red comes first in `fieldNames`, left in `sideNames`; `sides` says where the colours lie with
 * red on the left, then on the right.
 * @typedef {object} Page
 * @property {number} calmMs
 * @property {Key[]} keys
 * @property {Said} said
 * @property {string[]} fieldNames
 * @property {string[]} sideNames
 * @property {string[]} sides
 * @property {Record<string, string>} colours
 */

/* Elements */

/** @param {string} id */
export function at(id) {
  const found = document.getElementById(id);
  if (found === null) throw new Error(`the page has no ${id}`);
  return found;
}

/** @param {string} id */
export const canvasAt = (id) => /** @type {HTMLCanvasElement} */ (at(id));

/**
 * An element with words in it.
 * @template {keyof HTMLElementTagNameMap} T
 * @param {T} tag
 * @param {string} [words]
 * @param {string} [classes]
 * @returns {HTMLElementTagNameMap[T]}
 */
export function element(tag, words = "", classes = "") {
  const made = document.createElement(tag);
  made.textContent = words;
  if (classes) made.className = classes;
  return made;
}

/**
 * Says something in an element, which is left alone where it says so already: readers of screens would repeat it.
 * @param {string} id
 * @param {string} words
 */
export function say(id, words) {
  if (at(id).textContent !== words) at(id).textContent = words;
}

/* The table */

/** All that Rust hands to this page; its own part has the page's own type. */
export const table = /** @type {{ page: Page }} */ (JSON.parse(at("table").textContent ?? ""));

const { calmMs, keys } = table.page;

/** Where the colours lie. @param {boolean} redLeft */
export const sidesInWords = (redLeft) => table.page.sides[redLeft ? 0 : 1];

/**
 * What is said of settings in the page's address that it does not know.
 * @param {string[]} unknown
 */
export const unknownInWords = (unknown) =>
  `The address has settings that this page does not know, so they are ignored: ${unknown.join(", ")}`;

/* The clock */

/** Milliseconds since the page was opened. */
export const now = () => performance.now();

/**
 * Does something after some milliseconds; gives what `never` takes.
 * @param {number} milliseconds
 * @param {() => void} action
 */
export const later = (milliseconds, action) => setTimeout(action, milliseconds);

/** Does something once what was drawn has reached the screen. @param {() => void} action */
export const whenShown = (action) => requestAnimationFrame(() => requestAnimationFrame(action));

/** Something planned is not done. @param {ReturnType<typeof later> | undefined} planned */
export const never = (planned) => clearTimeout(planned);

/** Something that changes as rarely as Rust has it: alternating red and green can provoke seizures. */
export const calm = () => new Calm(calmMs, now);

/* Keys */

/** The row of a key that was pressed; letters count in either case. @param {string} pressed */
export const keyed = (pressed) => keys.find(({ names }) => names.some((one) => one.toLowerCase() === pressed.toLowerCase()));

/** How the key of an act is written. @param {string} act */
export const keyOf = (act) => keys.find((key) => key.act === act)?.shown ?? "";

/** Whether a key was pressed for the browser and not for the page. @param {KeyboardEvent} pressed */
export const isForBrowser = (pressed) => pressed.ctrlKey || pressed.metaKey || pressed.altKey;

/** All keys with what is said of them. */
export function keyList() {
  const list = element("dl", "", "keys");
  for (const { shown, words } of keys) {
    const pair = element("div");
    pair.append(element("dt", shown), element("dd", words));
    list.append(pair);
  }
  return list;
}
