// How bright the panel is: never brighter than its colours, and as it was left.
import { panel } from "./table.js";

const LIGHT_KEPT_AS = "evenfield-light";

/** The place of a light among all, one step brighter or dimmer where there is one. @param {number} place @param {number} by @param {number} count */
export const dimmed = (place, by, count) => Math.min(Math.max(place + by, 0), count - 1);

/** What a browser keeps; nothing where it keeps nothing. @param {() => string | null} read */
export function keptBy(read) {
  try {
    return read();
  } catch {
    return null;
  }
}

let light = dimmed(Number(keptBy(() => localStorage.getItem(LIGHT_KEPT_AS))) || 0, 0, panel.lights.length);

/** Shines, after so many steps dimmer. @param {number} by */
export function shine(by) {
  light = dimmed(light, by, panel.lights.length);
  document.body.style.opacity = `${panel.lights[light]}%`;
  keptBy(() => {
    localStorage.setItem(LIGHT_KEPT_AS, `${light}`);
    return null;
  });
}
