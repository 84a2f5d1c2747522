// What the speaker does.
import { at, element, isForBrowser, keyed, later, never, now, say, table } from "./page.js";
import { deck } from "./slides/table.js";
import { Pace, placeAfter, placeAsked } from "./slides/model.js";
import { asTold, furnishSpeaker, heardOfSlides, isSpeaker, showNotes, SPEAKER_HASH, tell } from "./slides/speaker.js";

const { slides, page } = deck;

/** How long the line of keys stays: at the start, and after the pointer moved. */
const KEYS_MS = 8000;

const pace = new Pace(page, now);

/** The slide that is shown, from nought on. */
let place = -1;

/** The speaker's window, once there is one. @type {Window | null} */
let speaker = null;

/** @param {number} of */
const sectionOf = (of) => at(`slide-${of + 1}`);

/** Shows a slide and tells of it. @param {number} to */
function show(to) {
  if (place >= 0) sectionOf(place).hidden = true;
  place = to;
  sectionOf(place).hidden = false;
  // An upright phone has them too, below the slide.
  showNotes(place);
  if (isSpeaker) return;
  sectionOf(place).focus({ preventScroll: true });
  say("told", `Slide ${place + 1} of ${slides.length}`);
  if (location.hash !== `#${place + 1}`) history.replaceState(null, "", `#${place + 1}`);
  tell(speaker, { slides: "at", place });
}

/** Goes to a slide, where slides may change now. @param {number} to */
function go(to) {
  if (to === place || !pace.take(slides[place].saturated || slides[to].saturated)) return;
  show(to);
}

function turnFullScreen() {
  // A browser that refuses has said so itself.
  if (document.fullscreenElement) document.exitFullscreen().catch(() => undefined);
  else document.documentElement.requestFullscreen().catch(() => undefined);
}

function openSpeaker() {
  if (isSpeaker) return;
  const address = `${location.href.split("#")[0]}${SPEAKER_HASH}`;
  speaker = window.open(address, "evenfield-notes", "popup,width=1100,height=700");
  if (speaker) speaker.focus();
  else say("told", "The browser keeps the speaker’s window closed. Allow windows for this file, then press N.");
}

/** Does an act of the table; the speaker's window only wishes for it. @param {string} act */
function perform(act) {
  if (act === "full_screen") turnFullScreen();
  else if (act === "notes") openSpeaker();
  else if (isSpeaker) tell(window.opener, { slides: "wish", act });
  else go(placeAfter(act, place, slides.length));
}

addEventListener("keydown", (pressed) => {
  if (isForBrowser(pressed)) return;
  const found = keyed(pressed.key);
  const isOnButton = pressed.target instanceof HTMLButtonElement && (pressed.key === "Enter" || pressed.key === " ");
  if (!found || (isOnButton && !pressed.repeat)) return;
  pressed.preventDefault();
  // What a held key repeats does nothing.
  if (!pressed.repeat) perform(found.act);
});

addEventListener("click", ({ target, clientX, detail }) => {
  const button = target instanceof Element ? target.closest("button") : null;
  if (button) {
    if (button.dataset.act !== undefined) perform(button.dataset.act);
    // After a pointer the keys go on meaning what they mean.
    if (detail > 0) button.blur();
  } else if (!isSpeaker && target instanceof Element && !target.closest("aside") && document.getSelection()?.isCollapsed !== false) {
    // Who marks words with the pointer wants to stay.
    perform(clientX < innerWidth / 4 ? "before" : "next");
  }
});

addEventListener("hashchange", () => {
  if (isSpeaker) return;
  const asked = placeAsked(location.hash, slides.length);
  if (asked !== null) go(asked);
  // An address that cannot be followed now, or at all, says again which slide is shown.
  if (location.hash !== `#${place + 1}`) history.replaceState(null, "", `#${place + 1}`);
});

/** Hears the other window, and nobody else. @param {MessageEvent} said */
function hear({ source, data }) {
  const told = asTold(data), other = /** @type {Window | null} */ (source);
  if (!told || !other) return;
  if (isSpeaker) {
    if (other !== window.opener || told.slides !== "at") return;
    heardOfSlides();
    if (slides[told.place] && told.place !== place) show(told.place);
  } else if (other.opener === window) {
    // After this window was loaded again it knows the speaker's by its word.
    speaker = other;
    if (told.slides === "wish" && told.act !== "notes") perform(told.act);
    else tell(speaker, { slides: "at", place });
  }
}

addEventListener("message", hear);

/** @type {ReturnType<typeof later> | undefined} */
let hiding;

/** Shows the line of keys, which goes away by itself, and the pointer with it. */
function showKeys() {
  never(hiding);
  document.body.classList.remove("quiet");
  hiding = later(KEYS_MS, () => document.body.classList.add("quiet"));
}

addEventListener("pointermove", showKeys);

/** Writes every key as a button, for a pointer and for a screen without keys. */
function inscribeKeys() {
  const keys = table.page.keys.filter(({ act }) => !isSpeaker || act !== "notes");
  at("keys").append(...keys.map(({ act, shown, words }) => {
    const button = element("button");
    button.type = "button";
    button.dataset.act = act;
    button.append(element("kbd", shown), words);
    return button;
  }));
}

inscribeKeys();
showKeys();
if (isSpeaker) furnishSpeaker();
show(placeAsked(location.hash, slides.length) ?? 0);
