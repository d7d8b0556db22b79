// Starts Debian's chromium, and the program whose pages are tested.
import { execFileSync } from "node:child_process";
import { mkdtempSync, readFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { createRequire } from "node:module";
import { chromium } from "playwright-core";

const here = dirname(fileURLToPath(import.meta.url));
const require = createRequire(import.meta.url);

export const program = join(here, "../../target/release/heartside");

export const axeSource = readFileSync(require.resolve("axe-core/axe.min.js"), "utf8");

export function launch() {
  return chromium.launch({
    executablePath: "/usr/bin/chromium",
    args: [
      "--headless",
      "--no-sandbox",
      "--disable-gpu",
      "--disable-quic",
      "--no-first-run",
      "--disable-background-networking",
      "--disable-component-update",
      "--disable-sync",
    ],
  });
}

// Forecasts the built-in job into a folder of its own and gives the folder.
export function demo() {
  const folder = mkdtempSync(join(tmpdir(), "heartside-"));
  execFileSync(program, ["demo", "--out", folder], { stdio: "ignore" });
  return folder;
}
