// Ways, conditions and actions of the machine form, told in the words of the rules.

/** How tightly an operation binds; what binds less tightly than its surroundings stands in brackets. */
const BINDS = { or: 1, and: 2, eq: 4, ne: 4, lt: 4, le: 4, gt: 4, ge: 4, add: 5, sub: 5, mul: 6, div: 6, rem: 6 };
const SIGNS = { or: "or", and: "and", eq: "=", ne: "!=", lt: "<", le: "<=", gt: ">", ge: ">=", add: "+", sub: "-", mul: "*", div: "/", rem: "%" };

/** The machine's name before its side. */
export function baseOf(name) {
  return name.split(".")[0];
}

/** So many ticks as a time. */
export function timeOf(form, ticks) {
  const ms = ticks * form.tick_ms;
  return ms >= 1000 && ms % 100 === 0 ? `${ms / 1000} s` : `${ms} ms`;
}

/** A moment of play, with its thousandths. */
export function moment(form, ticks) {
  return `${((ticks * form.tick_ms) / 1000).toFixed(ticks * form.tick_ms % 10 ? 3 : 2)} s`;
}

/**
 * An expression.
 * @param {any} form
 * @param {number} m the machine whose expression it is: what is its own has no machine in front
 * @param {any} expr
 * @param {number} [around] how tightly the surroundings bind
 */
export function said(form, m, expr, around = 0) {
  const machine = form.machines[expr.m];
  const own = (name) => (expr.m === m ? name : `${machine.name}.${name}`);
  switch (expr.op) {
    case "const": return String(expr.v);
    case "number": return own(machine.numbers[expr.i].name);
    case "in": return `${machine.name} is ${machine.states[expr.s].name}`;
    case "running": return `timer ${own(machine.timers[expr.i].name)} running`;
    case "due": return `timer ${own(machine.timers[expr.i].name)} due`;
    case "held": return `held ${form.buttons[expr.b]}`;
    case "pressed": return `pressed ${form.buttons[expr.b]}`;
    case "setting": return form.settings[expr.i].name;
    case "left": return `left of ${own(machine.timers[expr.i].name)}`;
    case "spot": return "spot";
    case "pick": return `pick ${expr.lo}..${expr.hi}`;
    case "draw": return `draw ${expr.lo}..${expr.hi}`;
    case "neg": return `-${said(form, m, expr.a, 7)}`;
    case "not":
      return expr.a.op === "in" ? said(form, m, expr.a).replace(" is ", " is not ") : `not ${said(form, m, expr.a, 3)}`;
    case "two": return two(form, m, expr, around);
    default: return expr.op;
  }
}

function two(form, m, { f, a, b }, around) {
  if (f === "min" || f === "max") return `${f}(${said(form, m, a)}, ${said(form, m, b)})`;
  const binds = BINDS[f];
  const words = `${said(form, m, a, binds)} ${SIGNS[f]} ${said(form, m, b, binds + 1)}`;
  return binds < around ? `(${words})` : words;
}

/** What makes a way go: the cause, and the condition besides. */
export function causeOf(form, m, state, { trigger, condition }) {
  const given = condition ? said(form, m, condition) : "";
  const cause = () => {
    switch (trigger.on) {
      case "press": return `on press ${form.buttons[trigger.button]}`;
      case "message": return `on message ${[...new Set(trigger.any.map((k) => form.messages[k].name))].join(", ")}`;
      case "timer": {
        const dwell = state.dwells.find(({ timer }) => timer === trigger.timer);
        return dwell ? `after ${timeOf(form, dwell.ticks)}` : `on timer ${form.machines[m].timers[trigger.timer].name}`;
      }
      default: return "";
    }
  };
  const words = cause();
  if (!words) return [`when ${given || "always"}`, ""];
  return [words, given && `if ${given}`];
}

/** What is done, in short. */
export function actionsOf(form, m, actions) {
  const machine = form.machines[m];
  return actions.map((action) => {
    switch (action.do) {
      case "set": return `${machine.numbers[action.number].name} = ${said(form, m, action.to)}`;
      case "start": return `start ${machine.timers[action.timer].name} for ${ticksSaid(form, m, action.ticks)}`;
      case "stop": return `stop ${machine.timers[action.timer].name}`;
      case "send": return `send ${form.messages[action.message].name}`;
      case "press": return `press ${form.buttons[action.button]}`;
      case "play": return `play ${form.sounds[action.sound]}`;
      default: return action.do;
    }
  });
}

/** How long a timer is started for. */
function ticksSaid(form, m, expr) {
  if (expr.op === "const") return timeOf(form, expr.v);
  if (expr.op === "pick") return `pick ${timeOf(form, expr.lo)}..${timeOf(form, expr.hi)}`;
  return said(form, m, expr);
}

/** What a state shows. */
export function shownBy(form, { pose, lights }) {
  const first = pose ? [`shows ${form.figures[pose.figure].poses[pose.pose]}`] : [];
  const spots = [...new Set(lights.map(({ first: at, count }) => (count > 1 ? form.spots[at].replace(/\.\d+$/, "") : form.spots[at])))];
  return spots.length ? [...first, `lights ${spots.join(", ")}`] : first;
}

/** A claim as a sentence. */
export function claimSaid(form, { claim }) {
  if (claim.says !== "leads") return `${claim.says} ${said(form, -1, claim.what)}`;
  const cause = claim.cause.on === "press" ? `press ${form.buttons[claim.cause.button]}`
    : claim.cause.on === "message" ? `message ${form.messages[claim.cause.any[0]].name}` : "";
  const given = claim.given ? said(form, -1, claim.given) : "";
  return `${[cause, given].filter(Boolean).join(" and ")} leads to ${said(form, -1, claim.to)} within ${timeOf(form, claim.ticks)}`;
}
