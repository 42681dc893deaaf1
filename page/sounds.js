// What the rules play: seen as a word, and heard as a short tone of its own once that is switched on.

import { html, nothing } from "./vendor/lit-html.js";

/** A word stays this long, in milliseconds. */
const SEEN_MS = 900;
/** Steps of a scale whose tones go together, in half tones above the lowest. */
const STEPS = [0, 2, 4, 7, 9];

export class Sounds {
  constructor() {
    this.audio = null;
    this.until = 0;
  }

  get on() {
    return this.audio !== null;
  }

  /** Browsers make sound only after somebody asked for it by hand. */
  turn(on) {
    if (on) this.audio ??= new AudioContext();
    else {
      this.audio?.close();
      this.audio = null;
    }
  }

  /** Takes what the game began since the last time. */
  take(game, now, root) {
    const word = root.querySelector("#heard");
    const begun = game.begun.splice(0);
    if (begun.length) {
      this.until = now + SEEN_MS;
      if (word) word.textContent = [...new Set(begun)].map((s) => game.form.sounds[s]).join(", ");
      begun.forEach((s) => this.tone(s));
    } else if (word?.textContent && now > this.until) word.textContent = "";
  }

  tone(s) {
    if (!this.audio) return;
    const { audio } = this;
    const [voice, loud] = [audio.createOscillator(), audio.createGain()];
    voice.frequency.value = 330 * 2 ** ((STEPS[s % STEPS.length] + 12 * Math.floor(s / STEPS.length)) / 12);
    loud.gain.setValueAtTime(0.12, audio.currentTime);
    loud.gain.exponentialRampToValueAtTime(0.001, audio.currentTime + 0.18);
    voice.connect(loud).connect(audio.destination);
    voice.start();
    voice.stop(audio.currentTime + 0.2);
  }
}

/** The switch, and the names of what may be heard. */
export function soundsOf(form, sounds, show) {
  if (!form.sounds.length) return nothing;
  const turn = () => {
    sounds.turn(!sounds.on);
    show();
  };
  return html`<section class="sounds" aria-label="Sounds"><h3>Sounds</h3>
    <p class="choice"><button type="button" aria-pressed=${sounds.on ? "true" : "false"} @click=${turn}>${sounds.on ? "heard" : "let them be heard"}</button>
    <span class="quiet">${form.sounds.join(", ")}; each a tone of its own here, and a word in the yard</span></p></section>`;
}
