// The rehearsal at the rules stop: simulated people play on the server, the verdict comes first, numbers behind a click.

import { html, nothing } from "./vendor/lit-html.js";
import { byConstant, byParty, partyOf, width } from "./rehearsal-chart.js";
import { spelled } from "./tune.js";

/** How long the page waits before it looks again how far the rehearsal is. */
const LOOK_AGAIN_MS = 400;

/** The last rehearsal that was asked for. */
export class Rehearsing {
  /** @param {{show: () => void, constants: () => Record<string, string>}} to */
  constructor(to) {
    this.to = to;
    this.state = { is: "none" };
    this.why = "";
    this.looking = false;
  }

  /** Begins with the constants as they are set now. */
  async begin() {
    this.why = "";
    try {
      const answer = await fetch("./rehearsal.json", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(this.to.constants()) });
      const said = await answer.json();
      if (answer.ok) this.state = said;
      else this.why = said.why ?? "the workbench refused";
    } catch {
      this.why = "the workbench does not answer";
    }
    this.to.show();
    await this.look();
  }

  /** Looks how it stands, and again while it goes on. */
  async look() {
    if (this.looking) return;
    this.looking = true;
    try {
      do {
        const answer = await fetch("./rehearsal.json", { cache: "no-store" });
        if (!answer.ok) break;
        this.state = await answer.json();
        this.to.show();
        if (this.state.is === "running") await new Promise((waited) => setTimeout(waited, LOOK_AGAIN_MS));
      } while (this.state.is === "running");
    } catch {
      this.why = "the workbench does not answer";
      this.to.show();
    } finally {
      this.looking = false;
    }
  }
}

/** The section: what to do, how far it is, what came of it. */
export function rehearsal(form, rehearsing) {
  if (!form.prompts?.length) {
    return html`<section class="rehearsal" aria-label="Rehearsal"><h3>Rehearsal</h3>
      <p class="quiet">The rules do not say what a person waits for: a line such as <code>prompt catch press button when hand is open</code> lets simulated people play them.</p></section>`;
  }
  const { state, why } = rehearsing;
  const running = state.is === "running";
  return html`<section class="rehearsal" aria-label="Rehearsal"><h3>Rehearsal</h3>
    <p>Simulated people of four ages play the game${form.sliders.length ? ", with the constants as they are set above" : ""}.</p>
    <p class="doing"><button type="button" class="make" ?disabled=${running} @click=${() => rehearsing.begin()}>${state.is === "done" ? "Rehearse again" : "Let them play"}</button>
      ${running ? html`<progress max=${state.all || 1} .value=${state.over} aria-label="Parties that have played"></progress>
        <span role="status">${state.all ? `${state.over} of ${state.all} parties have played` : "they are coming"}</span>` : nothing}</p>
    ${why || state.is === "unfit" ? html`<p class="refused" role="status"><b>Not rehearsed:</b> ${why || state.why}.</p>` : nothing}
    ${state.is === "done" ? told(form, state) : nothing}</section>`;
}

function told(form, { rehearsal: done, constants, form: played }) {
  const tried = Object.entries(constants).map(([name, value]) => `${name.replaceAll("-", " ")} at ${value}`).join(", ");
  const other = JSON.stringify(played) !== JSON.stringify(form);
  return html`
    ${other ? html`<p class="refused" role="status"><b>The rules have changed since:</b> this was played ${tried ? `with ${tried}` : "with the rules as they were written then"}.</p>`
    : tried ? html`<p class="quiet">Played with ${tried}.</p>` : nothing}
    <ul class="verdict" aria-label="What becomes of the game">${done.verdict.map(({ wants_change: wants, words }) =>
      html`<li class=${wants ? "wants" : "fine"}>${wants ? html`<b>To change:</b> ` : nothing}${inQuotes(words)}</li>`)}</ul>
    <details class="more"><summary>The numbers, with intervals of 95 in 100</summary>${numbers(done)}</details>
    <details class="more"><summary>What the simulated people stand on</summary><ul class="ways">${done.grounds.map((words) => html`<li>${words}</li>`)}</ul></details>`;
}

/** Names as on paper. */
const inQuotes = (words) => words.replace(/`([^`]*)`/g, "“$1”");

const plain = (name) => name.replaceAll(/[-_]/g, " ");
/** A value with its interval below. */
const estimate = ({ value, low, high }, { times = 1, places = 1 } = {}) => {
  const [at, from, to] = [value, low, high].map((each) => (each * times).toFixed(places));
  return html`<td>${at} <span class="range">(${from} to ${to})</span></td>`;
};
const hundred = (part) => estimate(part, { times: 100 });
const whole = (score) => estimate(score, { places: 0 });
const named = (words) => html`<th scope="col">${words}</th>`;
const wide = () => width(document.documentElement.clientWidth);

function numbers(done) {
  const scores = (bouts) => done.scores.map((_, k) => (bouts ? whole(bouts.scores[k].median) : html`<td></td>`));
  const party = ({ who, first, fifth, first_success_s: success, games_an_hour: hour }) => html`<tr><th scope="row">${who}</th>${scores(first)}${scores(fifth)}
    ${hundred(first.hit)}${hundred(first.empty)}${estimate(success.median)}${estimate(first.length_s)}${estimate(hour)}</tr>`;
  return html`${byParty(done, wide())}
    <div class="table" tabindex="0" role="group" aria-label="Numbers of each sort of party"><table class="estimates"><thead><tr><th scope="col">who</th>
      ${["first", "fifth"].map((bout) => done.scores.map((score) => named(`${plain(score)}, ${bout} bout`)))}
      ${["times to press met, of 100", "empty presses, of 100", "seconds to a first success", "seconds a bout", "bouts an hour"].map(named)}</tr></thead>
      <tbody>${done.parties.map(party)}</tbody></table></div>
    ${done.constants.filter(({ points }) => points.length > 1).map((constant) => html`
      <h4>${plain(constant.name)}, written as ${spelled(constant.value, constant.unit)}</h4>${byConstant(done, constant, wide())}
      <details class="more"><summary>The numbers of ${plain(constant.name)}</summary>${tried(done, constant)}</details>`)}
    <p class="quiet">${done.games} parties of each sort, seed ${done.seed}; the same seed gives the same games.</p>`;
}

/** What was tried of a constant, value by value, in first bouts. */
function tried(done, { name, unit, value: written, points }) {
  const score = done.scores.length ? plain(done.scores[0]) : "";
  const row = (value, { key, score: middle, hit, empty, first_success_s: success, games_an_hour: hour }) => html`<tr><th scope="row">${spelled(value, unit)}${value === written ? ", as written" : ""}</th>
    <td>${partyOf(done, key)}</td>${hundred(hit)}${hundred(empty)}${score ? whole(middle) : nothing}${estimate(success)}${estimate(hour)}</tr>`;
  return html`<div class="table" tabindex="0" role="group" aria-label=${`Numbers of ${plain(name)}`}><table class="estimates"><thead><tr>
      ${[plain(name), "who", "times to press met, of 100", "empty presses, of 100", ...(score ? [score] : []), "seconds to a first success", "bouts an hour"].map(named)}</tr></thead>
      <tbody>${points.map(({ value, parties }) => parties.map((each) => row(value, each)))}</tbody></table></div>`;
}
