// One machine of the rules as a statechart: states as boxes, ways as arrows, both in the words of the rules. The layers are
// laid out by a library. What is present is marked by weight and by a pointer beside the box, never by colour alone.

import { html, nothing, svg } from "./vendor/lit-html.js";
import { Graph, layout } from "./vendor/dagre.js";
import { actionsOf, baseOf, causeOf, shownBy } from "./words.js";

const LINE = 17;
const FONT = '"Atkinson Hyperlegible Next", sans-serif';
/** Where words on an arrow and in a box are broken, in letters, and how many lines an arrow carries. */
const WIDE = 26;
const MOST_LINES = 4;

let pen = null;

/** How wide words are. */
function widthOf(words, bold) {
  pen ??= document.createElement("canvas").getContext("2d");
  pen.font = `${bold ? 700 : 400} 14px ${FONT}`;
  return pen.measureText(words).width;
}

/** Words in lines, cut where they are more than an arrow carries. */
export function wrapped(words, most = MOST_LINES) {
  const lines = [""];
  for (const word of words.split(" ")) {
    const last = lines.at(-1);
    if (last && last.length + word.length >= WIDE) lines.push(word);
    else lines[lines.length - 1] = last ? `${last} ${word}` : word;
  }
  if (lines.length <= most) return lines.filter(Boolean);
  return [...lines.slice(0, most - 1), `${lines[most - 1]} ...`];
}

/** Everything that happens on a way, in full. */
function wholeWords(form, m, state, way) {
  const [cause, condition] = causeOf(form, m, state, way);
  const actions = actionsOf(form, m, way.actions).join(", ");
  return [cause, condition, actions && `do ${actions}`].filter(Boolean).join(" ");
}

/** The lines on an arrow: cause, condition, and what is done. */
function linesOf(form, m, state, way) {
  const [cause, condition] = causeOf(form, m, state, way);
  const actions = actionsOf(form, m, way.actions).map((one) => `/ ${one}`);
  return [...wrapped(cause, 3), ...(condition ? wrapped(condition, 3) : []), ...wrapped(actions.join(" "), 2)];
}

/** The box of a state: its name, what it shows, and what it answers without being left. */
function boxOf(form, m, state) {
  const inside = state.transitions.filter((way) => way.go === null || way.go === undefined);
  const entry = actionsOf(form, m, state.entry);
  const exit = actionsOf(form, m, state.exit);
  const lines = [
    ...shownBy(form, state).flatMap((words) => wrapped(words)),
    ...(entry.length ? wrapped(`enter / ${entry.join(", ")}`, 3) : []), ...(exit.length ? wrapped(`leave / ${exit.join(", ")}`, 3) : []),
    ...inside.flatMap((way) => linesOf(form, m, state, way)),
  ];
  const width = Math.max(70, widthOf(state.name, true), ...lines.map((words) => widthOf(words))) + 30;
  return { name: state.name, lines, width, height: 30 + LINE * lines.length + (lines.length ? 8 : 0) };
}

const made = new WeakMap();

/** The machine laid out; remembered as long as the form is. */
export function chartOf(form, m) {
  const all = made.get(form) ?? made.set(form, new Map()).get(form);
  if (!all.has(m)) all.set(m, layOutMachine(form, m));
  return all.get(m);
}

function layOutMachine(form, m) {
  const { states } = form.machines[m];
  const graph = new Graph({ multigraph: true });
  graph.setGraph({ rankdir: "TB", nodesep: 46, ranksep: 26, edgesep: 26, marginx: 24, marginy: 10 });
  graph.setNode("begin", { width: 16, height: 16 });
  states.forEach((state, s) => graph.setNode(String(s), boxOf(form, m, state)));
  graph.setEdge("begin", "0", { width: 0, height: 0 }, "begin");
  states.forEach((state, s) => state.transitions.forEach((way, t) => {
    if (way.go === null || way.go === undefined) return;
    const lines = linesOf(form, m, state, way);
    const width = Math.max(...lines.map((words) => widthOf(words))) + 12;
    graph.setEdge(String(s), String(way.go), { lines, width, height: LINE * lines.length + 6, labelpos: "c" }, `${s}/${t}`);
  }));
  layout(graph);
  const { width, height } = graph.graph();
  return {
    width, height,
    boxes: states.map((_, s) => graph.node(String(s))),
    ways: graph.edges().map((edge) => ({ name: edge.name, ...graph.edge(edge) })),
    begin: graph.node("begin"),
  };
}

/** A line through its points, rounded at its bends. */
function through(points) {
  const [first, ...rest] = points;
  const parts = [`M${first.x} ${first.y}`];
  rest.forEach((point, k) => {
    const next = rest[k + 1];
    parts.push(next ? `Q${point.x} ${point.y} ${(point.x + next.x) / 2} ${(point.y + next.y) / 2}` : `L${point.x} ${point.y}`);
  });
  return parts.join(" ");
}

function head(points) {
  const [from, to] = points.slice(-2);
  const turn = (Math.atan2(to.y - from.y, to.x - from.x) * 180) / Math.PI;
  return svg`<path class="head" d="M0 0 L-9 -4.5 L-9 4.5 Z" transform="translate(${to.x} ${to.y}) rotate(${turn})"/>`;
}

function box(each, s) {
  const [left, top] = [each.x - each.width / 2, each.y - each.height / 2];
  return svg`<g class="state" data-state=${s}>
    <path class="pointer" d="M${left - 16} ${each.y - 8} L${left - 3} ${each.y} L${left - 16} ${each.y + 8} Z"/>
    <rect x=${left} y=${top} width=${each.width} height=${each.height} rx="10"/>
    <text class="state-name" x=${each.x} y=${top + 21}>${each.name}</text>
    ${each.lines.length ? svg`<path class="rule" d="M${left} ${top + 30} h${each.width}"/>` : nothing}
    ${each.lines.map((words, k) => svg`<text x=${left + 14} y=${top + 47 + k * LINE}>${words}</text>`)}</g>`;
}

function arrow({ name, points, lines }) {
  return svg`<g class="way" data-way=${name}><path class="line" d=${through(points)}/>${head(points)}</g>`;
}

function label({ name, x, y, width, height, lines }) {
  if (!lines) return nothing;
  return svg`<g class="way-words" data-way=${name}><rect x=${x - width / 2} y=${y - height / 2} width=${width} height=${height}/>
    ${lines.map((words, k) => svg`<text x=${x} y=${y - height / 2 + 15 + k * LINE}>${words}</text>`)}</g>`;
}

/** The chart of one machine, the choice of the machine, and its ways in full. */
export function statechart(form, m, choose) {
  const machine = form.machines[m];
  const chart = chartOf(form, m);
  const names = [...new Set(form.machines.map(({ name }) => baseOf(name)))];
  const base = baseOf(machine.name);
  const twins = form.machines.map(({ name }, k) => [name, k]).filter(([name]) => baseOf(name) === base);
  const pick = (words, k, on) => html`<button type="button" aria-pressed=${on ? "true" : "false"} @click=${() => choose(form.machines[k].name)}>${words}</button>`;
  const firstOf = (name) => {
    const side = machine.name.slice(base.length);
    const same = form.machines.findIndex((each) => each.name === name + side);
    return same >= 0 ? same : form.machines.findIndex((each) => baseOf(each.name) === name);
  };
  return html`<section class="machines" aria-label="The machines of the rules"><h3>The machines</h3>
    ${names.length > 1 ? html`<p class="choice"><span>show</span>${names.map((name) => pick(name, firstOf(name), name === base))}</p>` : nothing}
    ${twins.length > 1 ? html`<p class="choice"><span>side</span>${twins.map(([name, k]) => pick(name.slice(base.length + 1), k, k === m))}</p>` : nothing}
    <p class="now-words" data-machine-words=${m}></p>
    <div class="chart" tabindex="0" role="group" aria-label="Statechart of ${machine.name}">
      <svg width=${chart.width} height=${chart.height} viewBox="0 0 ${chart.width} ${chart.height}" data-machine=${m} role="img" aria-label="States and ways of ${machine.name}; the list below says the same in words">
        <circle class="begin" cx=${chart.begin.x} cy=${chart.begin.y} r="7"/>
        ${chart.ways.map(arrow)}${chart.boxes.map(box)}${chart.ways.map(label)}</svg></div>
    <details class="more"><summary>Every way of ${machine.name} in words</summary><ul class="ways">${machine.states.map((state) => state.transitions.map((way) =>
      html`<li><b>${state.name}</b> ${wholeWords(form, m, state, way)} ${way.go === null || way.go === undefined ? "stay" : html`go <b>${machine.states[way.go].name}</b>`}</li>`))}</ul></details>
  </section>`;
}

/** A chart larger than its window begins with the state that the machine is in; from then on it stays where it is put. */
function showNow(drawn, name) {
  if (drawn.dataset.shown === name) return;
  drawn.dataset.shown = name;
  const chart = drawn.closest(".chart");
  const [box, around] = [drawn.querySelector(".now rect"), chart].map((each) => each.getBoundingClientRect());
  chart.scrollLeft += box.left - around.left - (around.width - box.width) / 2;
  chart.scrollTop += box.top - around.top - (around.height - box.height) / 2;
}

/** Marks where the machine is and which way it took last. Nothing is touched that is right already. */
export function mark(root, game) {
  const drawn = root.querySelector("svg[data-machine]");
  if (!drawn || !game) return;
  const m = Number(drawn.dataset.machine);
  const being = game.situation.machines[m];
  const machine = game.form.machines[m];
  if (!being || !machine) return;
  const way = game.ways[m];
  const key = `${being.state} ${way ?? ""} ${machine.name}`;
  if (drawn.dataset.marked === key && drawn.querySelector(".now")) return;
  drawn.dataset.marked = key;
  for (const each of drawn.querySelectorAll(".state")) each.classList.toggle("now", each.dataset.state === String(being.state));
  for (const each of drawn.querySelectorAll("[data-way]")) each.classList.toggle("taken", each.dataset.way === way);
  showNow(drawn, machine.name);
  const words = root.querySelector(`[data-machine-words="${m}"]`);
  if (!words) return;
  const [from, k] = (way ?? "").split("/").map(Number);
  const state = machine.states[from];
  const took = way ? `; it came by: ${state.name} ${wholeWords(game.form, m, state, state.transitions[k])}` : "";
  words.textContent = `${machine.name} is ${machine.states[being.state].name}${took}.`;
}
