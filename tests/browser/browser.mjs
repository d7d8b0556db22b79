// Starts Debian's chromium, and the program whose pages are tested.
import assert from "node:assert/strict";
import { execFileSync, spawn } from "node:child_process";
import { mkdtempSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { createRequire } from "node:module";
import { chromium } from "playwright-core";

const here = dirname(fileURLToPath(import.meta.url));
const require = createRequire(import.meta.url);

// The program that is tested: the release build, or another that is named.
export const program = process.env.HEARTSIDE_PROGRAM ?? join(here, "../../target/release/heartside");

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

export function folder() {
  return mkdtempSync(join(tmpdir(), "heartside-"));
}

// Forecasts the built-in job into a folder of its own and gives the folder.
export function demo() {
  const place = folder();
  execFileSync(program, ["demo", "--out", place], { stdio: "ignore" });
  return place;
}

// Programs still running end with the tests, so that a test that fails leaves none behind.
const running = new Set();
process.on("exit", () => running.forEach((child) => child.kill("SIGKILL")));

// Ends every program that a test left running.
export function endAll() {
  running.forEach((child) => child.kill("SIGKILL"));
}

// Starts the local page; gives its address and what ends it.
export async function serve(...more) {
  const child = spawn(program, ["serve", ...(more.length > 0 ? more : ["--port", "0"])], {
    stdio: ["ignore", "pipe", "ignore"],
    cwd: folder(),
  });
  running.add(child);
  child.on("exit", () => running.delete(child));
  const address = await new Promise((done, failed) => {
    let given = "";
    child.stdout.on("data", (bytes) => {
      given += bytes;
      if (given.includes("\n")) {
        done(given.trim());
      }
    });
    child.on("exit", (code) => failed(new Error(`the program ended with ${code} before it served`)));
  });
  const end = (signal = "SIGTERM") =>
    new Promise((done) => {
      if (child.exitCode !== null || child.signalCode !== null) {
        done(child.exitCode);
        return;
      }
      child.on("exit", (code) => done(code));
      child.kill(signal);
    });
  return { address, port: new URL(address).port, end };
}

// What axe finds wrong on a page.
export async function faults(page) {
  // Evaluated by the browser's own tools, so the page's rule against foreign scripts does not stand in the way.
  await page.evaluate(axeSource);
  const found = await page.evaluate(() => globalThis.axe.run());
  return found.violations.map((one) => `${one.id}: ${one.nodes.map((node) => node.target).join(" ")}`);
}

// Opens the page, and takes note of everything it asks for and everything that goes wrong in it.
export async function watch(page, address) {
  const asked = [];
  const errors = [];
  page.on("request", (request) => asked.push(request.url()));
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => {
    if (message.type() === "error" && !/Failed to load resource/.test(message.text())) {
      errors.push(message.text());
    }
  });
  page.on("dialog", (dialog) => {
    errors.push(`a dialog: ${dialog.message()}`);
    dialog.dismiss();
  });
  await page.goto(address);
  return { page, asked, errors };
}

export const field = (page, label) => page.locator(".work").getByLabel(label, { exact: true }).first();

export const station = (page, name) => page.locator("#stations").getByRole("link", { name, exact: true }).first();

export async function settled(page) {
  await page.locator(".answers-head", { hasText: /from all [\d\s]+ draws/ }).waitFor();
}

// The example's shelf made wider: its figure and its answers change.
export async function widenShelf(page) {
  await station(page, "shelf").click();
  const answers = page.locator(".answers");
  await answers.locator("figure").first().waitFor();
  await settled(page);
  const before = await answers.innerText();
  const picture = await answers.locator("figure svg").first().innerHTML();
  await field(page, "width").fill("15in");
  await page.waitForFunction((old) => document.querySelector(".answers figure svg").innerHTML !== old, picture);
  await settled(page);
  assert.notEqual(await answers.innerText(), before, "the answers are the same");
}

// A year, every third hour, as a logger on the wall writes it; invented.
export function loggerFile() {
  const rows = ["Date-Time,Temperature (C),RH (%)"];
  const start = Date.UTC(2025, 8, 1);
  for (let hour = 0; hour < 24 * 365; hour += 3) {
    const at = new Date(start + hour * 3600e3).toISOString().slice(0, 16).replace("T", " ");
    rows.push(`${at},${(18 + 5 * Math.cos(hour / 1394)).toFixed(1)},${(66 + 3 * Math.cos(hour / 9)).toFixed(1)}`);
  }
  const path = join(folder(), "workshop wall.csv");
  writeFileSync(path, `${rows.join("\n")}\n`);
  return path;
}

// Drops a file on the page as a hand with a mouse does.
export async function drop(page, path, name) {
  const text = readFileSync(path, "utf8");
  await page.evaluate(
    ([text, name]) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([text], name, { type: "text/csv" }));
      document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: transfer, bubbles: true, cancelable: true }));
    },
    [text, name],
  );
}
