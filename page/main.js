// The page: reads plan, form and faults, keeps the chosen stop in the address, and lets the game run in the yard.

import { html, nothing, render } from "./vendor/lit-html.js";
import { faults } from "./faults.js";
import { Game, keysFor } from "./game.js";
import { path } from "./path.js";
import { saidOf, scaleOf, sightOf, SIGHTS } from "./sight.js";
import { stop } from "./stop.js";
import { length } from "./units.js";
import { layOut, Yard } from "./yard.js";

const canvas = /** @type {HTMLCanvasElement} */ (document.getElementById("yard"));
const words = document.getElementById("yard-words");
const workshop = document.getElementById("workshop");
const yard = new Yard(canvas);
const still = window.matchMedia("(prefers-reduced-motion: reduce)");

/** What is shown. The plan stays when a description breaks. */
const state = { plan: null, form: null, faults: [], scene: null, game: null, away: false };

/** A part of the address as written; what cannot be decoded stays as it is. */
function decoded(part) {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

/** The address after `#`: stop, sight and strand, kept over reloads. */
function chosen() {
  const [name, sight, strand] = location.hash.slice(1).split("~").map(decoded);
  const stops = state.plan?.stops ?? [];
  const at = Math.max(stops.findIndex((each) => each.name === name), 0);
  const strands = (state.plan?.panels ?? []).flatMap((panel) => panel.strands.map((run) => run.label));
  return {
    at, name: stops[at]?.name ?? "", sight: sightOf(sight), strand: strands.includes(strand) ? strand : strands[0] ?? "",
  };
}

function address(change) {
  const { name, sight, strand } = { ...chosen(), ...change };
  return `#${[name, sight.key, strand].map(encodeURIComponent).join("~")}`;
}

function show() {
  const { plan } = state;
  const at = chosen();
  if (plan) {
    const view = yard.place(state.scene, scaleOf(at.sight, plan));
    document.title = `${plan.title} - Lampwright`;
    canvas.dataset.sight = at.sight.key;
    render(html`
      <nav class="seen" aria-label="Seen as"><span>seen as</span>
        ${SIGHTS.map((sight) => html`<a href=${address({ sight })} aria-current=${sight === at.sight ? "true" : nothing}>${sight.words}</a>`)}
      </nav>
      <h1>${plan.title}</h1><p class=${at.sight.key === "close" ? "said fits" : "said"}>${saidOf(at.sight, plan, view.larger)}</p>`, words);
  }
  render(html`
    ${state.away ? html`<p class="away" role="status">The workbench does not answer; this is what it last showed.</p>` : nothing}
    ${faults(state.faults, Boolean(plan))}
    ${plan ? html`<div class="bench">${path(plan, at.name, (name) => address({ name }))}
      ${plan.stops[at.at] ? stop({
        plan, stop: plan.stops[at.at], number: at.at + 1, strand: at.strand,
        href: (strand) => address({ strand }), play: playing(),
      }) : nothing}</div>`
    : state.faults.length ? nothing : html`<p class="waiting">There is no plan yet. Save a description that can be read, and it appears here.</p>`}`, workshop);
}

/** The buttons of the page that press the game's. */
function playing() {
  const { game, form } = state;
  if (!game || form.buttons.length === 0) return null;
  return {
    names: form.buttons,
    down: (b, event) => game.down(b, `pointer ${event.pointerId}`),
    // A click without a pointer comes from a key or a switch; it is a tap.
    click: (b, event) => {
      if (event.detail !== 0) return;
      game.down(b, "tap");
      game.up("tap");
    },
  };
}

let loads = 0;

/** Swaps in what the server shows now; the game goes on unless its rules changed. */
async function load() {
  const read = async (name) => {
    const answer = await fetch(name, { cache: "no-store" });
    if (!answer.ok) throw new Error(`${name}: ${answer.status}`);
    return answer.json();
  };
  loads += 1;
  const mine = loads;
  const [plan, form, wrong] = await Promise.all(["./plan.json", "./form.json", "./faults.json"].map(read));
  // A later change is already on its way; what it brings must not be overwritten by this.
  if (mine !== loads) return;
  state.faults = wrong ?? [];
  if (plan) {
    state.plan = plan;
    state.scene = layOut(plan);
    for (const at of state.scene.panels) {
      at.said = { width: length(at.panel.width_mm, plan.units), height: length(at.panel.height_mm, plan.units) };
    }
  }
  if (form && JSON.stringify(form) !== JSON.stringify(state.form)) {
    state.form = form;
    state.game = new Game(form);
  }
  show();
}

/** The frame to draw; without rules each figure shows its first pose. */
function frameNow() {
  if (state.game) return state.game.frame;
  const { plan } = state;
  return { poses: plan.panels.map((panel) => (panel.poses.length ? 0 : null)), spots: [], digits: [] };
}

/** What the canvas shows, so that nothing is drawn twice. */
const drawn = { look: "", view: null, plan: null, at: 0 };

function picture(now) {
  requestAnimationFrame(picture);
  const { plan, scene, game, form } = state;
  if (!plan || !scene) return;
  game?.advance(now);
  const frame = frameNow();
  const shown = (form?.figures ?? []).map((figure, f) => (frame.poses[f] === null ? "dark" : figure.poses[frame.poses[f]])).join(" ");
  if (canvas.dataset.pose !== shown) {
    canvas.dataset.pose = shown;
    canvas.setAttribute("aria-label", `The yard at night: ${(form?.figures ?? []).map((figure) => figure.name).join(", ")} ${shown}`);
  }
  canvas.dataset.tick = String(game?.ticks ?? 0);
  // Drawn at once when something changes; breathing alone needs no more than 20 pictures a second, and less battery.
  const downs = (form?.buttons ?? []).map((_, b) => game?.isDown(b));
  const look = JSON.stringify([frame, downs]);
  const changed = look !== drawn.look || yard.view !== drawn.view || plan !== drawn.plan;
  if (!changed && (still.matches || now - drawn.at < 50)) return;
  Object.assign(drawn, { look, view: yard.view, plan, at: now });
  const breath = still.matches ? 0.95 : 0.95 + 0.05 * Math.sin(now / 900);
  yard.draw(plan, scene, frame, breath, (b) => game?.isDown(b) ?? false);
}

/** Whether a key is meant for what has the focus, and not for the game. */
function isSpokenFor(event) {
  return event.ctrlKey || event.metaKey || event.altKey || event.target.closest?.("button, summary, input, textarea, select");
}

function listen() {
  const buttonOf = (event) => keysFor(state.form?.buttons.length ?? 0).indexOf(event.key.toLowerCase());
  window.addEventListener("keydown", (event) => {
    if (isSpokenFor(event) || buttonOf(event) < 0) return;
    event.preventDefault();
    state.game?.down(buttonOf(event), `key ${event.code}`);
  });
  window.addEventListener("keyup", (event) => state.game?.up(`key ${event.code}`));
  canvas.addEventListener("pointerdown", (event) => {
    if (!state.scene || event.button !== 0) return;
    const b = yard.nearest(state.scene, event.clientX - canvas.getBoundingClientRect().left);
    state.game?.down(b, `pointer ${event.pointerId}`);
  });
  for (const gone of ["pointerup", "pointercancel"]) {
    window.addEventListener(gone, (event) => state.game?.up(`pointer ${event.pointerId}`));
  }
  window.addEventListener("blur", () => state.game?.release());
  window.addEventListener("hashchange", show);
  new ResizeObserver(show).observe(canvas);
  // Words on a canvas do not change their letters by themselves when the font comes.
  document.fonts.ready.then(show);
  const changes = new EventSource("./changes");
  changes.addEventListener("message", () => {
    state.away = false;
    load().catch(lost);
  });
  changes.addEventListener("error", lost);
}

function lost() {
  state.away = true;
  show();
}

workshop.replaceChildren();
listen();
load().catch(lost);
requestAnimationFrame(picture);
