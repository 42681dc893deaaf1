// Values as a builder reads them. Only printing: nothing is worked out here.

/** Whether the plan prints inches. @param {string} units */
export function inches(units) {
  return /^(in|inch)/i.test(String(units));
}

const EIGHTHS = ["", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8"];

/** A number without idle zeros. */
export function plain(value, places) {
  return String(Number(value.toFixed(places)));
}

/**
 * A length: feet, inches and eighths from two feet up, inches with a decimal below; or metres and millimetres.
 * @param {number} mm
 * @param {string} units the plan's units
 */
export function length(mm, units) {
  if (!inches(units)) return mm >= 2000 ? `${plain(mm / 1000, 2)} m` : `${plain(mm, mm < 100 ? 1 : 0)} mm`;
  const total = mm / 25.4;
  if (total < 24) return `${plain(total, 1)} in`;
  const eighths = Math.round(total * 8);
  const feet = Math.floor(eighths / 96);
  const whole = Math.floor((eighths % 96) / 8);
  const rest = [whole || "", EIGHTHS[eighths % 8]].filter(Boolean).join(" ");
  return rest ? `${feet} ft ${rest} in` : `${feet} ft`;
}

/** How far away someone stands: whole feet, or metres to the half. */
export function distance(mm, units) {
  return inches(units) ? `${Math.round(mm / 304.8)} ft` : `${plain(Math.round(mm / 500) / 2, 1)} m`;
}

/** A current in amperes, or in milliamperes below a tenth. */
export function current(a) {
  return a < 0.1 ? `${plain(a * 1000, 1)} mA` : `${plain(a, 2)} A`;
}

/** A voltage. */
export function voltage(v) {
  return `${plain(v, 2)} V`;
}
