// Printing of quantities. An inch is 25.4 mm exactly (NIST Special Publication 811, appendix B.8), a foot 12 of them.

import assert from "node:assert/strict";
import test from "node:test";
import { readFile } from "node:fs/promises";
import { current, distance, force, length, limitSpeed, mass, resistance, speed, voltage } from "../../page/units.js";

test("lengths print in feet, inches and sixteenths", () => {
  const said = [51.5, 24, 3.5, 7 / 16, 1 / 64, 12, 11.99].map((inch) => length(inch * 25.4, "in"));
  assert.deepEqual(said, ["4 ft 3 1/2 in", "2 ft", "3 1/2 in", "7/16 in", "0 in", "1 ft", "1 ft"]);
});

test("lengths print in millimetres and metres", () => {
  assert.deepEqual([7.14, 999.9, 999.96, 3048, -12].map((mm) => length(mm, "mm")), ["7.1 mm", "999.9 mm", "1 m", "3.048 m", "-12 mm"]);
  assert.deepEqual([distance(3048, "in"), distance(3048, "mm")], ["10 ft", "3 m"]);
});

test("currents and voltages print in the unit that leaves no row of zeros", () => {
  assert.deepEqual([0, 0.02, 0.9996, 1.25].map(current), ["0 A", "20 mA", "999.6 mA", "1.25 A"]);
  assert.deepEqual([0, 0.0804, 12].map(voltage), ["0 V", "80.4 mV", "12 V"]);
});

test("the page prints every quantity as the book does", async () => {
  // Written by the printer of the book: crates/quantity/tests/shown.rs.
  const all = JSON.parse(await readFile(new URL("fixture/shown.json", import.meta.url), "utf8"));
  const print = { length, mass, speed, force, current, voltage, resistance };
  assert.ok(all.length > 500);
  const differ = all.map(([kind, value, units, said]) => [kind, value, units, said, print[kind](value, units)]).filter(([, , , book, page]) => book !== page);
  assert.deepEqual(differ, []);
});

test("a wind that is a limit is rounded down", () => {
  // 19.99 mph and 9.99 m/s; a mile an hour is 0.44704 m/s (NIST SP 811, appendix B.8).
  assert.deepEqual([limitSpeed(19.99 * 0.44704, "in"), limitSpeed(9.99, "mm")], ["19 mph", "9 m/s"]);
});
