// The report that a maker keeps with the job: read, printed, on a phone, in the dark.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { demo, faults, launch } from "./browser.mjs";

let browser;
let folder;

before(async () => {
  folder = demo();
  browser = await launch();
});

after(async () => {
  await browser?.close();
});

async function open(options = {}) {
  const context = await browser.newContext(options);
  const page = await context.newPage();
  const asked = [];
  page.on("request", (request) => asked.push(request.url()));
  const errors = [];
  page.on("pageerror", (error) => errors.push(String(error)));
  await page.goto(pathToFileURL(join(folder, "report.html")).href);
  return { context, page, asked, errors };
}

test("it asks for nothing beside itself and runs no broken script", async () => {
  const { context, asked, errors } = await open();
  assert.equal(asked.length, 1, asked.join("\n"));
  assert.deepEqual(errors, []);
  await context.close();
});

for (const colorScheme of ["light", "dark"]) {
  test(`a reader of screens finds nothing wrong in the ${colorScheme}`, async () => {
    const { context, page } = await open({ colorScheme });
    await page.evaluate(() => document.querySelectorAll("details").forEach((one) => (one.open = true)));
    assert.deepEqual(await faults(page), []);
    await context.close();
  });
}

test("dark and light differ", async () => {
  const paper = async (colorScheme) => {
    const { context, page } = await open({ colorScheme });
    const colour = await page.evaluate(() => getComputedStyle(document.body).backgroundColor);
    await context.close();
    return colour;
  };
  assert.notEqual(await paper("light"), await paper("dark"));
});

test("what to change comes first, then what to cut today, as the JSON has it", async () => {
  const { context, page } = await open();
  const forecast = JSON.parse(readFileSync(join(folder, "forecast.json"), "utf8"));
  const words = await page.evaluate(() => document.body.innerText);
  for (const fit of forecast.fits.slice(0, 3)) {
    assert.ok(words.includes(fit.joint), `${fit.joint} is not given`);
  }
  const headings = await page.evaluate(() =>
    [...document.querySelectorAll("h2")].map((one) => one.innerText.toLowerCase()),
  );
  assert.match(headings[0], /what to change/);
  assert.match(headings[1], /bench sheet/);
  await context.close();
});

test("on a phone nothing stands out of the page", async () => {
  const { context, page } = await open({ viewport: { width: 375, height: 740 }, isMobile: true });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  assert.ok(wide <= 375, `the page is ${wide} px wide`);
  await context.close();
});

for (const format of ["A4", "Letter"]) {
  test(`it prints on ${format} without a cut figure`, async () => {
    const { context, page } = await open();
    await page.emulateMedia({ media: "print" });
    const pdf = await page.pdf({ format, printBackground: true });
    assert.ok(pdf.length > 20_000);
    const sheets = pdf.toString("latin1").match(/\/Type\s*\/Page\b/g).length;
    assert.ok(sheets > 3 && sheets <= 10, `${sheets} sheets`);
    // What a browser may not break over two sheets: every figure keeps together and is shorter than a sheet.
    const figures = await page.evaluate(() =>
      [...document.querySelectorAll("figure")].map((one) => ({
        together: getComputedStyle(one).breakInside,
        height: one.getBoundingClientRect().height,
      })),
    );
    assert.ok(figures.length > 10);
    for (const figure of figures) {
      assert.match(figure.together, /avoid/);
      assert.ok(figure.height < 900, `a figure is ${figure.height} px high`);
    }
    // What is to be read; the labels of drawings are looked at, not read through.
    const words = await page.evaluate(() => {
      document.querySelectorAll("svg").forEach((drawing) => drawing.remove());
      return document.body.innerText.split(/\s+/).length;
    });
    assert.ok(words > 500 && words <= 3000, `${words} words in print`);
    await context.close();
  });
}

test("the months are chosen with the keyboard alone", async () => {
  const { context, page } = await open();
  const first = page.locator("input[type=radio]").first();
  assert.ok((await page.locator("input[type=radio]").count()) >= 12);
  await first.focus();
  await page.keyboard.press("ArrowRight");
  const chosen = await page.evaluate(() => {
    const all = [...document.querySelectorAll("input[type=radio]")];
    return all.findIndex((one) => one.checked);
  });
  assert.ok(chosen >= 0);
  await context.close();
});

test("each figure has a title, a description and its numbers", async () => {
  const { context, page } = await open();
  const lacking = await page.evaluate(() =>
    [...document.querySelectorAll("figure svg")]
      .filter((one) => !one.querySelector("title") || !one.querySelector("desc"))
      .map((one) => one.id),
  );
  assert.deepEqual(lacking, []);
  assert.ok((await page.locator("figure table").count()) > 5);
  await context.close();
});

// Boxes of letters overlap a little where lines of text follow closely; letters do not.
const ACROSS = 2;
const DOWN = 4;

test("in every figure no label is on another or cut off, and letters are at least 11 px high", async () => {
  const { context, page } = await open({ viewport: { width: 1280, height: 900 } });
  const { wrong, labels } = await page.evaluate(
    ([across, down]) => {
      document.querySelectorAll("details").forEach((one) => (one.open = true));
      const wrong = [];
      let labels = 0;
      for (const svg of document.querySelectorAll("figure svg")) {
        const title = svg.querySelector("title").textContent;
        const frame = svg.getBoundingClientRect();
        const shown = [...svg.querySelectorAll("text")]
          .map((one) => ({
            words: one.textContent,
            box: one.getBoundingClientRect(),
            size: parseFloat(getComputedStyle(one).fontSize) * (frame.width / svg.viewBox.baseVal.width),
          }))
          .filter((one) => one.words.trim() && one.box.width > 0);
        labels += shown.length;
        shown.forEach(({ words, box, size }, index) => {
          const out =
            box.left < frame.left - 1 ||
            box.right > frame.right + 1 ||
            box.top < frame.top - 1 ||
            box.bottom > frame.bottom + 1;
          if (out) wrong.push(`${title}: "${words}" is cut off`);
          if (size < 10.99) wrong.push(`${title}: "${words}" is ${size} px high`);
          for (const other of shown.slice(0, index)) {
            const wide = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left);
            const high = Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top);
            if (wide > across && high > down) wrong.push(`${title}: "${words}" is on "${other.words}"`);
          }
        });
      }
      return { wrong, labels };
    },
    [ACROSS, DOWN],
  );
  assert.ok(labels > 300, `${labels} labels`);
  assert.deepEqual(wrong, []);
  await context.close();
});
