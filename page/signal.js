// The signal path: from any lamp back to its controller pin, as labels to look for, one after the other.

import { html, nothing } from "./vendor/lit-html.js";

/** The path of a light that was pointed at: of its own name where there is one, else of its channel. */
export function pathOf(plan, light) {
  const paths = plan.signal_paths ?? [];
  return paths.find((each) => each.channel === light.channel && each.light === light.light)
    ?? paths.find((each) => each.channel === light.channel) ?? null;
}

/** The path of this name, as chosen from the list or the address. */
export function pathNamed(plan, name) {
  return (plan.signal_paths ?? []).find((each) => each.light === name) ?? null;
}

/** The way on a slip of paper. */
export function signalPath(plan, chosen, closing) {
  if (!chosen) return nothing;
  const channel = plan.channels[chosen.channel];
  return html`<section class="signal" aria-labelledby="signal-name">
    <h3 id="signal-name">From ${chosen.light} back to the controller</h3>
    <p>${channel ? html`It is on channel <b>${channel.label}</b>, ${channel.name}. ` : nothing}Look for these labels, one after the other:</p>
    <ol class="labels">${chosen.by.map((label) => html`<li><span class="tag">${label}</span></li>`)}</ol>
    <p class="quiet">Its lamps are ringed in the yard. <a href=${closing}>Put the slip away</a></p>
  </section>`;
}

/** The list of all lights, for whoever cannot point at them. */
export function signalList(plan, chosen, choose) {
  const paths = plan.signal_paths ?? [];
  if (plan.withheld?.includes("wiring")) {
    return html`<p class="follow quiet">The ways from the lamps back to the controller are withheld with the wiring sheets.</p>`;
  }
  if (paths.length === 0) return nothing;
  return html`<p class="follow"><label for="follow">A lamp stays dark? Click it in the yard, or follow</label>
    <select id="follow" @change=${(event) => choose(event.target.value)}>
      <option value="" ?selected=${!chosen}>a light by name</option>
      ${paths.map((each) => html`<option value=${each.light} ?selected=${each === chosen}>${each.light}</option>`)}
    </select></p>`;
}
