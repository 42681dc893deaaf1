// The small tables of the stops where hands are at work: shelter, buy, try, put up, run, take down.

import { html, nothing } from "./vendor/lit-html.js";
import { facts, table } from "./table.js";
import { plain, resistance } from "./units.js";

export function shelter(plan) {
  return (plan.enclosures ?? []).map((each) => html`<section class="card"><h3>${each.label}</h3>
    <p class="quiet">${each.part}</p>
    <p>Holds ${each.holds.join(", ")}.</p>
    <ul>${each.notes.map((note) => html`<li>${note}</li>`)}</ul></section>`);
}

export function buy(plan) {
  return table({ plan, caption: "What to buy or take from the shelf", base: "/parts" }, plan.parts, [
    ["part", (line) => html`${line.what}<br><span class="quiet">${line.part}</span>`],
    ["needed", (line) => line.needed, "number", "needed"], ["spare", (line) => line.spare, "number", "spare"],
    ["have", (line) => line.have, "number", "have"], ["buy", (line) => html`<b>${line.buy}</b> ${line.unit}`, "number", "buy"],
  ]);
}

export function tryOut(plan) {
  return [
    table({ plan, caption: "The kitchen-table rig: one LED for each output", base: "/rig" }, plan.rig, [
      ["output", (line) => html`<b>${line.output}</b>`], ["stands for", (line) => line.stands_for],
      ["resistor", (line) => resistance(line.resistor_ohm), "number", "resistor_ohm"],
    ]),
    table({ plan, caption: "The test sheet" }, plan.trials, [
      ["do", (trial) => trial.act], ["look at", (trial) => trial.at], ["expect", (trial) => html`<b>${trial.expected}</b>`],
      ["if not", (trial) => trial.otherwise],
    ]),
  ];
}

/** Steps in order, with who and what they take. */
function steps(all, words) {
  if (all.length === 0) return nothing;
  return html`<ol class="steps">${all.map((step) => html`<li><b>${words(step)}</b>
    <span class="quiet">${step.people} ${step.people === 1 ? "person" : "people"}${step.needs.length ? `; ${step.needs.join(", ")}` : ""}</span>
    ${step.caution ? html`<p class="watch">Watch: ${step.caution}</p>` : nothing}</li>`)}</ol>`;
}

export function putUp(plan) {
  return steps(plan.put_up ?? [], (step) => step.up);
}

export function takeDown(plan) {
  return steps([...(plan.put_up ?? [])].reverse(), (step) => step.down);
}

export function run(plan) {
  const { season } = plan;
  if (!season) return nothing;
  return [
    facts(plan, "/season", [
      ["nights", season.count, "count"], ["hours in all", plain(season.hours, 0), "hours"],
      ["energy, at most", `${plain(season.energy_kwh, 1)} kWh`, "energy_kwh"],
    ]),
    table({ plan, caption: "The nights, by the local clock", base: "/season/nights" }, season.nights, [
      ["night", (night) => html`<b>${night.date}</b>`], ["sunset", (night) => night.sunset, "number", "sunset"],
      ["on", (night) => night.on, "number", "on"], ["off", (night) => night.off, "number", "off"],
    ]),
  ];
}
