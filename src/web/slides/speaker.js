// The speaker's window: notes, what follows, the time. It wishes, and the window with the slides decides.
import { at, element, later, now, say } from "../page.js";
import { clockFace } from "./model.js";
import { deck } from "./table.js";

/** Whether this is the speaker's window, which is the same file at this address. */
export const SPEAKER_HASH = "#notes";
export const isSpeaker = location.hash === SPEAKER_HASH;

/** How often the speaker's window says that it is there, and the clock goes on. */
const TICK_MS = 500;

/** After this time without an answer the window with the slides is taken for closed. */
const GONE_MS = 3000;

/**
 * What windows tell each other: that the speaker's is there, what it wishes, which slide is shown.
 * @typedef {{ slides: "here" } | { slides: "wish", act: string } | { slides: "at", place: number }} Told
 */

/** @param {unknown} data @returns {Told | null} */
export const asTold = (data) => (typeof data === "object" && data !== null && "slides" in data ? /** @type {Told} */ (data) : null);

/** Tells another window; a file has no address that could be named, so whoever listens looks at who speaks. @param {Window | null} other @param {Told} told */
export const tell = (other, told) => other?.postMessage(told, "*");

let begun = 0;
let heard = 0;

/** Shows a slide's notes. @param {number} place */
export function showNotes(place) {
  const { title, notes } = deck.slides[place];
  const next = deck.slides[place + 1];
  say("number", `${place + 1} / ${deck.slides.length}`);
  say("now-title", title);
  at("notes").replaceChildren(...(notes.length > 0 ? notes : ["No notes."]).map((note) => element("p", note)));
  say("following", next ? `Next: ${next.title}` : "This is the last slide.");
}

/** The window with the slides was heard. */
export function heardOfSlides() {
  heard = now();
}

function tick() {
  tell(window.opener, { slides: "here" });
  at("elapsed").textContent = clockFace(now() - begun);
  say("apart", now() - heard > GONE_MS ? "The window with the slides does not answer. Open it again, and press N there." : "");
  later(TICK_MS, tick);
}

/** What of the speaker's window never changes. */
export function furnishSpeaker() {
  document.title = `Speaker’s notes. ${document.title}`;
  document.body.classList.add("speaker");
  begun = heard = now();
  at("again").addEventListener("click", () => { begun = now(); });
  tick();
}
