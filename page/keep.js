// Settings, which are made before play, and kept numbers, which outlast it. Both stay in this browser, under the display's
// title and the address of this run of the workbench; nothing of them is written into the display's folder.

import { html, nothing } from "./vendor/lit-html.js";

const keyOf = (title, what) => `lampwright ${what}: ${title}`;

/** What is stored, by name. Storage may be forbidden, or hold what another version wrote. */
export function stored(title, what) {
  try {
    const all = JSON.parse(localStorage.getItem(keyOf(title, what)) ?? "{}");
    return all && typeof all === "object" ? all : {};
  } catch {
    return {};
  }
}

/** Stores values by name; nothing forgets them. */
export function store(title, what, values) {
  try {
    if (values === null) localStorage.removeItem(keyOf(title, what));
    else localStorage.setItem(keyOf(title, what), JSON.stringify(values));
  } catch {
    // Then they last as long as the page does.
  }
}

/** The names of the kept numbers, in the order of their values. */
export function keptNames(form) {
  return form.machines.flatMap((machine) => machine.numbers.filter((number) => number.kept).map((number) => `${machine.name}.${number.name}`));
}

/** What tick 0 starts from, from what is stored. */
export function startOf(form, title) {
  const [kept, settings] = [stored(title, "kept"), stored(title, "settings")];
  const whole = (value) => (Number.isInteger(value) ? value : null);
  return { kept: keptNames(form).map((name) => whole(kept[name])), settings: form.settings.map(({ name }) => whole(settings[name])) };
}

/** The settings and the kept numbers. `to` sets one and begins anew, or forgets. */
export function keeping(form, title, to) {
  const names = keptNames(form);
  if (names.length === 0 && form.settings.length === 0) return nothing;
  const now = stored(title, "settings");
  return html`<section class="keeping" aria-label="Settings and kept numbers">
    ${form.settings.length ? html`<h3>Set before play</h3>${form.settings.map(({ name, min, max, start }) => html`<p class="setting">
      <label for="set-${name}">${name.replaceAll("-", " ")}</label>
      <input type="number" id="set-${name}" min=${min} max=${max} step="1" .value=${String(now[name] ?? start)}
        @change=${(event) => to.set(name, Math.min(Math.max(Math.round(Number(event.target.value)) || 0, min), max))}>
      <span class="quiet">${min} to ${max}, usually ${start}; a change begins the game anew</span></p>`)}` : nothing}
    ${names.length ? html`<h3>Kept for the next time</h3><dl class="facts">${names.map((name, k) => html`<div><dt>${name.replaceAll(".", " ")}</dt>
      <dd data-kept=${k}></dd></div>`)}</dl>
      <p class="doing"><button type="button" class="undo" @click=${to.forget}>Forget them and begin anew</button>
      <span class="quiet">Kept in this browser, for this run of the workbench.</span></p>` : nothing}
  </section>`;
}

/** Tells the kept numbers and stores them when they change. */
export function tellKept(root, game, title) {
  if (game.replay) return;
  const { keeps } = game;
  keeps.forEach((value, k) => {
    const told = root.querySelector(`[data-kept="${k}"]`);
    if (told && told.textContent !== String(value)) told.textContent = String(value);
  });
  const key = keeps.join(" ");
  if (game.told === key) return;
  const first = game.told === undefined;
  game.told = key;
  if (first) return;
  const names = keptNames(game.form);
  store(title, "kept", Object.fromEntries(names.map((name, k) => [name, keeps[k]])));
}
