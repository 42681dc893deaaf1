// Starts the Chromium of the machine: CHROMIUM, or where Debian puts it.

import { chromium } from "playwright-core";

const FLAGS = [
  "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
  "--disable-component-update", "--disable-sync",
];

/** A browser; whoever starts it closes it. */
export function startChromium() {
  return chromium.launch({ executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium", args: FLAGS });
}
