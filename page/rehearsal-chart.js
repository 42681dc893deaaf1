// Charts of a rehearsal: what each sort of party reaches, and what a constant does to them. Told apart by shape and dashes, never by
// colour alone; the tables beside them say the same.

import { nothing, svg, html } from "./vendor/lit-html.js";

const WIDE = 720;
const ROW = 34;

/** Whole steps of an axis, at most five of them. */
export function stepOf(most) {
  let step = 1;
  for (let k = 0; most / step > 5 && k < 30; k += 1) step *= [2, 2.5, 2][k % 3];
  return step;
}

/** What is measured of a party: its score where there is one, else the times to press met, of 100. */
function measured(done, bouts) {
  if (!bouts) return null;
  if (done.scores.length === 1) return bouts.scores[0].median;
  const { value, low, high } = bouts.hit;
  return { value: 100 * value, low: 100 * low, high: 100 * high };
}

function interval(x, y, { value, low, high }, ring) {
  return svg`<path class="bar" d="M${x(low)} ${y} H${x(high)} M${x(low)} ${y - 5} v10 M${x(high)} ${y - 5} v10"/>
    <circle class=${ring ? "ring" : "dot"} cx=${x(value)} cy=${y} r="5.5"/>`;
}

/** A row for each sort of party: the first bout as a dot, the fifth as a ring. */
export function byParty(done) {
  const rows = done.parties.map((party) => ({ who: party.who, first: measured(done, party.first), fifth: measured(done, party.fifth) }));
  const most = Math.max(1, ...rows.flatMap(({ first, fifth }) => [first.high, fifth?.high ?? 0]));
  const step = stepOf(most);
  const steps = Math.ceil(most / step);
  const x = (value) => 240 + ((WIDE - 260) * value) / (step * steps);
  const low = ROW * rows.length;
  const what = done.scores.length === 1 ? `${done.scores[0].replaceAll(/[-_]/g, " ")}, the middle one of all parties` : "times to press met, of 100";
  const fifth = rows.some((row) => row.fifth);
  return html`<figure class="people"><figcaption>${what[0].toUpperCase()}${what.slice(1)}: dot, first bout${fifth ? "; ring, fifth bout" : ""}; bar, interval of 95 in 100</figcaption>
    <svg viewBox="0 0 ${WIDE} ${low + 26}" role="img" aria-label=${`${what}; the table below says the same`}>
      ${Array.from({ length: steps + 1 }, (_, k) => svg`<path class="grid" d="M${x(k * step)} 0 V${low}"/><text class="mid" x=${x(k * step)} y=${low + 20}>${k * step}</text>`)}
      ${rows.map((row, k) => {
    const y = ROW * (k + 0.5);
    const lift = row.fifth ? 7 : 0;
    return svg`<g data-party=${done.parties[k].key}><text x="0" y=${y + 5}>${row.who}</text>${interval(x, y - lift, row.first, false)}${row.fifth ? interval(x, y + lift, row.fifth, true) : nothing}</g>`;
  })}</svg></figure>`;
}

/** Values of a constant against the times to press met, for whoever does worst and whoever does best. */
export function byConstant(done, { name, value, points }) {
  const [left, right, top, low] = [44, WIDE - 20, 10, 150];
  const [least, most] = [points[0].value, points.at(-1).value];
  const x = (at) => left + ((right - left) * (at - least)) / Math.max(most - least, 1);
  const y = (hit) => low - (low - top) * hit;
  const keys = points[0].parties.map(({ key }) => key);
  const who = (key) => done.parties.find((party) => party.key === key)?.who ?? key;
  const hits = (key) => points.map((point) => [point.value, point.parties.find((tried) => tried.key === key).hit]);
  const line = (key, k) => svg`<g data-tried=${key}><path class=${k ? "line dashes" : "line"} d=${`M${hits(key).map(([at, hit]) => `${x(at)} ${y(hit)}`).join("L")}`}/>
    ${hits(key).map(([at, hit]) => svg`<circle class=${k ? "ring" : "dot"} cx=${x(at)} cy=${y(hit)} r="5"/>`)}</g>`;
  const words = keys.map((key, k) => `${who(key)} (${k ? "rings" : "dots"})`).join(", ");
  return html`<figure class="people"><figcaption>Times to press met, of 100: ${words}; upright, as written</figcaption>
    <svg viewBox="0 0 ${WIDE} ${low + 28}" role="img" aria-label=${`Times to press met by values of ${name}: ${keys.map((key) => `${who(key)} ${hits(key).map(([at, hit]) => `${at}: ${Math.round(100 * hit)}`).join(", ")}`).join("; ")}`}>
      ${[0, 0.5, 1].map((part) => svg`<path class="grid" d="M${left} ${y(part)} H${right}"/><text class="end" x=${left - 10} y=${y(part) + 5}>${100 * part}</text>`)}
      <path class="line dashes" d="M${x(value)} 0 V${low}"/>
      ${points.filter((point, k) => k === 0 || x(point.value) - x(points[k - 1].value) > 44).map((point) => svg`<text class="mid" x=${x(point.value)} y=${low + 22}>${point.value}</text>`)}
      ${keys.map(line)}</svg></figure>`;
}
