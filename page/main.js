// The page: reads plan, form and faults, keeps the chosen stop in the address, and lets the game run in the yard.

import { html, nothing, render } from "./vendor/lit-html.js";
import { fromLeft, keysOf, listenForPlay } from "./controls.js";
import { Edits } from "./edit.js";
import { faults } from "./faults.js";
import { mark } from "./chart.js";
import { Game, keyName } from "./game.js";
import { startOf, store, stored, tellKept } from "./keep.js";
import { saidOn } from "./lit.js";
import { listenForOrigins, tidyTabs } from "./origin.js";
import { path } from "./path.js";
import { layOut } from "./layout.js";
import { tellTime } from "./pace.js";
import { playable, tellMoment } from "./replay.js";
import { Rehearsing } from "./rehearsal.js";
import { rules } from "./rules.js";
import { saidOf, scaleOf, sightOf, SIGHTS } from "./sight.js";
import { pathNamed, pathOf } from "./signal.js";
import { Sounds } from "./sounds.js";
import { stop } from "./stop.js";
import { Tuning } from "./tune.js";
import { Yard } from "./yard.js";

const canvas = /** @type {HTMLCanvasElement} */ (document.getElementById("yard"));
const words = document.getElementById("yard-words");
const workshop = document.getElementById("workshop");
const yard = new Yard(canvas);
const still = window.matchMedia("(prefers-reduced-motion: reduce)");
const coarse = window.matchMedia("(pointer: coarse)");
const edits = new Edits(() => show());

/** What is shown. The plan stays when a description breaks. */
const state = { plan: null, form: null, faults: [], layout: null, game: null, away: false, look: [0, 0], placed: null, fonts: 0, stone: "",
  beside: {}, base: null, machine: "", replay: null, refused: "" };
const sounds = new Sounds();
const tuning = new Tuning({
  base: () => state.base, show: () => show(), make: (change) => edits.make(change), apply: (form) => playForm(form, true),
});

const rehearsing = new Rehearsing({ show: () => show(), constants: () => tuning.constants() });

/** Plays these rules: the game goes on where only constants differ, and begins anew otherwise. */
function playForm(form, goOn) {
  if (JSON.stringify(form) === JSON.stringify(state.form)) return;
  state.form = form;
  if (goOn && state.game && !state.replay && state.game.playOn(form)) return;
  state.replay = null;
  beginAnew();
}

/** From tick 0, as fast or slow as before. */
function beginAnew() {
  const { game, form, plan, replay } = state;
  const { trace } = replay ?? {};
  state.game = trace ? new Game(trace.form ?? form, { kept: trace.kept, settings: trace.settings }, trace.ticks)
    : new Game(form, startOf(form, plan?.title ?? ""));
  if (game) Object.assign(state.game, { pace: game.pace, held: trace ? false : game.held });
  if (!trace) tellKept(workshop, state.game, plan?.title ?? "");
}

/** What can be done at the rules. */
const atRules = {
  show: () => show(),
  machine: (name) => {
    state.machine = name;
    show();
  },
  set: (name, value) => {
    store(state.plan.title, "settings", { ...stored(state.plan.title, "settings"), [name]: value });
    atRules.again();
  },
  forget: () => {
    store(state.plan.title, "kept", null);
    atRules.again();
  },
  open: (name, trace, words = "") => {
    state.refused = "";
    if (!playable(state.form, trace)) state.refused = `${name} is no play that these rules could be given`;
    else if (trace.form && !sameNames(trace.form, state.form)) state.refused = `${name} was played with the rules of another display`;
    else {
      state.replay = { name, trace, words: words && `${words}.` };
      beginAnew();
    }
    show();
    if (state.replay) workshop.querySelector(".replay")?.scrollIntoView({ block: "nearest" });
  },
  step: (ticks) => {
    state.game.held = true;
    state.game.go(ticks);
    show();
  },
  again: () => {
    beginAnew();
    show();
  },
  leave: () => {
    state.replay = null;
    beginAnew();
    show();
  },
};

/** Whether two forms play on the same buttons and lamps. */
function sameNames(a, b) {
  const names = ({ buttons, figures, spots, digits }) => JSON.stringify([buttons, figures, spots, digits]);
  return names(a) === names(b);
}

/** The rules at their stop. */
function rulesHere(at) {
  if (at.name !== "idea" || !state.game) return nothing;
  const { game, plan, beside, replay, refused } = state;
  const form = replay ? game.form : state.form;
  const machine = Math.max(form.machines.findIndex(({ name }) => name === state.machine), 0);
  return rules({ form, game, title: plan.title, beside, tuning, rehearsing, sounds, replay, machine, refused, to: atRules });
}

/** A part of the address as written; what cannot be decoded stays as it is. */
function decoded(part) {
  try {
    return decodeURIComponent(part);
  } catch {
    return part;
  }
}

/** The address after `#`: stop, sight, strand and light, kept over reloads. */
function chosen() {
  const [name, sight, strand, light] = location.hash.slice(1).split("~").map(decoded);
  const stops = state.plan?.stops ?? [];
  const at = Math.max(stops.findIndex((each) => each.name === name), 0);
  const strands = (state.plan?.panels ?? []).flatMap((panel) => panel.strands.map((run) => run.label));
  return {
    at, name: stops[at]?.name ?? "", sight: sightOf(sight), strand: strands.includes(strand) ? strand : strands[0] ?? "",
    light: state.plan && light ? pathNamed(state.plan, light)?.light ?? "" : "",
  };
}

/** What follows `#` after a change. */
function hashWith(change) {
  const { name, sight, strand, light } = { ...chosen(), ...change };
  return `#${[name, sight.key, strand, light].map(encodeURIComponent).join("~")}`;
}

/** The address after a change. It names the page too: a bare `#` is what links to a place in this page look like. */
function address(change) {
  return `./${location.pathname.split("/").at(-1)}${hashWith(change)}`;
}

/** What stands on a button: its key, or that it is touched. */
function buttonWords() {
  const keys = keysOf(state.layout.buttons);
  return state.layout.buttons.map((_, b) => (coarse.matches || !keys[b] ? "touch" : keyName(keys[b])));
}

/** Draws the yard as it is seen now. */
function placeYard(at) {
  const { plan, layout } = state;
  const key = [at.sight.key, at.light, state.look, canvas.clientWidth, canvas.clientHeight, window.devicePixelRatio, state.fonts].join(" ");
  // Drawing everything that stays costs more than a frame; it is done when something of it changed.
  if (state.placed?.key === key && state.placed.plan === plan) return yard.view;
  state.placed = { key, plan };
  const signal = pathNamed(plan, at.light);
  const named = signal && layout.lights.some((light) => light.channel === signal.channel && light.light === signal.light);
  return yard.place(plan, layout, seenFrom(at.sight), buttonWords(), signal && { channel: signal.channel, light: named ? signal.light : null });
}

/** From where, and at what. A child stands at the first button and looks the first figure in the face. */
function seenFrom(sight) {
  const { plan, layout } = state;
  const first = layout.panels[0];
  const child = sight.key === "child" && first;
  const button = layout.buttons[fromLeft(layout.buttons)[0]];
  return {
    scale: scaleOf(sight, plan), away: sight.away(plan), eye: sight.eye, look: state.look,
    from: child && button ? button.x : null,
    aim: child ? [first.x + first.panel.width_mm / 2, first.y + 0.76 * first.panel.height_mm] : null,
  };
}

/** Words that turn the head, where the yard is larger than the window. */
function looking(view) {
  if (!view.larger) return nothing;
  const turn = (across, up) => () => {
    const within = (value) => Math.min(Math.max(value, -12), 12);
    state.look = [within(state.look[0] + across), within(state.look[1] + up)];
    show();
  };
  const words = [["left", -1, 0], ["right", 1, 0], ["up", 0, 1], ["down", 0, -1]];
  return html`<p class="looking"><span>look</span>${words.map(([word, across, up]) =>
    html`<button type="button" @click=${turn(across, up)}>${word}</button>`)}</p>`;
}

function showYard(at) {
  const { plan } = state;
  const view = placeYard(at);
  document.title = `${plan.title} - Lampwright`;
  canvas.parentElement.dataset.sight = at.sight.key;
  canvas.dataset.sight = at.sight.key;
  render(html`
    <nav class="seen" aria-label="Seen as"><span>seen as</span>
      ${SIGHTS.map((sight) => html`<a href=${address({ sight })} aria-current=${sight === at.sight ? "true" : nothing}>${sight.words}</a>`)}
    </nav>
    <div class="titled"><h1>${plan.title}</h1><p id="count"></p><p id="heard"></p></div><p class=${at.sight.key === "close" ? "said fits" : "said"}>${saidOf(at.sight, plan)}</p>
    ${looking(view)}`, words);
}

function show() {
  const { plan } = state;
  const at = chosen();
  if (plan) showYard(at);
  render(html`
    ${state.away ? html`<p class="away" role="status">The workbench does not answer; this is what it last showed.</p>` : nothing}
    ${faults(state.faults, Boolean(plan))}
    ${edits.note()}
    ${plan ? html`<div class="bench">${path(plan, at.name, (name) => address({ name }))}
      ${plan.stops[at.at] ? stop({
        plan, form: state.form, stop: plan.stops[at.at], number: at.at + 1, strand: at.strand,
        rules: rulesHere(at), href: (strand) => address({ strand }), play: playing(), make: (change) => edits.make(change),
        signal: { chosen: pathNamed(plan, at.light), choose: (light) => { location.hash = hashWith({ light }); }, closing: address({ light: "" }) },
      }) : nothing}</div>`
    : state.faults.length ? nothing : html`<p class="waiting">There is no plan yet. Save a description that can be read, and it appears here.</p>`}`, workshop);
  tidyTabs(workshop);
  showStone(at.name);
}

/** On a small screen the line of stones is longer than the screen: the chosen one is brought to the middle. */
function showStone(name) {
  const line = workshop.querySelector(".path");
  const stone = line?.querySelector("[aria-current]");
  if (!stone || state.stone === name || line.scrollWidth <= line.clientWidth) return;
  state.stone = name;
  line.scrollLeft += stone.getBoundingClientRect().left - line.getBoundingClientRect().left - (line.clientWidth - stone.clientWidth) / 2;
}

/** The buttons of the page that press the game's. */
function playing() {
  const { game, form, layout } = state;
  if (!game || form.buttons.length === 0) return null;
  return {
    names: form.buttons, keys: coarse.matches ? null : keysOf(layout.buttons), order: fromLeft(layout.buttons),
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
  const [plan, form, wrong, beside] = await Promise.all(["./plan.json", "./form.json", "./faults.json", "./beside.json"].map(read));
  // A later change is already on its way; what it brings must not be overwritten by this.
  if (mine !== loads) return;
  state.faults = wrong ?? [];
  state.beside = beside ?? {};
  // A rehearsal begun before this page was opened, too, is shown.
  if (loads === 1) rehearsing.look();
  // Broken rules would be played with holes in them: the yard keeps the last game that was whole.
  const broken = state.faults.some((fault) => fault.file?.endsWith(".rules") && ["fault", "danger"].includes(fault.severity));
  if (broken && state.plan && state.form) {
    show();
    return;
  }
  if (plan) {
    state.plan = plan;
    state.layout = layOut(plan);
  }
  if (form && JSON.stringify(form) !== JSON.stringify(state.base)) {
    state.base = form;
    tuning.settle(form.sliders);
    if (tuning.tried.size > 0) await tuning.read();
    else playForm(form, false);
  }
  show();
}

/** The frame to draw; without rules each figure shows its first pose. */
function frameNow() {
  if (state.game) return state.game.frame;
  const { plan } = state;
  return { poses: plan.panels.map((panel) => (panel.poses.length ? 0 : null)), spots: [], digits: [], sounds: [] };
}

/** What the canvas shows, so that nothing is drawn twice. */
const drawn = { look: "", view: null, plan: null, at: 0 };

/** The numbers in words too: on a small screen the digits are small. */
function tellDigits(frame) {
  const digits = state.form?.digits ?? [];
  const said = digits.map(({ count }, d) => saidOn(frame, d, count));
  if (canvas.dataset.digits === said.join(" ")) return;
  canvas.dataset.digits = said.join(" ");
  const count = document.getElementById("count");
  if (count) count.textContent = digits.map(({ name }, d) => (said[d] ? `${name.replaceAll(/[-_]/g, " ")} ${said[d]}` : "")).filter(Boolean).join(", ");
}

/** What goes with every tick beside the yard. */
function tellRules(game, now) {
  tellTime(workshop, game);
  tellKept(workshop, game, state.plan.title);
  tellMoment(workshop, game);
  mark(workshop, game);
  sounds.take(game, now, document);
}

function picture(now) {
  requestAnimationFrame(picture);
  const { plan, layout, game, form } = state;
  if (!plan || !layout || !yard.view) return;
  game?.advance(now);
  const frame = frameNow();
  const shown = (form?.figures ?? []).map((figure, f) => (frame.poses[f] === null ? "dark" : figure.poses[frame.poses[f]])).join(" ");
  if (canvas.dataset.pose !== shown) {
    canvas.dataset.pose = shown;
    canvas.setAttribute("aria-label", `The yard at night: ${(form?.figures ?? []).map((figure) => figure.name).join(", ")} ${shown}`);
  }
  canvas.dataset.tick = String(game?.ticks ?? 0);
  if (game) tellRules(game, now);
  tellDigits(frame);
  // Drawn at once when something changes; breathing alone needs no more than 20 pictures a second, and less battery.
  const downs = (form?.buttons ?? []).map((_, b) => game?.isDown(b));
  const look = JSON.stringify([frame, downs]);
  const changed = look !== drawn.look || yard.view !== drawn.view || plan !== drawn.plan;
  if (!changed && (still.matches || now - drawn.at < 50)) return;
  Object.assign(drawn, { look, view: yard.view, plan, at: now });
  const breath = still.matches ? 0.95 : 0.95 + 0.05 * Math.sin(now / 900);
  yard.draw(frame, breath, (b) => game?.isDown(b) ?? false);
  canvas.dataset.pictures = String(yard.work.pictures);
  canvas.dataset.pixels = String(yard.work.pixels);
  canvas.dataset.drawn = String(Number(canvas.dataset.drawn ?? 0) + 1);
}

function listen() {
  listenForPlay({
    canvas, yard, game: () => state.game, buttons: () => state.layout?.buttons ?? [],
    ask: (light) => {
      const signal = pathOf(state.plan, light);
      if (signal) location.hash = hashWith({ light: signal.light });
    },
  });
  listenForOrigins(workshop, document.getElementById("origin"));
  let sight = "";
  window.addEventListener("hashchange", () => {
    // Whoever else looks, looks straight ahead first.
    const now = chosen().sight.key;
    if (now !== sight) state.look = [0, 0];
    sight = now;
    show();
  });
  new ResizeObserver(show).observe(canvas);
  // Words on a canvas do not change their letters by themselves when the font comes.
  document.fonts.ready.then(() => {
    state.fonts += 1;
    show();
  });
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
