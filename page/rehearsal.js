// The rehearsal at the rules stop: simulated people play on the server, the verdict comes first, numbers behind a click.

import { html, nothing } from "./vendor/lit-html.js";
import { byConstant, byParty } from "./rehearsal-chart.js";
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
    <p>Simulated people of four ages play the game, with the constants as they are set above.</p>
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

const one = (value) => String(Math.round(value * 10) / 10);
const estimate = ({ value, low, high }, times = 1) => `${one(value * times)} (${one(low * times)} to ${one(high * times)})`;

function numbers(done) {
  const [score] = done.scores;
  const party = ({ who, first, fifth, first_success_s: success, games_an_hour: hour }) => html`<tr><th scope="row">${who}</th>
    ${score ? html`<td>${estimate(first.scores[0].median)}</td><td>${fifth ? estimate(fifth.scores[0].median) : ""}</td>` : nothing}
    <td>${estimate(first.hit, 100)}</td><td>${estimate(first.empty, 100)}</td><td>${estimate(success.median)}</td><td>${estimate(first.length_s)}</td><td>${Math.round(hour)}</td></tr>`;
  return html`${byParty(done)}
    <div class="table" tabindex="0" role="group" aria-label="Numbers of each sort of party"><table><thead><tr><th scope="col">who</th>
      ${score ? html`<th scope="col">${score.replaceAll(/[-_]/g, " ")}, first bout</th><th scope="col">fifth bout</th>` : nothing}
      <th scope="col">times to press met, of 100</th><th scope="col">empty presses, of 100</th><th scope="col">s to a first success</th><th scope="col">s a bout</th><th scope="col">bouts an hour</th></tr></thead>
      <tbody>${done.parties.map(party)}</tbody></table></div>
    ${done.constants.filter(({ points }) => points.length > 1).map((constant) => html`
      <h4>${constant.name.replaceAll("-", " ")}, written as ${spelled(constant.value, constant.unit)}</h4>${byConstant(done, constant)}`)}
    <p class="quiet">${done.games} parties of each sort, seed ${done.seed}; the same seed gives the same games.</p>`;
}
