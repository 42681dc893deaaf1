// Who the yard is seen as: from how far, with eyes how high, and how large and how sharp it then is on the screen.
//
// A screen is taken to be seen from 60 cm, and 96 CSS pixels to be an inch of it (CSS Values and Units, absolute lengths).
// A thing of height h at distance d is then drawn h * 60 cm / d high: under its true angle. An eye tells apart what is one
// minute of arc apart (visual acuity 1.0, ISO 8596); everything finer is blurred by that much.

import { distance, inches } from "./units.js";

/** From how far a screen is taken to be seen, in millimetres. */
export const EYE_MM = 600;
const PIXELS_PER_MM = 96 / 25.4;
/** One minute of arc on that screen, in CSS pixels. */
export const MINUTE_PX = EYE_MM * Math.tan(Math.PI / (180 * 60)) * PIXELS_PER_MM;

/**
 * The people, nearest first; `close` fits the yard to the window and is nobody's view. Heights of eyes in millimetres:
 * a child of six (1.05 m), a grown person standing (1.55 m) and one sitting in a car (1.08 m, the height that road
 * design takes for drivers: AASHTO, A Policy on Geometric Design, from memory; the others are common practice).
 */
export const SIGHTS = [
  { key: "child", words: "a child at the button", eye: 1050, away: (plan) => plan.nearest_mm },
  { key: "walker", words: "a walker on the path", eye: 1550, away: (plan) => (plan.nearest_mm + plan.farthest_mm) / 2 },
  { key: "driver", words: "a driver across the road", eye: 1080, away: (plan) => plan.farthest_mm },
  { key: "close", words: "close", eye: null, away: () => null },
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
export function saidOf(sight, plan) {
  const away = sight.away(plan);
  if (!away) return "drawn to fit this window";
  const [screen, eye] = inches(plan.units) ? ["2 ft", `${Math.round(sight.eye / 25.4)} in`] : ["60 cm", `${sight.eye / 1000} m`];
  return `from ${distance(away, plan.units)} away, eyes ${eye} up: true angle on a screen of 96 pixels to the inch, ${screen} away; what is finer than 1\u2032 is blurred`;
}
