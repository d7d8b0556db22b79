// The local page as people use it: a newcomer, a keyboard, a phone, the dark, two tabs, a program that ends midway.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { readFileSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { demo, drop, endAll, faults, field, folder, launch, loggerFile, program, serve, settled, station, watch, widenShelf } from "./browser.mjs";

let browser;
let served;

before(async () => {
  served = await serve();
  browser = await launch();
});

after(async () => {
  await browser?.close();
  await served?.end();
  endAll();
});

async function open(options = {}, address = served.address) {
  const context = await browser.newContext({ viewport: { width: 1400, height: 950 }, acceptDownloads: true, ...options });
  const page = await context.newPage();
  return { context, ...(await watch(page, address)) };
}

async function openDemo(options) {
  const opened = await open(options);
  await opened.page.getByRole("button", { name: "The example: a hall sideboard" }).click();
  // On a phone the answers are behind their button.
  await opened.page.locator(".answers .card").first().waitFor({ state: "attached" });
  return opened;
}

const pages = (pdf) => pdf.toString("latin1").match(/\/Type\s*\/Page[^s]/g).length;

test("a newcomer changes a width, sees the gap change, drops a logger, reads a verdict, saves and prints", async () => {
  const { context, page, asked, errors } = await openDemo();
  await widenShelf(page);
  const answers = page.locator(".answers");

  await station(page, "shop").click();
  await drop(page, loggerFile(), "workshop wall.csv");
  await page.locator(".drop .read", { hasText: "workshop wall.csv" }).waitFor();
  await page.waitForFunction(() => document.querySelector(".way select").selectedOptions[0].textContent === "a logger's file");
  assert.equal(await field(page, "file").inputValue(), "workshop wall.csv");
  await settled(page);
  await page.reload();
  await settled(page);
  assert.equal(await page.locator("#stations .wrong").count(), 0, "a reload has lost the logger");

  await station(page, "What to cut today").click();
  const stamps = await answers.locator(".stamp").allInnerTexts();
  assert.ok(stamps.length > 5 && stamps.every((word) => ["holds", "marginal", "fails"].includes(word.toLowerCase())));
  await settled(page);

  const [job] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save the job file" }).click(),
  ]);
  const text = readFileSync(await job.path(), "utf8");
  assert.match(text, /width = "15in"/);
  assert.match(text, /two leaves of one board, opened like a book/, "comments are lost");

  await page.getByRole("button", { name: "Make the report" }).click();
  const [report] = await Promise.all([page.waitForEvent("popup"), page.locator("#open-report").click()]);
  await report.waitForLoadState();
  assert.match(await report.locator("h1").innerText(), /Hall sideboard/);
  for (const format of ["A4", "Letter"]) {
    const pdf = await report.pdf({ format });
    assert.ok(pages(pdf) > 4, `${format} has ${pages(pdf)} pages`);
  }
  const [kept] = await Promise.all([page.waitForEvent("download"), page.locator("#save-report").click()]);
  assert.match(readFileSync(await kept.path(), "utf8"), /^<!DOCTYPE html>/i);

  assert.deepEqual(errors, []);
  assert.ok(asked.every((url) => url.startsWith(served.address) || url.startsWith("blob:")), asked.join("\n"));
  await context.close();
});

test("the page gives the bytes of JSON that the command line gives", async () => {
  const { context, page } = await openDemo();
  const [kept] = await Promise.all([
    page.waitForEvent("download"),
    page.getByRole("button", { name: "Save the numbers (JSON)" }).click(),
  ]);
  const of = readFileSync(await kept.path(), "utf8");
  assert.equal(of, readFileSync(join(demo(), "forecast.json"), "utf8"));
  await context.close();
});

test("a keyboard alone opens the example, finds a part and picks a wood by part of its name", async () => {
  const { context, page, errors } = await open();
  const reach = async (name, most = 80) => {
    for (let steps = 0; steps < most; steps += 1) {
      const at = await page.evaluate(() => {
        const one = document.activeElement;
        return one?.labels?.[0]?.textContent ?? one?.textContent ?? "";
      });
      if (at.trim() === name) {
        return;
      }
      await page.keyboard.press("Tab");
    }
    assert.fail(`no way to ${name} by the Tab key`);
  };
  await reach("The example: a hall sideboard");
  await page.keyboard.press("Enter");
  await page.locator(".answers .card").first().waitFor();
  await reach("shelf");
  await page.keyboard.press("Enter");
  await page.locator(".work h2", { hasText: "part: shelf" }).waitFor();
  await reach("wood");
  await page.keyboard.press("Control+A");
  await page.keyboard.type("northern red");
  await page.keyboard.press("ArrowDown");
  await page.keyboard.press("Enter");
  const chosen = await field(page, "wood").inputValue();
  assert.match(chosen, /^oak/i);
  await settled(page);
  await station(page, "The job file").focus();
  await page.keyboard.press("Enter");
  const text = await page.locator("#text").inputValue();
  assert.ok(text.includes(`species = "${chosen}"`), "the job file does not have the wood");
  assert.deepEqual(errors, []);
  await context.close();
});

const STATIONS = ["What to cut today", "shop", "top", "curly maple 1", "door panels", "shelf in divider", "Glue-up", "On site", "The job file"];

for (const colorScheme of ["light", "dark"]) {
  test(`axe finds nothing in the ${colorScheme}`, async () => {
    const { context, page } = await open({ colorScheme });
    assert.deepEqual(await faults(page), [], "the start");
    await page.getByRole("button", { name: "The example: a hall sideboard" }).click();
    await page.locator(".answers .card").first().waitFor();
    for (const name of STATIONS) {
      await station(page, name).click();
      await page.evaluate(() => document.querySelectorAll("details").forEach((one) => (one.open = true)));
      await page.waitForTimeout(150);
      assert.deepEqual(await faults(page), [], name);
    }
    await context.close();
  });
}

test("on a phone nothing stands out of the page and buttons are large enough for a thumb", async () => {
  const { context, page } = await openDemo({ viewport: { width: 375, height: 740 }, isMobile: true, hasTouch: true });
  for (const name of STATIONS) {
    if (!(await page.locator("#stations details").evaluate((one) => one.open))) {
      await page.locator("#stations summary").click();
    }
    await station(page, name).click();
    await page.waitForTimeout(150);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= 375, `${name} is ${wide} px wide`);
    const low = await page.evaluate(() =>
      [...document.querySelectorAll("button, .work input[type=text], .work select")]
        .filter((one) => one.offsetParent !== null && !one.closest(".stations") && one.getBoundingClientRect().height < 40)
        .map((one) => one.textContent || one.id),
    );
    assert.deepEqual(low, [], name);
  }
  await context.close();
});

test("what is wrong stands beside its field in the words of the command line, and the last answers stay", async () => {
  const { context, page, errors } = await openDemo();
  await station(page, "top").click();
  await field(page, "width").fill("16 1/2 ells");
  const error = page.locator(".work .field", { has: page.getByLabel("width", { exact: true }) }).first().locator(".error");
  await error.waitFor();
  const words = await error.innerText();
  const text = await page.evaluate(() => localStorage.getItem(Object.keys(localStorage).find((key) => key.startsWith("heartside draft"))));
  const path = join(folder(), "job.toml");
  writeFileSync(path, JSON.parse(text).text);
  const given = spawnSync(program, ["validate", path], { encoding: "utf8" });
  assert.equal(given.status, 2);
  const [what] = words.split(". ");
  assert.ok(given.stderr.includes(what), `${given.stderr}\nhas not: ${what}`);
  assert.ok((await page.locator(".answers .card").count()) > 0, "the last answers are gone");
  assert.match(await page.locator(".answers-head").innerText(), /last answers/);
  await field(page, "width").fill("16 5/16in");
  await error.waitFor({ state: "hidden" });
  await settled(page);

  // A job file that is no TOML.
  await station(page, "The job file").click();
  await page.locator("#text").fill("[[parts\nname = 3");
  await page.locator(".picture pre").first().waitFor();
  assert.match(await page.locator(".picture pre").first().innerText(), /not TOML/);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.locator(".picture pre").first().waitFor({ state: "hidden" });
  await page.locator("#text").fill("");
  await page.locator(".picture, .problems:not(:empty)").first().waitFor();
  assert.deepEqual(errors, []);
  await context.close();
});

test("a script in a name is text, on the page and in the report", async () => {
  const { context, page, errors } = await open();
  await page.getByRole("button", { name: "A new job" }).click();
  await page.locator(".answers .card").first().waitFor();
  const hostile = "<img src=x onerror=alert(1)><script>alert(2)</script>&";
  await station(page, "shelf").click();
  await field(page, "name").fill(hostile);
  await field(page, "name").blur();
  await page.locator(".work h2", { hasText: "<script>" }).waitFor();
  await settled(page);
  await station(page, "What to cut today").click();
  assert.equal(await page.locator("img, main script, .answers script").count(), 0);
  await page.getByRole("button", { name: "Make the report" }).click();
  const [report] = await Promise.all([page.waitForEvent("popup"), page.locator("#open-report").click()]);
  await report.waitForLoadState();
  assert.equal(await report.locator("img, script").count(), 0);
  assert.ok((await report.locator("body").innerText()).includes("<script>alert(2)</script>"));
  assert.deepEqual(errors, []);
  await context.close();
});

test("a part's new name is followed by its joints", async () => {
  const { context, page } = await openDemo();
  await station(page, "divider").click();
  await field(page, "name").fill("upright");
  await field(page, "name").blur();
  await page.locator(".work h2", { hasText: "part: upright" }).waitFor();
  await settled(page);
  assert.equal(await page.locator("#stations .wrong").count(), 0, "something is left to fix");
  await page.getByRole("button", { name: "Undo" }).click();
  await page.locator(".work h2", { hasText: "part: divider" }).waitFor();
  await context.close();
});

test("parts and joints are added, copied and taken out, and undo brings them back", async () => {
  const { context, page, errors } = await open();
  await page.getByRole("button", { name: "A new job" }).click();
  await page.locator(".answers .card").first().waitFor();
  await page.getByRole("button", { name: "Add a part" }).click();
  await page.locator(".work h2", { hasText: "part: part 3" }).waitFor();
  await page.getByRole("button", { name: "Copy this part" }).click();
  await page.locator(".work h2", { hasText: "part: part 4" }).waitFor();
  await page.getByRole("button", { name: "Take out this part" }).click();
  await page.locator(".overview").waitFor();
  await page.waitForFunction(() => document.querySelectorAll(".overview li").length === 3);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.waitForFunction(() => document.querySelectorAll(".overview li").length === 4);
  const kinds = async () => {
    await page.locator("#stations").getByRole("button", { name: "Add a joint" }).click();
    await page.locator(".work h2", { hasText: "Which joint?" }).waitFor();
    return page.locator(".work .begin button").allTextContents();
  };
  const all = await kinds();
  assert.equal(all.length, 28);
  for (const kind of all) {
    await page.locator(".work .begin").getByRole("button", { name: kind, exact: true }).click();
    await page.locator(".work .form .field").first().waitFor();
    const title = await page.locator(".work h2").innerText();
    assert.ok(title.toLowerCase().startsWith(kind.toLowerCase()), `${title} is no ${kind}`);
    await page.getByRole("button", { name: "Undo" }).click();
    await page.locator(".work h2", { hasText: "Joints" }).waitFor();
    await kinds();
  }
  assert.deepEqual(errors, []);
  await context.close();
});

test("two tabs keep two jobs, and a reload or a closed tab loses neither", async () => {
  const context = await browser.newContext({ viewport: { width: 1400, height: 950 } });
  const one = (await watch(await context.newPage(), served.address)).page;
  await one.getByRole("button", { name: "The example: a hall sideboard" }).click();
  await one.locator(".answers .card").first().waitFor();
  const two = (await watch(await context.newPage(), served.address)).page;
  await two.getByRole("button", { name: "A new job" }).click();
  await two.locator(".answers .card").first().waitFor();
  await station(two, "The piece").click();
  await field(two, "name").fill("Bench for the hall");
  await two.locator("h1", { hasText: "Bench for the hall" }).waitFor();
  await station(one, "The piece").click();
  await field(one, "name").fill("Sideboard, second try");
  await one.locator("h1", { hasText: "Sideboard, second try" }).waitFor();
  await one.reload();
  await two.reload();
  await one.locator("h1", { hasText: "Sideboard, second try" }).waitFor();
  await two.locator("h1", { hasText: "Bench for the hall" }).waitFor();
  await two.close();
  const three = (await watch(await context.newPage(), served.address)).page;
  await three.getByRole("button", { name: "Bench for the hall", exact: true }).click();
  await three.locator("h1", { hasText: "Bench for the hall" }).waitFor();
  await context.close();
});

test("the program is killed and started again: what was written meanwhile is answered then", async () => {
  const first = await serve();
  const { context, page, errors } = await open({}, first.address);
  await page.getByRole("button", { name: "The example: a hall sideboard" }).click();
  await page.locator(".answers .card").first().waitFor();
  await station(page, "shop").click();
  await drop(page, loggerFile(), "workshop wall.csv");
  await page.locator(".drop .read").waitFor();
  await settled(page);
  await station(page, "shelf").click();
  await first.end("SIGKILL");
  await field(page, "width").fill("15in");
  await page.locator("#trouble", { hasText: "stopped answering" }).waitFor();
  const again = await serve("--port", first.port);
  await page.locator("#trouble").waitFor({ state: "hidden", timeout: 15000 });
  await station(page, "The job file").click();
  await page.waitForFunction(() => document.querySelector("#text").value.includes('width = "15in"'));
  await settled(page);
  assert.equal(await page.locator(".picture").count(), 0, "the logger was not handed over again");
  assert.match(await page.locator("#text").inputValue(), /file = "workshop wall.csv"/);
  assert.deepEqual(errors, []);
  await context.close();
  assert.equal(await again.end("SIGINT"), 0);
});

test("files that cannot be read are refused in plain words, and the job stays", async () => {
  const { context, page, errors } = await openDemo();
  await station(page, "home").click();
  const bad = join(folder(), "notes.csv");
  writeFileSync(bad, "dear diary\nit rained\n");
  await drop(page, bad, "notes.csv");
  await page.locator("#trouble", { hasText: "notes.csv was not taken" }).waitFor();
  assert.ok((await page.locator(".answers .card").count()) > 0);
  await page.evaluate(() => {
    const transfer = new DataTransfer();
    transfer.items.add(new File(["# ".padEnd(1_200_000, "x")], "huge.toml"));
    document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: transfer, bubbles: true, cancelable: true }));
  });
  await page.locator(".problems:not(:empty)", { hasText: /at most/ }).waitFor();
  assert.deepEqual(errors, []);
  await context.close();
});

test("from a keystroke to new figures: given, not judged", async (t) => {
  const { context, page } = await open();
  const start = await page.evaluate(() => performance.getEntriesByType("navigation")[0].loadEventEnd);
  t.diagnostic(`the page stands after ${start.toFixed(0)} ms`);
  await page.getByRole("button", { name: "The example: a hall sideboard" }).click();
  await page.locator(".answers .card").first().waitFor();
  await station(page, "shelf").click();
  await page.locator(".answers figure").first().waitFor();
  await settled(page);
  const times = [];
  for (let turn = 0; turn < 20; turn += 1) {
    times.push(
      await page.evaluate(
        (width) =>
          new Promise((done) => {
            const input = [...document.querySelectorAll(".work .field")].find((one) => one.querySelector("label").textContent === "width").querySelector("input");
            const start = performance.now();
            const seen = new MutationObserver(() => {
              seen.disconnect();
              requestAnimationFrame(() => done(performance.now() - start));
            });
            seen.observe(document.querySelector(".answers"), { childList: true, subtree: true });
            input.value = width;
            input.dispatchEvent(new Event("input", { bubbles: true }));
          }),
        `14 ${1 + (turn % 15)}/16in`,
      ),
    );
    await page.waitForTimeout(50);
  }
  times.sort((a, b) => a - b);
  t.diagnostic(`keystroke to new figures: middle ${times[10].toFixed(0)} ms, slowest ${times[19].toFixed(0)} ms`);
  assert.equal(times.length, 20);
  await context.close();
});

test("a port that is in use is said plainly", () => {
  const given = spawnSync(program, ["serve", "--port", served.port], { encoding: "utf8", timeout: 10000 });
  assert.equal(given.status, 3);
  assert.match(given.stderr, /--port/);
});

