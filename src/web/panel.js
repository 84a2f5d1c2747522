// The panel: the examiner's hand. It shows the states that the server sends, and sends what is touched.
import { at, element, isForBrowser, keyList, keyed, now, say } from "./page.js";
import { connected } from "./socket.js";
import { formAt, mark, unmark, valuesIn } from "./panel/form.js";
import { keptBy, shine } from "./panel/light.js";
import { showCode, showView } from "./panel/show.js";
import { panel } from "./panel/table.js";
import { Touches } from "./panel/touch.js";
import { controlOf, valueIn, wishOf } from "./panel/wishes.js";
import { knowsScreens, openWall } from "./panel/windows.js";

/** @import { Points, View } from "./panel/table.js" */
/** @import { Control } from "./panel/wishes.js" */

/** For how many milliseconds a touch is felt, where the device can do that. */
const FELT_MS = 15;

const NAME_KEPT_AS = "evenfield-panel";

const touches = new Touches(panel.waitMs, now);

/** The state that is shown. @type {View | null} */
let view = null;

/** The name of this panel, which outlives a reload. */
function ownName() {
  const own = keptBy(() => sessionStorage.getItem(NAME_KEPT_AS)) ?? crypto.getRandomValues(new Uint32Array(4)).join("-");
  keptBy(() => {
    sessionStorage.setItem(NAME_KEPT_AS, own);
    return null;
  });
  return own;
}

/* Words near the thumb */

/** @param {string} id */
const dialogAt = (id) => /** @type {HTMLDialogElement} */ (at(id));

/** Says something where the hand is. @param {string} words */
function tell(words) {
  say(dialogAt("options").open ? "options-say" : "notice", words);
}

function hush() {
  say("notice", "");
  say("options-say", "");
}

function untouched() {
  document.querySelectorAll("[data-touched]").forEach((one) => one.removeAttribute("data-touched"));
}

/* The line */

/** @param {{ state?: View, refused?: import("./panel/table.js").Refused, code?: string, address?: string }} message */
function take(message) {
  touches.answered();
  untouched();
  if (message.state) {
    view = message.state;
    showView(view);
    leaveRoom(view);
  }
  if (message.refused && !mark(message.refused)) tell(message.refused.what);
  if (message.code) showCode(message.code, message.address ?? "");
}

/** Whether the way to the set-up was taken, which leaves the room where that can be left. */
let leaves = location.pathname === "/setup";

/** @param {View} first */
function leaveRoom(first) {
  const way = leaves && first.choices.find((choice) => choice.do === "another-room");
  leaves = false;
  if (way) send(wishOf(first, { does: way.do, value: valueIn(way) }));
}

function lose() {
  touches.lost();
  untouched();
  at("wall").dataset.ready = "false";
  say("wall-says", panel.words.lost);
}

const send = connected("panel", {
  opened: () => {
    touches.opened();
    send({ hello: ownName() });
  },
  message: take,
  lost: lose,
});

/* Touches */

/** Sends a wish, and shows at once on its control that it was touched, or else why that was ignored. @param {object} wish @param {Element | null} control */
function wishFor(wish, control) {
  hush();
  // Browsers complain of what is felt before the first touch.
  if (navigator.userActivation?.hasBeenActive) navigator.vibrate?.(FELT_MS);
  const held = touches.take();
  if (held !== null) {
    tell(panel.words[held]);
    return;
  }
  unmark();
  control?.setAttribute("data-touched", "");
  send(wish);
}

/** @param {Control} control @param {Element | null} shown */
function touch(control, shown) {
  if ("does" in control && control.does === "code") wishFor({ do: "code" }, shown);
  else if (view !== null) wishFor(wishOf(view, control), shown);
}

/** What a button stands for, if it wishes for something. @param {HTMLElement} button @returns {Control | null} */
function controlIn({ dataset }) {
  if (dataset.answer) return { answer: /** @type {Points} */ (dataset.answer) };
  return dataset.do ? { does: dataset.do, value: dataset.value } : null;
}

/** @param {Control} control @returns {HTMLElement | null} */
function shownFor(control) {
  if ("answer" in control) return document.querySelector(`[data-answer="${control.answer}"]`);
  const all = /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll(`[data-do="${control.does}"]`));
  return [...all].find(({ dataset }) => (dataset.value ?? "") === (control.value ?? "")) ?? null;
}

/* What the panel does by itself */

/** @param {string} id */
function openOver(id) {
  if (!dialogAt(id).open) dialogAt(id).showModal();
}

function closeAll() {
  for (const id of ["options", "help"]) dialogAt(id).close();
}

/** Opens the wall and goes back to the step. @param {boolean} onSecond */
function opened(onSecond) {
  void openWall(onSecond);
  closeAll();
}

/** @type {Record<string, () => void>} */
const ACTS = {
  less: () => shine(1),
  more: () => shine(-1),
  options: () => openOver("options"),
  help: () => openOver("help"),
  leave: closeAll,
  wall: () => opened(false),
  second: () => opened(true),
};

// A code is shown no longer than it is looked at.
at("options").addEventListener("close", () => at("code").replaceChildren());

addEventListener("click", (pointed) => {
  const button = pointed.target instanceof Element ? pointed.target.closest("button") : null;
  if (button === null) return;
  const control = controlIn(button), { act } = button.dataset;
  if (act) ACTS[act]();
  else if (control && button.type !== "submit") touch(control, button);
  // After a pointer the keys go on meaning what they mean.
  if (pointed.detail > 0 && document.activeElement === button) button.blur();
});

addEventListener("submit", (sent) => {
  sent.preventDefault();
  if (!(sent.target instanceof HTMLFormElement) || view === null) return;
  const values = valuesIn(sent.target), button = sent.target.querySelector("button:not([type])");
  if (sent.target === formAt("typed")) touch({ does: "white", value: values.acuity }, button);
  else wishFor({ of: view.step, do: view.formWish[0], ...values }, button);
});

addEventListener("change", ({ target }) => {
  if (target instanceof HTMLSelectElement) touch({ does: "write", value: target.value }, target);
});

/** Whether the element that has the focus takes this key for itself. @param {KeyboardEvent} pressed */
function isTaken({ target, key }) {
  if (target instanceof HTMLInputElement || target instanceof HTMLSelectElement) return true;
  return target instanceof HTMLElement && target.closest("button, summary, a") !== null && (key === "Enter" || key === " ");
}

/** Does what a key means; whether it means something. @param {string} act @param {number} number */
function press(act, number) {
  if (ACTS[act]) {
    ACTS[act]();
    return true;
  }
  const control = view && controlOf(view, act, number), shown = control && shownFor(control);
  // An answer is sent even while its button is away, so that the server says why it does not count.
  if (!control || !shown || (!("answer" in control) && shown.closest("[hidden]"))) return false;
  touch(control, shown);
  return true;
}

addEventListener("keydown", (pressed) => {
  const isUnder = document.querySelector("dialog[open]") !== null;
  if (pressed.repeat && !isUnder && !isTaken(pressed)) pressed.preventDefault();
  if (pressed.repeat || isUnder || isForBrowser(pressed) || isTaken(pressed)) return;
  const found = keyed(pressed.key);
  if (found && press(found.act, Number(pressed.key))) pressed.preventDefault();
});

/* What of the page never changes */

function furnish() {
  for (const one of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll("[data-words]"))) {
    one.textContent = panel.words[one.dataset.words ?? ""];
  }
  for (const [id, words] of [["lens", "lens"], ["thumb", "atHand"], ["read", "missed"], ["answers", "answers"], ["reads", "answers"], ["choices", "choose"], ["others", "choose"]]) {
    at(id).setAttribute("aria-label", panel.words[words]);
  }
  at("notation").append(...panel.notations.map(([value, shown]) => {
    const option = element("option", shown);
    option.value = value;
    return option;
  }));
  at("second").hidden = !knowsScreens;
  at("keys").append(keyList());
  shine(0);
}

furnish();
