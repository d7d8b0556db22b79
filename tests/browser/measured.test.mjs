// What was measured, written down with a thumb: three taps, a wrong unit, a wrong entry, and back.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { endAll, launch, serve } from "./browser.mjs";

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

async function phone() {
  const context = await browser.newContext({ viewport: { width: 390, height: 844 }, hasTouch: true, isMobile: true });
  const page = await context.newPage();
  const errors = [];
  page.on("pageerror", (error) => errors.push(String(error)));
  page.on("console", (message) => message.type() === "error" && errors.push(message.text()));
  await page.goto(served.address);
  await page.getByRole("button", { name: "The example: a hall sideboard" }).tap();
  await page.locator(".answers .card").first().waitFor({ state: "attached" });
  return { context, page, errors };
}

const text = async (page) => {
  await page.goto(`${page.url().split("#")[0]}#file`);
  return page.locator("#text").inputValue();
};

test("a width is written down in three taps on a phone, and the answers say what it changed", async () => {
  const { context, page, errors } = await phone();
  await page.getByRole("link", { name: "What did you measure?" }).last().tap();
  const form = page.locator(".measured");
  await form.getByRole("button", { name: "Width", exact: true }).tap();
  await form.getByRole("button", { name: "top", exact: true }).tap();
  const number = form.getByLabel("Width, in");
  assert.ok(await number.evaluate((input) => input === document.activeElement), "the number waits for its digits");
  await number.fill("16 7/16");
  // Late enough for the demo, whatever the day of the test is.
  await form.getByText("Another day, the gauge's error, a note").tap();
  await form.getByLabel("day").fill("2026-10-20");
  await form.getByRole("button", { name: "Write it down" }).tap();
  const written = form.getByRole("region", { name: "Written down" });
  await written.getByText("2026-10-20: top, width 16 7/16 in").waitFor();
  await form.getByText("Last measured, 20 Oct 2026").first().waitFor();
  // Nothing is wider than the phone, and every target is as large as a thumb.
  assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), "no sideways scrolling");
  for (const button of await form.locator(".measured-choices button").all()) {
    const box = await button.boundingBox();
    assert.ok(box.height >= 44 && box.width >= 100, JSON.stringify(box));
  }
  const file = await text(page);
  assert.match(file, /\[\[log\]\]\ndate = 2026-10-20\npart = "top"\nwidth = "16 7\/16 in"/);
  assert.match(file, /# read for a month|by the sea: a logger/, "comments stay");
  assert.deepEqual(errors, []);
  await context.close();
});

test("today is the day where the maker is, and an entry that cannot be meant can be taken out", async () => {
  const { context, page, errors } = await phone();
  await page.goto(`${page.url().split("#")[0]}#measured`);
  const form = page.locator(".measured");
  await form.getByRole("button", { name: "Gap", exact: true }).tap();
  await form.getByRole("button", { name: /door panel in its frame/ }).first().tap();
  await form.getByText("Another day, the gauge's error, a note").tap();
  const day = form.getByLabel("day");
  const local = await page.evaluate(() => new Date().toLocaleDateString("sv-SE"));
  assert.equal(await day.inputValue(), local);
  await day.fill("2020-01-01");
  await form.getByLabel("Gap, in").fill("1/4");
  await form.getByRole("button", { name: "Write it down" }).tap();
  await form.getByRole("alert").getByText("before").waitFor();
  await form.getByRole("button", { name: "Take this entry out" }).tap();
  await form.getByRole("alert").waitFor({ state: "detached" });
  assert.doesNotMatch(await text(page), /\[\[log\]\]/);
  assert.deepEqual(errors, []);
  await context.close();
});

test("boards, leaves and rooms are offered for what can be read of them, and the keyboard serves", async () => {
  const { context, page } = await phone();
  await page.goto(`${page.url().split("#")[0]}#measured`);
  const form = page.locator(".measured");
  await form.getByRole("button", { name: "Bow", exact: true }).tap();
  for (const name of ["curly maple 1", "curly maple 1, leaf 2", "door panels, A1"]) {
    assert.equal(await form.getByRole("button", { name, exact: true }).count(), 1, name);
  }
  await form.getByRole("button", { name: "Back", exact: true }).tap();
  await form.getByRole("button", { name: "Air of a room" }).focus();
  await page.keyboard.press("Enter");
  await form.getByRole("button", { name: "home", exact: true }).focus();
  await page.keyboard.press("Enter");
  await page.keyboard.type("34");
  await form.getByLabel("temperature").fill("68");
  await form.getByText("Another day, the gauge's error, a note").tap();
  await form.getByLabel("day").fill("2026-12-12");
  await page.keyboard.press("Enter");
  await form.getByText("2026-12-12: home, air of a room 34%").waitFor();
  assert.match(await text(page), /humidity = "34%"\nplace = "home"\ntemperature = "68F"/);
  await context.close();
});
