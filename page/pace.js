// How fast time goes while looking: as it is, slowed, or held and moved on by single ticks.

import { html } from "./vendor/lit-html.js";
import { moment } from "./words.js";

const PACES = [["as it is", 1], ["half as fast", 0.5], ["a quarter", 0.25], ["a tenth", 0.1]];

/** The words and buttons of time. */
export function pace(game, show) {
  const set = (value) => () => {
    Object.assign(game, { pace: value, held: false });
    show();
  };
  const go = (count) => () => {
    game.held = true;
    game.go(count);
    show();
  };
  const hold = () => {
    game.held = !game.held;
    show();
  };
  return html`<section class="pace" aria-label="Time"><h3>Time</h3>
    <p class="choice"><span>let it run</span>${PACES.map(([words, value]) =>
      html`<button type="button" aria-pressed=${!game.held && game.pace === value ? "true" : "false"} @click=${set(value)}>${words}</button>`)}</p>
    <p class="choice"><span>or</span><button type="button" aria-pressed=${game.held ? "true" : "false"} @click=${hold}>hold it</button>
      <button type="button" @click=${go(1)}>one tick</button><button type="button" @click=${go(10)}>ten ticks</button></p>
    <p class="clock">tick <b data-clock="tick"></b>, <b data-clock="time"></b> after the start</p>
  </section>`;
}

/** Tells the time without drawing anything anew. */
export function tellTime(root, game) {
  const tick = root.querySelector('[data-clock="tick"]');
  if (!tick || tick.textContent === String(game.ticks)) return;
  tick.textContent = String(game.ticks);
  root.querySelector('[data-clock="time"]').textContent = moment(game.form, game.ticks);
}
