// From a frame to light: which channels it lights, and how bright.

/** What digits show: a number with blank leading zeros, or with lit ones, or nothing. */
function shownOn(frame, d) {
  const value = frame.digits[d];
  return value === null || value === undefined || value < 0 ? null : { value, zeros: Boolean(frame.zeros?.[d]) };
}

/**
 * Whether a segment is lit.
 * @param {number[]} numerals the segments of each numeral as the plan has them, a in the lowest bit
 * @param {any} frame
 * @param {number} d the digits, by position
 * @param {number} place 0 for the rightmost
 * @param {number} segment 0 for a to 6 for g
 */
export function segmentLit(numerals, frame, d, place, segment) {
  const shown = shownOn(frame, d);
  if (!shown) return false;
  const left = Math.floor(shown.value / 10 ** place);
  if (left === 0 && place > 0 && !shown.zeros) return false;
  return ((numerals[left % 10] >> segment) & 1) === 1;
}

/** Whether a frame lights a channel. */
function isLit(plan, { lit_by: by }, frame) {
  if (by.by === "spot") return (frame.spots[by.spot] ?? 0) > 127;
  if (by.by === "segment") return segmentLit(plan.digits[by.digits]?.numerals ?? [], frame, by.digits, by.place, by.segment);
  return by.poses.includes(frame.poses[by.figure]);
}

/** Which channels a frame lights. @returns {boolean[]} */
export function litChannels(plan, frame) {
  return plan.channels.map((channel) => isLit(plan, channel, frame));
}

/** What digits show, as a person would say it; empty for dark ones. */
export function saidOn(frame, d, count) {
  const shown = shownOn(frame, d);
  if (!shown) return "";
  return shown.zeros ? String(shown.value).padStart(count, "0") : String(shown.value);
}
