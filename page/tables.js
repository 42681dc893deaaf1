// The small table of a stop.

import { html, nothing } from "./vendor/lit-html.js";
import { current, length, plain, voltage } from "./units.js";

/**
 * A table with a heading line. A column is `[heading, cell, isNumber]`.
 * @template T
 * @param {string} caption
 * @param {T[]} rows
 * @param {[string, (row: T, k: number) => unknown, boolean?][]} columns
 */
function table(caption, rows, columns) {
  if (rows.length === 0) return nothing;
  return html`<div class="table"><table><caption>${caption}</caption>
    <thead><tr>${columns.map(([name, , number]) => html`<th scope="col" class=${number ? "number" : ""}>${name}</th>`)}</tr></thead>
    <tbody>${rows.map((row, k) => html`<tr>${columns.map(([, cell, number]) =>
      html`<td class=${number ? "number" : ""}>${cell(row, k)}</td>`)}</tr>`)}</tbody></table></div>`;
}

function idea(plan) {
  const rows = plan.panels.flatMap((panel) => panel.poses.map((pose) => ({ panel, pose })));
  return table("What it can show", rows, [
    ["figure", ({ panel }) => panel.name], ["pose", ({ pose }) => pose.name],
    ["lit", ({ panel, pose }) => pose.bunches.map((bunch) => panel.bunches[bunch].name).join(", ")],
  ]);
}

function bunches(plan, drilled) {
  return plan.panels.map((panel) => {
    const holes = (b) => panel.holes.filter((hole) => hole.bunch === b).length;
    return table(`${panel.name}: light that switches together`, panel.bunches, [
      ["bunch", (bunch) => bunch.name],
      ["line", (bunch) => length(bunch.length_mm, plan.units), true],
      ...(drilled ? [["holes", (_, b) => holes(b), true], ["spacing", (bunch) => length(bunch.spacing_mm, plan.units), true]] : []),
    ]);
  });
}

function drill(plan) {
  return [
    ...bunches(plan, true),
    table("The sheets", plan.panels, [
      ["panel", (panel) => panel.name], ["sheet", (panel) => panel.sheet],
      ["width", (panel) => length(panel.width_mm, plan.units), true], ["height", (panel) => length(panel.height_mm, plan.units), true],
      ["hole", (panel) => length(panel.hole_mm, plan.units), true],
    ]),
  ];
}

function string(plan, chosen, href) {
  return plan.panels.map((panel) => table(`${panel.name}: its strands`, panel.strands, [
    ["strand", (run) => html`<a href=${href(run.label)} aria-current=${run.label === chosen ? "true" : nothing}>${run.label}</a>`],
    ["bunch", (run) => panel.bunches[run.bunch]?.name],
    ["holes", (run) => run.last_hole - run.first_hole + 1, true],
    ["parked", (run) => run.hops.reduce((sum, hop) => sum + hop.parked, 0), true],
    ["spare", (run) => run.spare, true],
    ["longest hop", (run) => length(run.longest_hop_mm, plan.units), true],
    ["reach", (run) => length(run.reach_mm, plan.units), true],
  ]));
}

function switches(plan) {
  return table("Each switched output", plan.channels, [
    ["channel", (channel) => html`<b>${channel.label}</b>`], ["switches", (channel) => channel.name],
    ["current", (channel) => current(channel.current_a), true], ["verdict", (channel) => channel.verdict],
  ]);
}

function wire(plan) {
  return plan.cables.map((cable) => html`
    <h3 class="part">${cable.label}: ${cable.from} to ${cable.to}</h3>
    <p>${length(cable.length_mm, plan.units)} of ${cable.size}.</p>
    ${table("Its conductors", cable.conductors, [
      ["no.", (each) => each.number, true], ["carries", (each) => each.carries], ["from", (each) => each.from],
      ["to", (each) => each.to], ["current", (each) => current(each.current_a), true], ["drop", (each) => voltage(each.drop_v), true],
    ])}`);
}

function power(plan) {
  const { supply } = plan;
  return table("The supply", [supply], [
    ["supply", (each) => each.part], ["output", (each) => voltage(each.voltage_v), true],
    ["rated", (each) => current(each.rated_a), true], ["everything lit", (each) => current(each.needed_a), true],
    ["used", (each) => `${plain((100 * each.needed_a) / each.rated_a, 0)} %`, true], ["listed", (each) => each.listed ?? "not stated"],
  ]);
}

function buy(plan) {
  return table("What to buy or take from the shelf", plan.parts, [
    ["part", (line) => html`${line.what}<br><span class="quiet">${line.part}</span>`],
    ["needed", (line) => line.needed, true], ["spare", (line) => line.spare, true], ["have", (line) => line.have, true],
    ["buy", (line) => html`<b>${line.buy}</b> ${line.unit}`, true],
  ]);
}

function program(plan) {
  return table(`${plan.controller.part}: its pins`, plan.controller.pins, [
    ["pin", (pin) => html`<b>${pin.pin}</b>`], ["port", (pin) => pin.port], ["does", (pin) => pin.does],
  ]);
}

const TABLES = { idea, draw: (plan) => bunches(plan, false), drill, string, switch: switches, wire, power, buy, program };

/** The tables of the stop of this name. `chosen` and `href` are the chosen strand and where a strand leads. */
export function tables(name, plan, chosen, href) {
  return TABLES[name]?.(plan, chosen, href) ?? nothing;
}
