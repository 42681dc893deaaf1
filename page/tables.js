// The small tables of the stops from the idea to the digits, and the list of all stops' tables.

import { html, nothing } from "./vendor/lit-html.js";
import { known } from "./origin.js";
import { facts, table } from "./table.js";
import { power, program, switches, wire } from "./tables-current.js";
import { buy, putUp, run, shelter, takeDown, tryOut } from "./tables-work.js";
import { degrees, force, length, limitSpeed, mass, plain, resistance } from "./units.js";

/** What is shown. */
function idea(plan) {
  const rows = plan.panels.flatMap((panel) => panel.poses.map((pose) => ({ panel, pose })));
  return [
    table({ plan, caption: "What it can show" }, rows, [
      ["figure", ({ panel }) => panel.name], ["pose", ({ pose }) => pose.name],
      ["lit", ({ panel, pose }) => pose.bunches.map((bunch) => panel.bunches[bunch].name).join(", ")],
    ]),
  ];
}

function bunches(plan, drilled) {
  return plan.panels.map((panel, p) => {
    const holes = (b) => panel.holes.filter((hole) => hole.bunch === b).length;
    return table({ plan, caption: `${panel.name}: light that switches together`, base: `/panels/${p}/bunches` }, panel.bunches, [
      ["bunch", (bunch) => bunch.name],
      ["line", (bunch) => length(bunch.length_mm, plan.units), "number", "length_mm"],
      ...(drilled ? [["holes", (_, b) => holes(b), "number"], ["spacing", (bunch) => length(bunch.spacing_mm, plan.units), "number", "spacing_mm"]] : []),
    ]);
  });
}

function drill(plan) {
  return [
    ...bunches(plan, true),
    table({ plan, caption: "The sheets", base: "/panels" }, plan.panels, [
      ["panel", (panel) => panel.name], ["sheet", (panel) => panel.sheet, "", "sheet"],
      ["width", (panel) => length(panel.width_mm, plan.units), "number", "width_mm"],
      ["height", (panel) => length(panel.height_mm, plan.units), "number", "height_mm"],
      ["hole", (panel) => length(panel.hole_mm, plan.units), "number", "hole_mm"],
      ["drilled with", (panel) => panel.twin_of ?? "-"],
    ]),
  ];
}

function string(plan, chosen, href) {
  return plan.panels.map((panel, p) => table({ plan, caption: `${panel.name}: its strands`, base: `/panels/${p}/strands` }, panel.strands, [
    ["strand", (run) => html`<a href=${href(run.label)} aria-current=${run.label === chosen ? "true" : nothing}>${run.label}</a>`],
    ["bunch", (run) => panel.bunches[run.bunch]?.name],
    ["holes", (run) => run.last_hole - run.first_hole + 1, "number"],
    ["parked", (run) => run.hops.reduce((sum, hop) => sum + hop.parked, 0), "number"],
    ["spare", (run) => run.spare, "number", "spare"],
    ["longest hop", (run) => length(run.longest_hop_mm, plan.units), "number", "longest_hop_mm"],
    ["reach", (run) => length(run.reach_mm, plan.units), "number", "reach_mm"],
  ]));
}

function spanTables(plan, span, n) {
  const { units } = plan;
  const base = `/spans/${n}`;
  const [left, right] = span.tension_n;
  const rows = span.hung.flatMap((hung, h) => hung.hangers.map((hanger, g) => ({ ...hanger, at: `hung/${h}/hangers/${g}` })));
  return html`<h3 class="part">${span.name}: the rope from post ${span.from} to post ${span.to}</h3>
    ${facts(plan, base, [
      ["rope", span.rope, "rope"], ["cut it to", length(span.cut_mm, units), "cut_mm"], ["between the ties", length(span.rope_mm, units), "rope_mm"],
      ["sag with everything on it", length(span.sag_mm, units), "sag_mm"],
      ["pull at its ends", left === right ? force(left, units) : `${force(left, units)} and ${force(right, units)}`, "tension_n"],
      ["it may carry", force(span.working_load_n, units), "working_load_n"], ["lowest of what hangs", length(span.headroom_mm, units), "headroom_mm"],
    ])}
    ${table({ plan, caption: "Hangers, from left to right: where to tie them along the slack rope, and what to cut", base }, rows, [
      ["hanger", (row) => html`<b>${row.label}</b>`],
      ["along the rope", (row) => known(plan, `${base}/${row.at}/along_mm`, length(row.along_mm, units)), "number"],
      ["length", (row) => known(plan, `${base}/${row.at}/length_mm`, length(row.length_mm, units)), "number"],
      ["cut", (row) => known(plan, `${base}/${row.at}/cut_mm`, html`<b>${length(row.cut_mm, units)}</b>`), "number"],
    ])}
    ${table({ plan, caption: "What hangs", base: `${base}/hung` }, span.hung, [
      ["object", (hung) => hung.name], ["turned", (hung) => degrees(hung.tilt_deg), "number", "tilt_deg"],
      ["mass", (hung) => mass(hung.mass_kg, units), "number", "mass_kg"],
      ["its middle up", (hung) => length(hung.at_mm[1], units), "number", "at_mm"], ["strand", (hung) => hung.strand, "", "strand"],
    ])}`;
}

function hang(plan) {
  const { units } = plan;
  const held = plan.withheld?.includes("put-up") ? [] : plan.stands ?? [];
  const guys = held.flatMap((stand) => stand.guys);
  return [
    ...(plan.spans ?? []).map((span, n) => spanTables(plan, span, n)),
    table({ plan, caption: "The posts", base: "/posts" }, plan.posts, [
      ["post", (post) => post.name], ["tied at", (post) => length(post.tie_mm, units), "number", "tie_mm"],
      ["pull", (post) => force(post.pull_n, units), "number", "pull_n"],
      ["direction", (post) => `${degrees(Math.abs(post.pull_deg))} ${post.pull_deg < 0 ? "down" : "up"}`, "number", "pull_deg"],
      ["at the foot", (post) => `${plain(post.moment_nm, 0)} N m`, "number", "moment_nm"],
    ]),
    plan.withheld?.includes("put-up") ? html`<p class="withheld-sheets"><b>How the panels are held: withheld</b> with the put-up card.</p>`
    : table({ plan, caption: "How the panels are held", base: "/stands" }, held, [
      ["panel", (stand) => stand.panel], ["base", (stand) => length(stand.base_mm, units), "number", "base_mm"],
      ["ballast", (stand) => mass(stand.ballast_kg, units), "number", "ballast_kg"],
      ["lay flat before gusts of", (stand) => html`<b>${limitSpeed(stand.lay_flat_m_s, units)}</b>`, "number", "lay_flat_m_s"],
    ]),
    table({ plan, caption: "Guys; pull each stake to its test before anything hangs on it" }, guys, [
      ["guy", (guy) => html`<b>${guy.label}</b>`], ["tied at", (guy) => length(guy.tie_mm, units), "number"],
      ["stake", (guy) => length(guy.stake_mm, units), "number"], ["cut", (guy) => length(guy.cut_mm, units), "number"],
      ["pull test", (guy) => force(guy.pull_test_n, units), "number"],
    ]),
  ];
}

function digits(plan) {
  return (plan.digits ?? []).map((each, d) => html`<h3 class="part">${each.name}: ${each.count} ${each.count === 1 ? "digit" : "digits"}</h3>
    ${facts(plan, `/digits/${d}`, [
      ["height", length(each.height_mm, plan.units), "height_mm"], ["width", length(each.width_mm, plan.units), "width_mm"],
      ["from one to the next", length(each.pitch_mm, plan.units), "pitch_mm"], ["LED", each.led, "led"],
      ["in a segment", `${each.rows} ${each.rows === 1 ? "row" : "rows"} of ${each.leds_in_series}`, "leds_in_series"],
      ["resistor of each row", resistance(each.resistor_ohm), "resistor_ohm"], ["it turns to heat", `${plain(each.resistor_w, 2)} W`, "resistor_w"],
      ["a segment draws", `${plain(each.segment_a * 1000, 1)} mA`, "segment_a"],
    ])}
    ${table({ plan, caption: "Channels, digits counted from the LEFT as the viewers see them" }, each.channels, [
      ["digit", (_, k) => k + 1, "number"],
      ...[...each.letters].map((letter, s) => [letter, (segments) => plan.channels[segments[s]]?.label ?? "-"]),
    ])}`);
}

const TABLES = {
  idea, draw: (plan) => bunches(plan, false), drill, string, hang, digits, switch: switches, wire, power, shelter, buy, program,
  try: tryOut, "put up": putUp, run, "take down": takeDown,
};

/** A stop's name with blanks between its words. */
export function spoken(name) {
  return name.replaceAll("-", " ");
}

/** The tables of the stop of this name. `chosen` and `href` are the chosen strand and where a strand leads. */
export function tables(name, plan, chosen, href) {
  return TABLES[spoken(name)]?.(plan, chosen, href) ?? nothing;
}
