// Starts the real program: the one that the tests built, or the one that LAMPWRIGHT_BINARY names, which must then exist.

import { spawn, spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import path from "node:path";
import { fileURLToPath } from "node:url";

const root = path.resolve(path.dirname(fileURLToPath(import.meta.url)), "../..");
const binary = process.env.LAMPWRIGHT_BINARY ?? path.join(root, "target/debug/lampwright");

/** Why tests of the program are skipped, or false. */
export const notBuilt = process.env.LAMPWRIGHT_BINARY || existsSync(binary) ? false : "the program is not built";

/** The folder of one of the project's displays. */
export function displayFolder(name) {
  return path.join(root, "displays", name);
}

/** Runs a command to its end. */
export function runProgram(...args) {
  return spawnSync(binary, args, { encoding: "utf8" });
}

/** Starts the workbench on a folder: its address, and how to end it. */
export async function startWorkbench(folder) {
  const program = spawn(binary, ["workbench", folder, "--port", "0"], { stdio: ["ignore", "pipe", "pipe"] });
  try {
    return { address: await printedAddress(program), stop: () => program.kill() };
  } catch (error) {
    program.kill();
    throw error;
  }
}

/** The address that the program prints on starting. */
function printedAddress(program) {
  return new Promise((resolve, reject) => {
    let said = "";
    const hear = (bytes) => {
      said += bytes;
      const address = /http:\/\/\S+token=[0-9A-Za-z]+/.exec(said);
      if (address) resolve(address[0]);
    };
    program.stdout.on("data", hear);
    program.stderr.on("data", hear);
    program.on("error", reject);
    program.on("exit", (code) => reject(new Error(`it ended with ${code}: ${said}`)));
    setTimeout(() => reject(new Error(`no address within 20 s: ${said}`)), 20000).unref();
  });
}
