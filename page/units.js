// Values as a builder reads them, printed as `crates/quantity/src/show.rs` prints them, so that page and book agree.
// Only printing: nothing is worked out here.

/** Whether the plan prints inches. @param {string} units `in` or `mm` */
export function inches(units) {
  return units === "in";
}

/** A number without idle zeros. What lies exactly between two goes to the even one, as Rust prints it. */
export function plain(value, places) {
  const size = Math.abs(value);
  // Sixty places are more than any of our numbers has: the tail tells whether it lies exactly between.
  const between = /^50*$/.test(size.toFixed(60).split(".")[1].slice(places));
  const nearest = size.toFixed(places);
  const odd = Number(nearest.at(-1)) % 2 === 1;
  const even = between && odd ? (Number(nearest) - 10 ** -places).toFixed(places) : nearest;
  return String(Number(even) * Math.sign(value) || 0);
}

/** A number with about four figures and no idle zeros. */
function figures(value) {
  const size = Math.abs(value);
  return plain(value, size >= 1000 ? 0 : size >= 100 ? 1 : size >= 10 ? 2 : size >= 0.1 ? 3 : 5);
}

/** So many sixteenths of an inch as inches: `3 1/2`, `7/16`, `0`. */
function inchesOf(sixteenths) {
  const whole = Math.floor(sixteenths / 16);
  let [top, bottom] = [sixteenths % 16, 16];
  if (top === 0) return String(whole);
  while (top % 2 === 0) [top, bottom] = [top / 2, bottom / 2];
  return whole === 0 ? `${top}/${bottom}` : `${whole} ${top}/${bottom}`;
}

/**
 * A length: feet, inches and the nearest sixteenth, or millimetres, or metres from one up.
 * @param {number} mm
 * @param {string} units the plan's units
 */
export function length(mm, units) {
  if (!inches(units)) return Math.abs(mm) < 999.95 ? `${plain(mm, 1)} mm` : `${plain(mm / 1000, 3)} m`;
  const sixteenths = Math.round((Math.abs(mm) / 25.4) * 16);
  const sign = mm < 0 && sixteenths > 0 ? "-" : "";
  const [feet, rest] = [Math.floor(sixteenths / 192), sixteenths % 192];
  if (feet === 0) return `${sign}${inchesOf(rest)} in`;
  return rest === 0 ? `${sign}${feet} ft` : `${sign}${feet} ft ${inchesOf(rest)} in`;
}

/** How far away someone stands: whole feet, or metres to the half. */
export function distance(mm, units) {
  return inches(units) ? `${Math.round(mm / 304.8)} ft` : `${plain(Math.round(mm / 500) / 2, 1)} m`;
}

/** A current in amperes, or in milliamperes below one. */
export function current(a) {
  return Math.abs(a) < 1 && a !== 0 ? `${figures(a * 1000)} mA` : `${figures(a)} A`;
}

/** A voltage in volts, or in millivolts below one. */
export function voltage(v) {
  return Math.abs(v) < 1 && v !== 0 ? `${figures(v * 1000)} mV` : `${figures(v)} V`;
}

/** A mass in kilograms, or in pounds. */
export function mass(kg, units) {
  return inches(units) ? `${figures(kg / 0.45359237)} lb` : `${figures(kg)} kg`;
}

/** A speed in metres a second, or in miles an hour. */
export function speed(mPerS, units) {
  return inches(units) ? `${figures(mPerS / 0.44704)} mph` : `${figures(mPerS)} m/s`;
}

/** A wind that is a limit: whole miles an hour or metres a second, rounded down, as the book prints it. */
export function limitSpeed(mPerS, units) {
  return inches(units) ? `${Math.floor(mPerS / 0.44704)} mph` : `${Math.floor(mPerS)} m/s`;
}

/** A force in newtons, and in pounds too where the builder thinks in them. */
export function force(n, units) {
  const newtons = Math.abs(n) < 1000 ? `${figures(n)} N` : `${figures(n / 1000)} kN`;
  return inches(units) ? `${newtons} (${figures(n / 4.4482216152605)} lbf)` : newtons;
}

/** A resistance in ohms. */
export function resistance(ohm) {
  return `${figures(ohm)} ohm`;
}

/** An angle in whole degrees. */
export function degrees(deg) {
  return `${plain(deg, 0).replace("-0", "0")}\u00b0`;
}
