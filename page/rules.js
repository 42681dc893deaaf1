// The stop where the rules are: what is played, how fast, with which values, what is claimed of it, and its machines.

import { html, nothing } from "./vendor/lit-html.js";
import { statechart } from "./chart.js";
import { keeping } from "./keep.js";
import { pace } from "./pace.js";
import { rehearsal } from "./rehearsal.js";
import { claims, replayed } from "./replay.js";
import { soundsOf } from "./sounds.js";
import { sliders } from "./tune.js";

/**
 * Everything about the rules at their stop.
 * @param {{form: any, game: any, title: string, beside: any, tuning: any, rehearsing: any, sounds: any, replay: any, machine: number, refused: string,
 *   to: {show: () => void, machine: (name: string) => void, set: (name: string, value: number) => void, forget: () => void,
 *   open: (name: string, trace: any, words?: string) => void, step: (ticks: number) => void, again: () => void, leave: () => void}}} all
 */
export function rules({ form, game, title, beside, tuning, rehearsing, sounds, replay, machine, refused, to }) {
  if (!form?.machines.length || !game) return nothing;
  return html`<div class="rules">
    ${replay ? replayed(replay, game, to) : nothing}
    <div class="pair">${pace(game, to.show)}${sliders(tuning, beside.constants ?? [])}
      ${keeping(form, title, to)}${soundsOf(form, sounds, to.show)}</div>
    ${rehearsal(form, rehearsing)}
    ${statechart(form, Math.min(machine, form.machines.length - 1), to.machine)}
    ${claims(form, beside, to.open, { why: refused, tried: tuning.tried.size > 0 })}
  </div>`;
}
