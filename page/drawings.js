// Builders' drawings in ink of what hangs and of a digit.

import { html, nothing, svg } from "./vendor/lit-html.js";
import { length } from "./units.js";

const WIDE = 1000;
const points = (line, at) => line.map((point) => at(point).map((part) => part.toFixed(1)).join(",")).join(" ");

/** A span from the FRONT: the loaded rope, what hangs, and every hanger with the length to cut. */
export function spanDrawing(span, posts, units) {
  const tie = (name) => posts.find((post) => post.name === name);
  const xs = span.shape_mm.map(([x]) => x);
  const [left, right] = [Math.min(...xs), Math.max(...xs)];
  const top = Math.max(...span.shape_mm.map(([, y]) => y));
  if (!(right > left)) return nothing;
  // Upright twice as large as across: hangers are short beside a rope.
  const k = WIDE / (right - left);
  const up = 2 * k;
  const bottomOf = (hung) => hung.at_mm[1] + Math.min(0, ...hung.lines_mm.flat().map(([, y]) => y));
  const low = Math.min(top, ...span.hung.map(bottomOf));
  const height = (top - low) * up;
  const at = ([x, y]) => [(x - left) * k, (top - y) * up];
  const named = (name, x, anchor) => svg`<text class="measure small ${anchor}" x=${x} y="-22">post ${name}${
    tie(name) ? `, tied at ${length(tie(name).tie_mm, units)}` : ""}</text>`;
  return html`<figure class="drawing broad"><figcaption><b>${span.name}, from the FRONT</b><br>
      cut lengths, knots included; heights drawn twice as large as widths</figcaption>
    <div class="scroll" role="group" aria-label="Drawing of ${span.name}"><svg viewBox="-20 -40 ${WIDE + 40} ${height + 76}" role="img" aria-label="The span ${span.name} with its hangers">
      <path class="post-line" d="M0 -14 V${height + 30} M${WIDE} -14 V${height + 30}"/>
      ${named(span.from, -4, "from-left")}${named(span.to, WIDE + 4, "from-right")}
      <polyline class="ink" points=${points(span.shape_mm, at)}/>
      ${span.hung.map((hung) => {
        const [x, y] = at([hung.at_mm[0], bottomOf(hung)]);
        return svg`${hung.lines_mm.map((line) => svg`<polyline class="thing" points=${points(line.map(([a, b]) => [hung.at_mm[0] + a, hung.at_mm[1] + b]), at)}/>`)}
          ${hung.hangers.map((hanger, n) => {
            const [[x1, y1], [x2, y2]] = [at(hanger.top_mm), at(hanger.bottom_mm)];
            const beside = n === 0 ? -5 : 14;
            return svg`<line class="hop" x1=${x1} y1=${y1} x2=${x2} y2=${y2}/><circle class="knot" cx=${x1} cy=${y1} r="3"/>
              <text class="measure small" transform="translate(${x1 + beside} ${(y1 + y2) / 2}) rotate(-90)">${length(hanger.cut_mm, units)}</text>`;
          })}
          <text class="measure small strong" x=${x} y=${y + 20}>${hung.name}</text>`;
      })}
    </svg></div></figure>`;
}

/** A digit from the FRONT, its segments lettered. */
export function digitDrawing(digits, units) {
  const k = 300 / digits.height_mm;
  const [width, height] = [digits.width_mm * k, 300];
  return html`<figure class="drawing"><figcaption><b>${digits.name}: one digit, from the FRONT</b><br>
      ${digits.rows * digits.leds_in_series} LEDs a segment</figcaption>
    <svg viewBox="-70 -40 ${width + 110} ${height + 90}" role="img" aria-label="A digit with its segments a to g">
      ${digits.segments_mm.map(([x1, y1, x2, y2], s) => {
        const [ax, ay, bx, by] = [x1 * k, height - y1 * k, x2 * k, height - y2 * k];
        return svg`<line class="bar" x1=${ax} y1=${ay} x2=${bx} y2=${by}/>
          <text class="letter" x=${(ax + bx) / 2} y=${(ay + by) / 2 + 6}>${digits.letters[s]}</text>`;
      })}
      <path class="dimension" d="M0 ${height + 26} H${width} M0 ${height + 20} v12 M${width} ${height + 20} v12 M-36 0 V${height} M-42 0 h12 M-42 ${height} h12"/>
      <text class="measure" x=${width / 2} y=${height + 46}>${length(digits.width_mm, units)}</text>
      <text class="measure" transform="translate(-44 ${height / 2}) rotate(-90)">${length(digits.height_mm, units)}</text>
    </svg></figure>`;
}
