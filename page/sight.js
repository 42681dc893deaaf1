// Who the yard is seen as, and how large it then is on the screen.
//
// A screen is taken to be seen from 60 cm, and 96 CSS pixels to be an inch of it (CSS Values and Units, "the reference
// pixel" apart). A thing of height h at distance d is then drawn h * 60 cm / d high: under its true angle.

import { distance, inches } from "./units.js";

/** From how far a screen is taken to be seen, in millimetres. */
export const EYE_MM = 600;
const PIXELS_PER_MM = 96 / 25.4;

/** The people, nearest first; `close` fits the yard to the window and is nobody's view. */
export const SIGHTS = [
  { key: "child", words: "a child at the button", away: (plan) => plan.nearest_mm },
  { key: "walker", words: "a walker on the path", away: (plan) => (plan.nearest_mm + plan.farthest_mm) / 2 },
  { key: "driver", words: "a driver across the road", away: (plan) => plan.farthest_mm },
  { key: "close", words: "close up", away: () => null },
];

/** The sight of this key; `close` for any other. */
export function sightOf(key) {
  return SIGHTS.find((sight) => sight.key === key) ?? SIGHTS[SIGHTS.length - 1];
}

/** Pixels for each millimetre of the yard, or null where the yard is fitted to the window. */
export function scaleOf(sight, plan) {
  const away = sight.away(plan);
  return away ? (EYE_MM / away) * PIXELS_PER_MM : null;
}

/** One line that says how the size was chosen. */
export function saidOf(sight, plan, larger) {
  const away = sight.away(plan);
  if (!away) return "drawn to fit this window";
  const eye = inches(plan.units) ? "2 ft" : "60 cm";
  const more = larger ? "; it is larger than this window" : "";
  return `from ${distance(away, plan.units)} away, at its true angle on a screen seen from ${eye}${more}`;
}
