// The constants of the rules as sliders: tried at once, kept in the file when asked, or left as they were.

import { html, nothing } from "./vendor/lit-html.js";

/** The values being tried, and what the server says of them. */
export class Tuning {
  /** @param {{base: () => any, apply: (form: any) => void, show: () => void, make: (change: any) => Promise<void>}} to */
  constructor(to) {
    this.to = to;
    /** Name and value of every constant that is not as written. */
    this.tried = new Map();
    this.why = "";
    this.asked = 0;
  }

  /** A slider's value as shown now. */
  value(slider) {
    return this.tried.get(slider.name) ?? slider.value;
  }

  /** What is tried, as the rules spell it. */
  constants() {
    const units = new Map((this.to.base()?.sliders ?? []).map(({ name, unit }) => [name, unit]));
    return Object.fromEntries([...this.tried].map(([name, value]) => [name, spelled(value, units.get(name))]));
  }

  /** Tries a value; the rules are read anew by the server. */
  set(slider, value) {
    if (value === slider.value) this.tried.delete(slider.name);
    else this.tried.set(slider.name, value);
    return this.read();
  }

  /** What is written now was read anew: what is tried and written alike is no longer tried. */
  settle(sliders) {
    for (const [name, value] of this.tried) {
      const slider = sliders.find((each) => each.name === name);
      if (!slider || slider.value === value || value < slider.min || value > slider.max) this.tried.delete(name);
    }
  }

  async read() {
    this.asked += 1;
    const mine = this.asked;
    this.to.show();
    if (this.tried.size === 0) {
      this.why = "";
      this.to.apply(this.to.base());
      this.to.show();
      return;
    }
    const constants = this.constants();
    try {
      const answer = await fetch("./tried", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(constants) });
      const said = await answer.json();
      // A later value is already on its way.
      if (mine !== this.asked) return;
      const faults = (said.faults ?? []).filter(({ severity }) => severity === "fault" || severity === "danger");
      this.why = answer.ok ? (faults[0]?.message ?? "") : said.why ?? "the workbench refused";
      if (answer.ok && said.form && faults.length === 0) this.to.apply(said.form);
    } catch {
      this.why = "the workbench does not answer";
    }
    this.to.show();
  }
}

/** A value as the rules spell it. */
export function spelled(value, unit) {
  return unit === "ms" ? `${value} ms` : String(value);
}

/** The steps of a slider: whole ticks, counted from its least value. */
function stepOf(form, { unit }) {
  return unit === "ms" ? form.tick_ms : 1;
}

/** A name as words. */
const plain = (name) => name.replaceAll("-", " ");

/** The sliders. */
export function sliders(tuning, places) {
  // As written: the form at play has the values that are tried.
  const form = tuning.to.base();
  if (!form?.sliders.length) return nothing;
  return html`<section class="tuning" aria-label="Constants of the rules"><h3>Tune it while you play</h3>
    <p class="quiet">Only whole ticks of ${form.tick_ms} ms are offered. The file stays as it is until you keep a value.</p>
    ${tuning.why ? html`<p class="refused" role="status"><b>The game stays as it was:</b> ${tuning.why}.</p>` : nothing}
    ${form.sliders.map((slider) => row(form, tuning, slider, places.find(({ name }) => name === slider.name)))}</section>`;
}

function row(form, tuning, slider, place) {
  const value = tuning.value(slider);
  const differs = value !== slider.value;
  const keep = () => tuning.to.make({ file: place.file, path: place.path, expected: place.text, new: spelled(value, slider.unit) });
  return html`<div class="slider">
    <label for="tune-${slider.name}">${plain(slider.name)}</label>
    <input type="range" id="tune-${slider.name}" min=${slider.min} max=${slider.max} step=${stepOf(form, slider)} .value=${String(value)}
      aria-valuetext=${spelled(value, slider.unit)} @input=${(event) => tuning.set(slider, Number(event.target.value))}>
    <output for="tune-${slider.name}">${spelled(value, slider.unit)}</output>
    <p class="quiet">from ${spelled(slider.min, slider.unit)} to ${spelled(slider.max, slider.unit)}; ${differs ? html`written: ${spelled(slider.value, slider.unit)}` : "as written"}${
      place ? html`, ${place.file} line ${place.line}` : nothing}</p>
    ${differs ? html`<p class="doing">${place ? html`<button type="button" class="make" @click=${keep}>Keep it</button>` : nothing}
      <button type="button" class="undo" @click=${() => tuning.set(slider, slider.value)}>As it was</button></p>` : nothing}
  </div>`;
}
