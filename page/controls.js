// Keys, fingers and the mouse: what presses a button of the yard, and what asks a lamp for its way back.
//
// While somebody plays, every touch is a press: a child's hand is not exact, and a slip of paper must not open in a game.

import { keysFor } from "./game.js";

/** So long after a press the yard belongs to the game, in milliseconds. */
const PLAYING_MS = 4000;
/** How near a lamp must be pointed at, in pixels, by what kind of pointer. */
const NEAR = { mouse: 9, pen: 10, touch: 16 };

/** The buttons of the yard from left to right, by position: the left key is for the left hand. */
export function fromLeft(buttons) {
  return buttons.map((_, b) => b).sort((a, b) => buttons[a].x - buttons[b].x || a - b);
}

/** The key of each button, by the button's position. */
export function keysOf(buttons) {
  const keys = keysFor(buttons.length);
  const all = [];
  fromLeft(buttons).forEach((b, k) => { all[b] = keys[k] ?? ""; });
  return all;
}

/** Whether a key is meant for what has the focus, and not for the game. */
function isSpokenFor(event) {
  if (event.ctrlKey || event.metaKey || event.altKey) return true;
  // A slider takes arrows alone; whoever tunes goes on playing.
  if (event.target.closest?.("input:not([type=range]), textarea, select")) return true;
  // A button or a link with the focus takes the space bar, but no letters.
  return event.key === " " && Boolean(event.target.closest?.("button, summary, a"));
}

/**
 * Listens.
 * @param {{canvas: HTMLCanvasElement, yard: any, game: () => any, buttons: () => any[], ask: (light: any) => void}} to
 */
export function listenForPlay({ canvas, yard, game, buttons, ask }) {
  let pressedAt = -Infinity;
  const press = (b, by, now) => {
    if (b < 0 || !game()) return;
    pressedAt = now;
    game().down(b, by);
  };
  window.addEventListener("keydown", (event) => {
    const b = keysOf(buttons()).indexOf(event.key.toLowerCase());
    if (b < 0 || isSpokenFor(event)) return;
    event.preventDefault();
    press(b, `key ${event.code}`, event.timeStamp);
  });
  window.addEventListener("keyup", (event) => game()?.up(`key ${event.code}`));
  const place = (event) => {
    const box = canvas.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  };
  const lampAt = (event) => {
    if (event.timeStamp - pressedAt < PLAYING_MS && buttons().length > 0) return null;
    return yard.lightAt(...place(event), NEAR[event.pointerType] ?? NEAR.mouse);
  };
  canvas.addEventListener("pointerdown", (event) => {
    if (!yard.layout || event.button !== 0) return;
    const [x, y] = place(event);
    const on = yard.buttonAt(x, y);
    const light = on < 0 ? lampAt(event) : null;
    if (light) ask(light);
    else press(on < 0 ? yard.nearest(x) : on, `pointer ${event.pointerId}`, event.timeStamp);
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!yard.layout || event.pointerType === "touch") return;
    canvas.classList.toggle("over-lamp", yard.buttonAt(...place(event)) < 0 && Boolean(lampAt(event)));
  });
  for (const gone of ["pointerup", "pointercancel"]) {
    window.addEventListener(gone, (event) => game()?.up(`pointer ${event.pointerId}`));
  }
  window.addEventListener("blur", () => game()?.release());
}
