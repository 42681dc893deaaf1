// Builders' drawings in ink: the threading from the back, the holes from the front, the poses.

import { html, nothing, svg } from "./vendor/lit-html.js";
import { length } from "./units.js";

const WIDTH = 420;
const HEIGHT = 640;

/** A scale that fits a panel on the paper, and its edges. */
function fit(panel, width, height) {
  const k = Math.min(width / panel.width_mm, height / panel.height_mm);
  return { k, width: panel.width_mm * k, height: panel.height_mm * k };
}

/** Where a hole is, in the words of somebody who stands behind the panel. */
function place(panel, hole) {
  const up = hole.y_mm / panel.height_mm;
  const across = 1 - hole.x_mm / panel.width_mm;
  const rows = up < 1 / 3 ? "bottom" : up > 2 / 3 ? "top" : "middle";
  return `${rows} ${across < 0.5 ? "left" : "right"}`;
}

/** The ways to the strands before and after, large enough for a thumb. */
function turning(panel, run, href) {
  const at = panel.strands.indexOf(run);
  const way = (other, word) => (other ? html`<a href=${href(other.label)}>${word} ${other.label}</a>` : html`<span></span>`);
  return html`<nav class="turning" aria-label="Strands of ${panel.name}">
    ${way(panel.strands[at - 1], "back to")}${way(panel.strands[at + 1], "on to")}</nav>`;
}

/** The threading of one strand, seen from the back; the other strands are faint. */
export function threading(panel, chosen, href) {
  const run = panel.strands.find((each) => each.label === chosen) ?? panel.strands[0];
  if (!run) return nothing;
  const { k, width, height } = fit(panel, WIDTH, HEIGHT);
  // Mirrored: the builder strings it from behind.
  const at = (hole) => [(panel.width_mm - hole.x_mm) * k, (panel.height_mm - hole.y_mm) * k];
  const hole = (number) => panel.holes[number - 1];
  const mine = panel.holes.slice(run.first_hole - 1, run.last_hole);
  const marked = ({ number }) => number % 10 === 0 || number === run.first_hole || number === run.last_hole;
  const parked = run.hops.reduce((sum, hop) => sum + hop.parked, 0);
  const first = hole(run.first_hole);
  const ends = [parked && `${parked} parked on dashed hops`, run.spare && `${run.spare} spare after the last hole`];
  return html`<figure class="drawing">
    <figcaption><b>${panel.name}, from the BACK</b><br>
      strand ${run.label} &middot; ${run.lamps} lamps &middot; start at hole ${run.first_hole}${first ? `, ${place(panel, first)}` : ""}</figcaption>
    <svg viewBox="-14 -14 ${width + 28} ${height + 28}" role="img"
      aria-label="Threading of strand ${run.label} from hole ${run.first_hole} to hole ${run.last_hole}">
      <rect class="edge" x="0" y="0" width=${width} height=${height}/>
      ${panel.holes.filter((each) => each.number < run.first_hole || each.number > run.last_hole)
        .map((each) => svg`<circle class="other" cx=${at(each)[0]} cy=${at(each)[1]} r="1.6"/>`)}
      ${run.hops.map((hop) => {
        const [from, to] = [hole(hop.from), hole(hop.to)];
        if (!from || !to) return nothing;
        const [[x1, y1], [x2, y2]] = [at(from), at(to)];
        return svg`<line class=${hop.parked ? "hop over" : "hop"} x1=${x1} y1=${y1} x2=${x2} y2=${y2}/>`;
      })}
      ${mine.filter((each) => !marked(each)).map((each) => svg`<circle class="hole" cx=${at(each)[0]} cy=${at(each)[1]} r="3.2"/>`)}
      ${mine.filter(marked).map((each) => svg`<g transform="translate(${at(each)[0]} ${at(each)[1]})">
        <circle class="disc" r=${each.number > 99 ? 13 : 11}/><text class="disc-number" y="4.2">${each.number}</text></g>`)}
    </svg>
    <p class="quiet">${ends.filter(Boolean).join("; ") || "no lamp parked, none spare"}</p>
    ${turning(panel, run, href)}
  </figure>`;
}

/** The holes from the front, with the sheet's size. */
export function holes(panel, units) {
  const { k, width, height } = fit(panel, WIDTH - 40, HEIGHT - 60);
  return html`<figure class="drawing">
    <figcaption><b>${panel.name}, from the FRONT</b><br>${panel.holes.length} holes of ${length(panel.hole_mm, units)}</figcaption>
    <svg viewBox="-44 -14 ${width + 58} ${height + 58}" role="img" aria-label="The holes of ${panel.name}">
      <rect class="edge" x="0" y="0" width=${width} height=${height}/>
      ${panel.holes.map((each) => svg`<circle class="hole" cx=${each.x_mm * k} cy=${height - each.y_mm * k} r="2.4"/>`)}
      <path class="dimension" d="M0 ${height + 16} H${width} M0 ${height + 10} v12 M${width} ${height + 10} v12
        M-16 0 V${height} M-22 0 h12 M-22 ${height} h12"/>
      <text class="measure" x=${width / 2} y=${height + 36}>${length(panel.width_mm, units)}</text>
      <text class="measure" transform="translate(-26 ${height / 2}) rotate(-90)">${length(panel.height_mm, units)}</text>
    </svg>
  </figure>`;
}

/** Every pose of a panel: what is lit in ink, what is dark dotted. */
export function poses(panel) {
  const { k, width, height } = fit(panel, 200, 300);
  const line = (points) => points.map(([x, y], n) => `${n ? "L" : "M"}${x * k} ${height - y * k}`).join(" ");
  return html`<figure class="drawing"><figcaption><b>${panel.name}: its poses, from the FRONT</b></figcaption>
    <div class="poses">${panel.poses.map((pose) => html`<div>
      <svg viewBox="-4 -4 ${width + 8} ${height + 8}" role="img" aria-label="${panel.name}, ${pose.name}">
        ${panel.bunches.map((bunch, b) => bunch.lines_mm.map((points) =>
          svg`<path class=${pose.bunches.includes(b) ? "ink" : "dark-line"} d=${line(points)}/>`))}
      </svg><p>${pose.name}</p></div>`)}</div>
  </figure>`;
}
