// The page as one file, opened from the disk or from any web site: no program there, and nothing from any other place.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { existsSync, readFileSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import { dirname, join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { drop, faults, field, folder, launch, loggerFile, program, settled, station, watch, widenShelf } from "./browser.mjs";

const file = process.env.HEARTSIDE_PAGE ?? join(dirname(fileURLToPath(import.meta.url)), "../../target/heartside.html");
const skip = existsSync(file) ? false : "the page as one file was not built (bash src/page/web/build)";
const address = pathToFileURL(file).href;
const PHONE = { viewport: { width: 390, height: 844 }, isMobile: true, hasTouch: true };

let browser;

before(async () => {
  browser = await launch();
});

after(async () => {
  await browser?.close();
});

async function open(options = {}) {
  // Without a network at all: what the file asks of another place would fail.
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, acceptDownloads: true, offline: true, ...options });
  return { context, ...(await watch(await context.newPage(), address)) };
}

async function openDemo(options) {
  const opened = await open(options);
  await opened.page.getByRole("button", { name: "The example: a hall sideboard" }).click();
  await opened.page.locator(".answers .card").first().waitFor({ state: "attached" });
  return opened;
}

const inside = (asked) => asked.filter((url) => url !== address && !/^(blob|data):/.test(url));

async function saved(page, name) {
  const [kept] = await Promise.all([page.waitForEvent("download"), page.getByRole("button", { name }).click()]);
  return readFileSync(await kept.path(), "utf8");
}

// What the command line says of a job: the numbers, and the folder of its report.
function forecast(text) {
  const place = folder();
  writeFileSync(join(place, "hall-sideboard.toml"), text);
  const options = { cwd: place, encoding: "utf8", maxBuffer: 1e8, stdio: ["ignore", "pipe", "ignore"] };
  return { numbers: execFileSync(program, ["forecast", "hall-sideboard.toml", "--json"], options), folder: join(place, "hall-sideboard-report") };
}

const same = (numbers, text) => assert.ok(numbers === forecast(text).numbers, "the numbers are not those of the command line");

test("the example answers, a changed width too, and nothing is asked of any other place", { skip }, async () => {
  const { context, page, asked, errors } = await openDemo();
  await widenShelf(page);
  assert.deepEqual(errors, []);
  assert.deepEqual(inside(asked), []);
  await context.close();
});

test("a change while all draws are counted is answered, and what it stopped is counted again", { skip }, async () => {
  const { context, page, errors } = await openDemo();
  await station(page, "shelf").click();
  for (const width of ["14in", "14 3/4in", "15in"]) {
    await field(page, "width").fill(width);
    // Longer than the page waits before it counts all draws, shorter than the counting.
    await page.waitForTimeout(900);
  }
  await settled(page);
  const text = await saved(page, "Save the job file");
  assert.match(text, /width = "15in"/);
  same(await saved(page, "Save the numbers (JSON)"), text);
  assert.deepEqual(errors, []);
  await context.close();
});

for (const begin of ["The example: a hall sideboard", "A chest", "A table"]) {
  test(`the numbers are the bytes of the command line: ${begin}`, { skip }, async () => {
    const { context, page, errors } = await open();
    await page.getByRole("button", { name: begin }).click();
    await page.locator(".answers .card").first().waitFor();
    await settled(page);
    same(await saved(page, "Save the numbers (JSON)"), await saved(page, "Save the job file"));
    assert.deepEqual(errors, []);
    await context.close();
  });
}

// The page in a browser that says it has so many cores, with the times of what its workers were asked.
async function openCores(cores) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, acceptDownloads: true, offline: true });
  await context.addInitScript((cores) => {
    Object.defineProperty(navigator, "hardwareConcurrency", { get: () => cores });
    const asked = (globalThis.asked = []);
    globalThis.Worker = class extends Worker {
      constructor(...given) {
        super(...given);
        this.addEventListener("message", ({ data }) => data.status && Object.assign(asked.findLast((one) => one.worker === this), { end: performance.now() }));
      }
      postMessage(question, ...more) {
        if (question.path) {
          asked.push({ worker: this, path: question.path, few: !/"draws":null/.test(question.body), begin: performance.now() });
        }
        super.postMessage(question, ...more);
      }
    };
  }, cores);
  const { page, errors } = await watch(await context.newPage(), address);
  await page.getByRole("button", { name: "The example: a hall sideboard" }).click();
  await settled(page);
  return { context, page, errors };
}

for (const [cores, workers] of [[2, 0], [4, 3]]) {
  test(`with ${cores} cores ${workers || "no other"} workers share the draws, and the numbers are the bytes of the command line`, { skip }, async (t) => {
    const { context, page, errors } = await openCores(cores);
    const shares = () => page.evaluate(() => globalThis.asked.filter(({ path }) => path.startsWith("draws?")).map(({ path, worker }) => [path, globalThis.asked.findIndex((one) => one.worker === worker)]));
    const begun = await shares();
    assert.equal(new Set(begun.map(([, worker]) => worker)).size, workers);
    assert.equal(new Set(begun.map(([path]) => path)).size, workers);
    same(await saved(page, "Save the numbers (JSON)"), await saved(page, "Save the job file"));
    await widenShelf(page);
    assert.equal((await shares()).length, begun.length, "of a changed width most draws are kept");
    same(await saved(page, "Save the numbers (JSON)"), await saved(page, "Save the job file"));
    const times = await page.evaluate(() => {
      const answers = globalThis.asked.filter(({ path, end }) => path === "answer" && end);
      const whole = answers.filter(({ few }) => !few);
      const first = globalThis.asked.find(({ path }) => path.startsWith("draws?")) ?? whole[0];
      const ms = ({ begin, end }) => Math.round(end - begin);
      return { few: ms(answers.findLast(({ few }) => few)), all: Math.round(whole[0].end - first.begin), again: ms(whole.at(-1)) };
    });
    t.diagnostic(`${cores} cores: a key answered with few draws in ${times.few} ms, all draws in ${times.all} ms, a changed width with all draws in ${times.again} ms`);
    assert.deepEqual(errors, []);
    await context.close();
  });
}

test("the report opens with its bench sheet, prints and is saved", { skip }, async () => {
  const { context, page, errors } = await openDemo();
  await page.getByRole("button", { name: "Make the report" }).click();
  const [report] = await Promise.all([page.waitForEvent("popup"), page.locator("#open-report").click()]);
  await report.waitForLoadState();
  assert.match(await report.locator("h1").first().innerText(), /Hall sideboard/);
  assert.ok((await report.locator("section.bench").count()) > 0, "no bench sheet");
  assert.ok((await report.pdf({ format: "A4" })).length > 20000);
  const [kept] = await Promise.all([page.waitForEvent("download"), page.locator("#save-report").click()]);
  const html = readFileSync(await kept.path(), "utf8");
  const written = forecast(await saved(page, "Save the job file")).folder;
  assert.ok(html === readFileSync(join(written, "report.html"), "utf8"), "not the report of the command line");
  assert.deepEqual(errors, []);
  await context.close();
});

test("a dropped logger and the draft outlast a reload; the saved file opens again", { skip }, async () => {
  const { context, page, errors } = await openDemo();
  await station(page, "shop").click();
  await drop(page, loggerFile(), "workshop wall.csv");
  await page.locator(".drop .read", { hasText: "workshop wall.csv" }).waitFor();
  await settled(page);
  await station(page, "The piece").click();
  await field(page, "name").fill("Sideboard for the hall");
  await page.locator("h1", { hasText: "Sideboard for the hall" }).waitFor();
  await page.reload();
  await page.locator("h1", { hasText: "Sideboard for the hall" }).waitFor();
  await settled(page);
  assert.equal(await page.locator("#stations .wrong").count(), 0, "a reload has lost the logger");
  const text = await saved(page, "Save the job file");
  assert.match(text, /file = "workshop wall.csv"/);

  await page.getByRole("button", { name: "Another job" }).click();
  const path = join(folder(), "mine.toml");
  writeFileSync(path, text.replace("Sideboard for the hall", "Opened again"));
  await page.locator("#begin-file").setInputFiles(path);
  await page.locator("h1", { hasText: "Opened again" }).waitFor();
  assert.deepEqual(errors, []);
  await context.close();
});

test("a phone in the shop: everything within 390 px, answers behind their button, no faults for those who listen", { skip }, async () => {
  const { context, page, errors } = await openDemo(PHONE);
  const wide = () => page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok((await wide()) <= 390, `${await wide()} px wide`);
  await page.locator("#bar-button").tap();
  await page.locator(".answers .card").first().waitFor();
  assert.ok((await wide()) <= 390, `${await wide()} px wide`);
  await settled(page);
  assert.deepEqual(await faults(page), []);
  assert.deepEqual(errors, []);
  await context.close();
});

// A web site that has nothing but these files.
async function site(files) {
  const host = createServer((request, answer) => {
    const found = files[request.url.split("?")[0]];
    answer.writeHead(found ? 200 : 404, { "Content-Type": found?.kind ?? "text/plain" });
    answer.end(found ? readFileSync(found.path) : "");
  });
  await new Promise((done) => host.listen(0, "127.0.0.1", done));
  const end = () => new Promise((done) => host.close(done) && host.closeAllConnections());
  return { address: `http://127.0.0.1:${host.address().port}/shop/heartside.html`, end };
}

const whole = { path: file, kind: "text/html" };
const keeper = { path: join(dirname(file), "heartside-offline.js"), kind: "text/javascript" };

test("from a web site it is installed on a phone, and opens and answers there when the site is gone", { skip }, async () => {
  const host = await site({ "/shop/heartside.html": whole, "/shop/heartside-offline.js": keeper });
  const context = await browser.newContext(PHONE);
  const first = await watch(await context.newPage(), host.address);
  const devtools = await context.newCDPSession(first.page);
  const { url, errors, data } = await devtools.send("Page.getAppManifest");
  assert.match(url, /^blob:/);
  assert.deepEqual(errors, []);
  assert.equal(JSON.parse(data).start_url, host.address);
  const { installabilityErrors } = await devtools.send("Page.getInstallabilityErrors");
  assert.deepEqual(installabilityErrors.filter(({ errorId }) => errorId !== "in-incognito"), []);
  await first.page.evaluate(async () => (await navigator.serviceWorker.ready).scope);
  assert.deepEqual(first.errors, []);
  await first.page.close();
  await host.end();

  const again = await watch(await context.newPage(), host.address);
  await again.page.getByRole("button", { name: "The example: a hall sideboard" }).click();
  await again.page.locator("#bar-button").tap();
  await again.page.locator(".answers .card").first().waitFor();
  await settled(again.page);
  const wide = await again.page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= 390, `${wide} px wide`);
  assert.deepEqual(again.errors, []);
  await context.close();
});

test("on a web site without the script that keeps it the page is the same", { skip }, async () => {
  const host = await site({ "/shop/heartside.html": whole });
  const context = await browser.newContext();
  const opened = await watch(await context.newPage(), host.address);
  await opened.page.getByRole("button", { name: "The example: a hall sideboard" }).click();
  await opened.page.locator(".answers .card").first().waitFor({ state: "attached" });
  await context.close();
  await host.end();
});
