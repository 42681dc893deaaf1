// Claims with their answers, and plays that a proof or somebody wrote down: told as sentences and replayed in the yard.

import { html, nothing } from "./vendor/lit-html.js";
import { claimSaid, moment } from "./words.js";

/** Whether something read from a file is a play that this form can be given. */
export function playable(form, trace) {
  const list = (value, of) => Array.isArray(value) && value.every(of);
  const place = (b) => Number.isInteger(b) && b >= 0;
  const pick = (pair) => list(pair, Number.isInteger) && pair.length === 2;
  if (!trace || !list(trace.ticks, (tick) => tick && list(tick.p, place) && list(tick.h, place) && list(tick.k, pick))) return false;
  const most = (trace.form ?? form)?.buttons?.length ?? 0;
  const said = ({ tick, words } = {}) => place(tick) && typeof words === "string";
  if (trace.told !== undefined && !list(trace.told, said)) return false;
  return trace.ticks.length > 0 && trace.ticks.every(({ p, h }) => [...p, ...h].every((b) => b < most));
}

/** Words with the names of the rules in backticks, as a page sets them. */
function worded(words) {
  return words.split("`").map((part, k) => (k % 2 ? html`<code>${part}</code>` : part));
}

/** The play in the yard now. */
export function replayed(replay, game, to) {
  const { ticks, told = [] } = replay.trace;
  const last = ticks.length - 1;
  const after = () => ticks.findIndex(({ p }, tick) => p.length > 0 && tick > game.ticks);
  const next = () => (after() < 0 ? last : after());
  const all = told.length ? told : [{ tick: last, words: "here the play ends; nobody has told it" }];
  const step = () => to.step(next() - game.ticks);
  return html`<section class="replay" aria-label="A play told"><h3>${worded(replay.name)}</h3>
    <p>This is replayed in the yard; your own presses wait. ${worded(replay.words)}</p>
    <ol class="moments" tabindex="0" aria-label="What happens, moment by moment">${all.map(({ tick, words }) => html`<li data-moment=${tick}><span class="when">${moment(game.form, tick)}</span> ${worded(words)}</li>`)}</ol>
    <p class="doing"><button type="button" class="make" @click=${step}>To the next press</button>
      <button type="button" class="undo" @click=${to.again}>From the start</button>
      <button type="button" class="undo" @click=${to.leave}>Back to playing</button></p></section>`;
}

/** Marks the sentence that was true last. */
export function tellMoment(root, game) {
  const all = [...root.querySelectorAll("[data-moment]")];
  if (all.length === 0) return;
  const at = all.findLastIndex((each) => Number(each.dataset.moment) <= game.ticks);
  all.forEach((each, k) => {
    if (k === at) each.setAttribute("aria-current", "step");
    else if (each.hasAttribute("aria-current")) each.removeAttribute("aria-current");
  });
}

/** An answer, with what came of it first. */
function told(words) {
  const [verdict, rest] = [words.split(": ", 1)[0], words.slice(words.indexOf(": "))];
  return ["Proved", "Refuted", "Undecided"].includes(verdict) ? html`<b>${verdict}</b>${worded(rest)}` : worded(words);
}

/** What was not decided or not asked yet, and how to ask for it. */
function notAsked(form, { answers = [], unasked = [], ask }) {
  const open = answers.some(({ verdict }) => verdict?.is === "undecided");
  return [open ? html`<p class="undecided-words">Undecided is not proved: nothing against it was found in what was looked at. More may be decided${
    ask ? html` by <code>${ask}</code>` : nothing} with a higher <code class="whole">--limit</code> and <code class="whole">--memory</code>.</p>` : nothing, notYet(form, unasked, ask)];
}

function notYet(form, unasked, ask) {
  if (unasked.length === 0) return nothing;
  const own = unasked.filter(({ claim }) => form.claims.some(({ name }) => name === claim));
  const rest = unasked.filter((one) => !own.includes(one));
  return html`<div class="unasked"><h4>Not asked of these rules yet</h4>
    <p>Is it so in every play there can be?</p><ul class="ways">
      ${own.length ? html`<li>what the rules claim: ${own.map(({ claim }) => claim.replaceAll("-", " ")).join(", ")}</li>` : nothing}
      ${rest.map(({ words }) => html`<li>${worded(words)}</li>`)}</ul>
    ${ask ? html`<p>In a terminal, <code>${ask}</code> asks all of it; with <code class="whole">--claim ${quoted(unasked.at(-1).claim)}</code> at the end, only that. It takes
      seconds to minutes, and the answers appear here.</p>` : html`<p>They can be asked once the faults above are mended.</p>`}</div>`;
}

/** A claim's name as a shell takes it for one word. */
const quoted = (claim) => (claim.includes(" ") ? `'${claim}'` : claim);

/** The claims with their answers, which are about the rules as written, and the plays that can be opened. */
export function claims(form, beside, open, { why, tried }) {
  const { answers = [], traces, claims: written = [] } = beside;
  const said = (claim) => written.find(({ name }) => name === claim.name)?.says ?? claimSaid(form, claim);
  const of = (name) => answers.find(({ claim }) => claim === name);
  const rest = answers.filter(({ claim }) => !form.claims.some(({ name }) => name === claim));
  const line = (name, words, answer) => html`<li class=${answer?.verdict?.is ?? nothing}><b>${name.replaceAll("-", " ")}</b> ${words ? html`<span class="claimed">${words}</span>` : nothing}
    <span class="answer">${answer ? told(answer.words) : "Not asked yet"}</span>
    ${answer?.verdict?.trace ? html`<button type="button" class="undo" @click=${() => open(`A play against \`${answer.claim}\``, { ...answer.verdict.trace, told: answer.told }, answer.words)}>Replay it in the yard</button>` : nothing}</li>`;
  const chosen = async (event) => {
    const file = event.target.files[0];
    if (!file) return;
    const text = await file.text();
    event.target.value = "";
    open(file.name, parsed(text));
  };
  return html`<section class="claims" aria-label="Claims"><h3>What is claimed</h3>
    ${tried ? html`<p class="quiet">The answers are about the rules as they are written, not with the values that are tried above.</p>` : nothing}
    ${form.claims.length + rest.length === 0 ? html`<p class="quiet">The rules claim nothing of their own yet.</p>` : html`<ul class="claim-list">
      ${form.claims.map((claim) => line(claim.name, said(claim), of(claim.name)))}
      ${rest.map((answer) => line(answer.claim.replace(/^\./, ""), "", answer))}</ul>`}
    ${notAsked(form, beside)}
    ${why ? html`<p class="refused" role="status"><b>Not replayed:</b> ${why}.</p>` : nothing}
    <p class="doing">${(traces ?? []).map(({ file, trace }) => html`<button type="button" class="undo" @click=${() => open(file, trace)}>Replay ${file}</button>`)}
      <label class="file">Replay a play from a file <input type="file" accept=".json,application/json" @change=${chosen}></label></p></section>`;
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}
