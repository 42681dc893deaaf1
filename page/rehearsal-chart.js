// Charts of a rehearsal: what each sort of party reaches, and what a constant does to them. Told apart by shape and dashes, never by
// colour alone; the tables beside them say the same.

import { nothing, svg, html } from "./vendor/lit-html.js";

/** On a window narrower than this, names stand above their rows and not beside them. */
const NARROW = 520;
/** Dots of two parties at one value stand so far apart, so that their bars do not lie on each other. */
const APART = 9;

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

/** As wide as the window allows, so that letters stay as large as those around. */
export function width(window) {
  return Math.max(280, Math.min(720, window - 28));
}

function interval(x, y, { value, low, high }, ring) {
  return svg`<path class="bar" d="M${x(low)} ${y} H${x(high)} M${x(low)} ${y - 5} v10 M${x(high)} ${y - 5} v10"/>
    <circle class=${ring ? "ring" : "dot"} cx=${x(value)} cy=${y} r="5.5"/>`;
}

/** The same upright. */
function upright(x, y, { value, low, high }, ring) {
  return svg`<path class="bar" d="M${x} ${y(low)} V${y(high)} M${x - 4} ${y(low)} h8 M${x - 4} ${y(high)} h8"/>
    <circle class=${ring ? "small ring" : "dot"} cx=${x} cy=${y(value)} r="3.6"/>`;
}

/** A row for each sort of party: the first bout as a dot, the fifth as a ring. */
export function byParty(done, wide) {
  const rows = done.parties.map((party) => ({ who: party.who, first: measured(done, party.first), fifth: measured(done, party.fifth) }));
  const most = Math.max(1, ...rows.flatMap(({ first, fifth }) => [first.high, fifth?.high ?? 0]));
  const step = stepOf(most);
  const steps = Math.ceil(most / step);
  const [left, row, name] = wide < NARROW ? [10, 50, 16] : [220, 34, 22];
  const x = (value) => left + ((wide - left - 20) * value) / (step * steps);
  const low = row * rows.length;
  const what = done.scores.length === 1 ? `${done.scores[0].replaceAll(/[-_]/g, " ")}, the middle one of all parties` : "times to press met, of 100";
  const fifth = rows.some((row) => row.fifth);
  return html`<figure class="people"><figcaption>${what[0].toUpperCase()}${what.slice(1)}: dot, first bout${fifth ? "; ring, fifth bout" : ""}; bar, interval of 95 in 100</figcaption>
    <svg viewBox="0 0 ${wide} ${low + 26}" role="img" aria-label=${`${what}; the table below says the same`}>
      ${Array.from({ length: steps + 1 }, (_, k) => svg`<path class="grid" d="M${x(k * step)} 0 V${low}"/><text class="mid" x=${x(k * step)} y=${low + 20}>${k * step}</text>`)}
      ${rows.map(({ who, first, fifth }, k) => {
    const y = row * (k + 1) - 17;
    const lift = fifth ? 7 : 0;
    return svg`<g data-party=${done.parties[k].key}><text x="0" y=${row * k + name}>${who}</text>${interval(x, y - lift, first, false)}${fifth ? interval(x, y + lift, fifth, true) : nothing}</g>`;
  })}</svg></figure>`;
}

/** What party a key is. */
export function partyOf(done, key) {
  return done.parties.find((party) => party.key === key)?.who ?? key;
}

/** Values of a constant against the times to press met, for whoever does worst and whoever does best. */
export function byConstant(done, { name, value, points }, wide) {
  const [left, right, top, low] = [52, wide - 20, 10, 220];
  const [least, most] = [points[0].value, points.at(-1).value];
  const x = (at) => left + ((right - left) * (at - least)) / Math.max(most - least, 1);
  // From a round value below everything: what a constant does is small beside all that there could be.
  const lowest = Math.min(...points.flatMap(({ parties }) => parties.map(({ hit }) => hit.low)));
  const from = Math.max(0, Math.floor(4 * (lowest - 0.02)) / 4);
  const y = (hit) => low - ((low - top) * (hit - from)) / (1 - from);
  const keys = points[0].parties.map(({ key }) => key);
  const who = (key) => partyOf(done, key);
  const hits = (key) => points.map((point) => [point.value, point.parties.find((tried) => tried.key === key).hit]);
  const beside = (k) => (keys.length > 1 ? APART * (k - 0.5) : 0);
  const line = (key, k) => svg`<g data-tried=${key}><path class=${k ? "line dashes" : "line"} d=${`M${hits(key).map(([at, hit]) => `${x(at) + beside(k)} ${y(hit.value)}`).join("L")}`}/>
    ${hits(key).map(([at, hit]) => upright(x(at) + beside(k), y, hit, k > 0))}</g>`;
  const hundred = ({ value: part, low: from, high: to }) => `${Math.round(100 * part)} (${Math.round(100 * from)} to ${Math.round(100 * to)})`;
  const words = keys.map((key, k) => `${who(key)} (${k ? "rings" : "dots"})`).join(", ");
  return html`<figure class="people"><figcaption>Times to press met, of 100: ${words}; bars, intervals of 95 in 100; long dashes, as written</figcaption>
    <svg viewBox="0 0 ${wide} ${low + 28}" role="img" aria-label=${`Times to press met by values of ${name}: ${keys.map((key) => `${who(key)} ${hits(key).map(([at, hit]) => `${at}: ${hundred(hit)}`).join(", ")}`).join("; ")}`}>
      ${[0, 0.25, 0.5, 0.75, 1].filter((part) => part >= from).map((part) => svg`<path class="grid" d="M${left} ${y(part)} H${right}"/><text class="end" x=${left - 18} y=${y(part) + 5}>${100 * part}</text>`)}
      <path class="written" d="M${x(value)} 0 V${low}"/>
      ${points.filter((point, k) => k === 0 || x(point.value) - x(points[k - 1].value) > 44).map((point) => svg`<text class="mid" x=${x(point.value)} y=${low + 22}>${point.value}</text>`)}
      ${keys.map(line)}</svg></figure>`;
}
