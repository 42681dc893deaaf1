// Where a value came from: a number of a table is pointed at, and a slip beside it says so.

import { html } from "./vendor/lit-html.js";

/** A path of keys and positions as it is written: `panel.west.at[1]`. */
export function keyPath(steps) {
  return steps.map((step, k) => (typeof step === "number" ? `[${step}]` : k === 0 ? step : `.${step}`)).join("");
}

/** Where a value came from, in a few words. */
export function originWords(origin) {
  if (origin.written) return `${origin.written.file}, ${keyPath(origin.written.path)}`;
  if (origin.default !== undefined) return `default: ${origin.default}`;
  if (origin.catalogue) return `${origin.catalogue.part}, ${origin.catalogue.field}`;
  if (origin.worked) return `worked out: ${origin.worked.formula}`;
  return "";
}

/** The same as a sentence. */
export function originSentence(origin) {
  if (origin.written) return `You wrote it: ${originWords(origin)}.`;
  if (origin.default !== undefined) return `Nobody wrote it. Default: ${origin.default}.`;
  if (origin.catalogue) return `It stands in the catalogue or on your shelf: ${originWords(origin)}.`;
  if (!origin.worked) return "";
  const { formula, inputs } = origin.worked;
  return `Worked out: ${formula}${inputs.length ? `, from ${inputs.join(", ")}` : ""}.`;
}

/** The origin of the value at a JSON pointer into the plan: its own, or that of the nearest place above it. */
export function originOf(plan, pointer) {
  const origins = plan.origins ?? {};
  for (let at = pointer; ; at = at.slice(0, at.lastIndexOf("/"))) {
    if (Object.hasOwn(origins, at)) return origins[at];
    if (!at.includes("/")) return null;
  }
}

/** A value that can be asked where it came from. */
export function known(plan, pointer, shown) {
  const origin = originOf(plan, pointer);
  if (!origin) return shown;
  return html`<button type="button" class="known" data-origin=${originSentence(origin)} data-at=${pointer}>${shown}</button>`;
}

/** Lets values under `root` be asked by pointing, by touch and by keyboard; a table is one stop of the tab key. */
export function listenForOrigins(root, slip) {
  const tell = (target) => {
    const value = target.closest?.(".known");
    if (!value) return;
    slip.textContent = value.dataset.origin;
    slip.hidden = false;
    const [box, own] = [value.getBoundingClientRect(), slip.getBoundingClientRect()];
    slip.style.left = `${Math.max(Math.min(box.left, document.documentElement.clientWidth - own.width - 10), 10)}px`;
    slip.style.top = `${box.bottom + own.height + 14 > window.innerHeight ? box.top - own.height - 6 : box.bottom + 6}px`;
  };
  const hide = () => { slip.hidden = true; };
  root.addEventListener("pointerover", (event) => tell(event.target));
  root.addEventListener("focusin", (event) => tell(event.target));
  root.addEventListener("click", (event) => tell(event.target));
  root.addEventListener("pointerout", (event) => { if (event.target.closest?.(".known") && event.target !== document.activeElement) hide(); });
  root.addEventListener("focusout", hide);
  window.addEventListener("scroll", hide, { passive: true });
  root.addEventListener("keydown", (event) => {
    if (event.key === "Escape") hide();
    const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
    const table = event.target.closest?.(".known") && event.target.closest(".askable");
    if (!step || !table) return;
    event.preventDefault();
    const all = [...table.querySelectorAll(".known")];
    const next = all[all.indexOf(event.target) + step];
    if (!next) return;
    event.target.tabIndex = -1;
    next.tabIndex = 0;
    next.focus();
  });
}

/** One stop of the tab key for each table, after everything was drawn anew. */
export function tidyTabs(root) {
  for (const table of root.querySelectorAll(".askable")) {
    const all = [...table.querySelectorAll(".known")];
    const held = all.find((each) => each === document.activeElement) ?? all[0];
    for (const each of all) each.tabIndex = each === held ? 0 : -1;
  }
  // What runs over the edge must be movable by keyboard too.
  for (const wide of root.querySelectorAll(".table, .scroll")) {
    const over = wide.scrollWidth > wide.clientWidth && !wide.querySelector("button, a");
    if (over) wide.tabIndex = 0;
    else wide.removeAttribute("tabindex");
  }
}
