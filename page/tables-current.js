// The small tables of the stops that current flows through: switch, wire, power, program.

import { html, nothing } from "./vendor/lit-html.js";
import { facts, table } from "./table.js";
import { current, length, plain, voltage } from "./units.js";

/** Where a channel switches: an outlet of a box, or an output of a board. */
function through(plan, channel) {
  if (channel.outlet) return `${plan.switch_boxes[channel.outlet.switch_box]?.label ?? "box"}, outlet ${channel.outlet.outlet}`;
  const board = plan.boards[channel.board];
  return `board ${board?.label ?? channel.board + 1}, output ${board?.labels?.[channel.output] ?? channel.output + 1}`;
}

export function switches(plan) {
  return [
    table({ plan, caption: "Each switched output", base: "/channels" }, plan.channels, [
      ["channel", (channel) => html`<b>${channel.label}</b>`], ["switches", (channel) => channel.name, "", "name"],
      ["through", (channel) => through(plan, channel)],
      ["at", (channel) => voltage(channel.voltage_v), "number", "voltage_v"],
      ["current", (channel) => current(channel.current_a), "number", "current_a"], ["verdict", (channel) => channel.verdict, "wide"],
    ]),
    table({ plan, caption: "Switch boxes: only complete, enclosed, listed ones; never opened", base: "/switch_boxes" }, plan.switch_boxes, [
      ["box", (box) => html`<b>${box.label}</b>`], ["part", (box) => box.part, "", "part"], ["outlets", (box) => box.outlets, "number", "outlets"],
      ["circuit", (box) => box.circuit, "", "circuit"], ["listed", (box) => box.listed ?? "not stated", "", "listed"],
      ["all on", (box) => current(box.current_a), "number", "current_a"],
    ]),
  ];
}

/** A cable as a card, conductor by conductor. */
export function wire(plan) {
  return plan.cables.map((cable, c) => html`<section class="card">
    <h3>${cable.label}: ${cable.from} to ${cable.to}</h3>
    ${facts(plan, `/cables/${c}`, [["cut", length(cable.length_mm, plan.units), "length_mm"], ["wire", cable.size, "size"]])}
    ${table({ plan, caption: "Its conductors", base: `/cables/${c}/conductors` }, cable.conductors, [
      ["no.", (each) => html`<b>${each.number}</b>`, "number"], ["carries", (each) => each.carries], ["from", (each) => each.from],
      ["to", (each) => each.to], ["returns on", (each) => each.returns_on ?? "-", "number", "returns_on"],
      ["current", (each) => current(each.current_a), "number", "current_a"], ["drop", (each) => voltage(each.drop_v), "number", "drop_v"],
    ])}</section>`);
}

function circuit(plan, each, c) {
  const { cord } = each;
  return html`<section class="card"><h3>Circuit ${each.name}</h3>
    ${facts(plan, `/circuits/${c}`, [
      ["voltage", voltage(each.voltage_v), "voltage_v"], ["breaker", current(each.breaker_a), "breaker_a"],
      ["for hours", `up to ${current(each.allowed_a)}`, "allowed_a"], ["everything lit", current(each.all_lit_a), "all_lit_a"],
      ["the pose that draws most", current(each.worst_pose_a), "worst_pose_a"], ["ground fault", each.ground_fault, "ground_fault"],
      ["leakage expected", `${current(each.leakage_a)} of ${current(each.leakage_limit_a)}`, "leakage_a"],
      cord && ["cord", `${length(cord.length_mm, plan.units)} of ${cord.size}, good for ${current(cord.rated_a)}`, "cord"],
      cord && ["lost in the cord", voltage(cord.drop_v), "cord/drop_v"], ["feeds", each.feeds.join(", "), "feeds"],
    ])}</section>`;
}

export function power(plan) {
  const { supply } = plan;
  return [
    ...(plan.circuits ?? []).map((each, c) => circuit(plan, each, c)),
    supply ? html`<section class="card"><h3>The supply</h3>${facts(plan, "/supply", [
      ["supply", supply.part, "part"], ["output", voltage(supply.voltage_v), "voltage_v"], ["rated", current(supply.rated_a), "rated_a"],
      ["everything lit", `${current(supply.needed_a)}, ${plain((100 * supply.needed_a) / supply.rated_a, 0)} % of it`, "needed_a"],
      ["listed", supply.listed ?? "not stated", "listed"],
    ])}</section>` : nothing,
  ];
}

export function program(plan) {
  return table({ plan, caption: `${plan.controller.part}: its pins`, base: "/controller/pins" }, plan.controller.pins, [
    ["pin", (pin) => html`<b>${pin.pin}</b>`], ["port", (pin) => pin.port, "", "port"], ["does", (pin) => pin.does, "", "does"],
  ]);
}
