// Changes of the description: sent to the server, told to the builder, and taken back.

import { html, nothing } from "./vendor/lit-html.js";
import { keyPath } from "./origin.js";

/** The changes of this visit, newest last. */
export class Edits {
  /** @param {() => void} show draws the page anew */
  constructor(show) {
    this.show = show;
    this.made = [];
    this.told = null;
  }

  /** Asks for a change. */
  async make(change, undoing = false) {
    const refused = await send(change);
    if (refused) {
      this.told = { refused };
    } else {
      if (undoing) this.made.pop();
      else this.made.push(change);
      this.told = { change, undoing };
    }
    this.show();
  }

  /** Takes the newest change back. */
  undo() {
    const last = this.made.at(-1);
    return last && this.make({ ...last, expected: last.new, new: last.expected }, true);
  }

  /** What was done last, and the way back. */
  note() {
    if (!this.told) return nothing;
    const { refused, change, undoing } = this.told;
    if (refused) return html`<div class="changed" role="status"><p><b>Nothing was changed:</b> ${refused}.</p></div>`;
    const last = this.made.at(-1);
    return html`<div class="changed" role="status">
      <p><b>${undoing ? "Taken back" : "Changed"} in ${change.file}:</b> <span class="key">${keyPath(change.path)}</span>
        <del>${change.expected}</del> became <ins>${change.new}</ins></p>
      ${last ? html`<button type="button" class="undo" @click=${() => this.undo()}>Undo ${keyPath(last.path)}</button>` : nothing}
    </div>`;
  }
}

/** Sends a change; gives why it was refused, or nothing. */
async function send(change) {
  try {
    const answer = await fetch("./edit", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(change) });
    if (answer.ok) return "";
    const { why } = await answer.json().catch(() => ({}));
    return why ?? `the workbench answered ${answer.status}`;
  } catch {
    return "the workbench does not answer";
  }
}
