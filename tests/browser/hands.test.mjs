// What a hand does on the page: five questions, the picture of the piece, rings dragged, remedies applied, leaves laid, photos taken.
import { after, before, test } from "node:test";
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { drop, endAll, faults, field, launch, loggerFile, serve, settled, station, watch } from "./browser.mjs";

const here = dirname(fileURLToPath(import.meta.url));
const WIDTHS = [1280, 390];
const SCHEMES = ["light", "dark"];

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

async function open(options = {}) {
  const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options });
  return { context, ...(await watch(await context.newPage(), served.address)) };
}

async function openDemo(options) {
  const opened = await open(options);
  await opened.page.getByRole("button", { name: "The example: a hall sideboard" }).click();
  await opened.page.waitForFunction(() => /\d/.test(document.querySelector("#bar-tally").textContent));
  return opened;
}

const jobText = (page) =>
  page.evaluate(() => JSON.parse(localStorage.getItem(Object.keys(localStorage).find((key) => key.startsWith("heartside draft ")))).text);

async function toStation(page, name) {
  const menu = page.locator("#stations summary");
  if ((await menu.isVisible()) && !(await page.locator("#stations details").evaluate((one) => one.open))) {
    await menu.click();
  }
  await station(page, name).click();
}

const wholeDraws = (page) => page.waitForFunction(() => /from all/.test(document.querySelector(".answers-head")?.textContent ?? ""));

test("five questions: the first answer after one action, all of them in under 15", async () => {
  const { context, page, errors } = await open();
  let actions = 0;
  const act = async (what) => {
    actions += 1;
    await what;
  };
  await act(page.getByRole("button", { name: "A bookcase" }).click());
  await page.locator(".answers .card").first().waitFor();
  const first = actions;
  for (const [label, value] of [
    ["left to right", "32in"],
    ["bottom to top", "60in"],
    ["front to back", "11in"],
    ["shelves in each", "3"],
    ["wood of every part", "oak, white"],
    ["humidity of the shop today", "62%"],
    ["it goes to a heated house near", "Denver"],
    ["one reading of a meter", "9.2%"],
  ]) {
    await act(field(page, label).fill(value));
    await field(page, label).blur();
  }
  await page.waitForFunction(() => Object.values(localStorage).some((one) => one.includes("9.2%") && one.includes("Denver")));
  assert.equal(first, 1, "the first answer came late");
  assert.ok(actions < 15, `${actions} actions`);
  const text = await jobText(page);
  for (const part of ['species = "oak, white"', 'humidity = "62%"', 'place = "Denver"', 'moisture = "9.2%"', 'length = "32in"', 'name = "shelf 3"']) {
    assert.ok(text.includes(part), `the job has no ${part}`);
  }
  assert.ok(!text.includes('name = "shelf 4"'), "the fourth shelf is still there");
  const today = await page.evaluate(() => {
    const now = new Date();
    return `${now.getFullYear()}-${String(now.getMonth() + 1).padStart(2, "0")}-${String(now.getDate()).padStart(2, "0")}`;
  });
  assert.ok(text.includes(`measured = ${today}`), "a new job is not measured today");
  await wholeDraws(page);
  assert.equal(await page.locator("#stations .wrong").count(), 0);

  // A size that leaves no room is said beside the question, and the piece stays.
  await field(page, "front to back").fill("1in");
  await field(page, "front to back").blur();
  await page.locator(".question .error", { hasText: /depth/ }).waitFor();
  assert.equal(await jobText(page), text);
  await field(page, "front to back").fill("12in");
  await field(page, "front to back").blur();
  await page.waitForFunction(() => Object.values(localStorage).some((one) => one.includes('"12in') || one.includes('\\"12in')));
  assert.ok((await jobText(page)).includes('species = "oak, white"'), "a new size has lost the wood");
  assert.deepEqual(errors, []);
  await context.close();
});

for (const kind of ["A case or sideboard", "A table", "A chest", "A framed door"]) {
  test(`a new piece answers at once: ${kind}`, async () => {
    const { context, page, errors } = await open();
    await page.getByRole("button", { name: kind }).click();
    await page.locator(".answers .card").first().waitFor();
    await page.locator(".piece .stage svg").first().waitFor();
    assert.equal(await page.locator("#stations .wrong").count(), 0);
    assert.deepEqual(errors, []);
    await context.close();
  });
}

test("a click on a part or a joint of the picture opens it, and the arrow keys do the same", async () => {
  const { context, page, errors } = await openDemo();
  const target = (name) => page.locator(`.targets [role=link][aria-label="${name}"]`).first();
  await target("part top").waitFor();
  await target("part top").dispatchEvent("click");
  await page.locator(".work h2", { hasText: "part: top" }).waitFor();
  await page.goBack();
  await page.locator(".targets").waitFor();
  await page.getByRole("button", { name: "Pulled apart" }).click();
  await page.locator(".piece figcaption", { hasText: "pulled apart" }).waitFor();
  const joint = page.locator('.targets .joint[role=link]').first();
  const name = (await joint.getAttribute("aria-label")).replace(/^joint /, "").replace(/: \w+$/, "");
  await joint.dispatchEvent("click");
  await page.locator(".work h2", { hasText: name }).waitFor();
  await page.goBack();
  await page.locator(".targets").waitFor();
  await page.locator('.targets [tabindex="0"]').focus();
  await page.keyboard.press("Home");
  const first = await page.evaluate(() => document.activeElement.getAttribute("aria-label"));
  await page.keyboard.press("ArrowRight");
  const second = await page.evaluate(() => document.activeElement.getAttribute("aria-label"));
  assert.notEqual(first, second);
  await page.keyboard.press("Enter");
  await page.locator(".work h2", { hasText: second.replace(/^(part|joint) /, "") }).waitFor();
  assert.deepEqual(errors, []);
  await context.close();
});

test("the pith is dragged under the end, by mouse and by keys: field, file and cup follow", async () => {
  const { context, page, errors } = await openDemo();
  await toStation(page, "shelf");
  await page.locator(".rings-drawing .end-grain").waitFor();
  await page.locator(".rings-drawing .cup svg").waitFor();
  const cup = await page.locator(".rings-drawing .cup svg").innerHTML();
  const depth = field(page, "depth of the pith");
  assert.equal(await depth.inputValue(), "4in");
  const pith = page.locator(".rings-drawing .pith");
  await pith.scrollIntoViewIfNeeded();
  const box = await pith.locator(".dot").boundingBox();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + 40, box.y + 30, { steps: 4 });
  await page.mouse.up();
  await page.waitForFunction((old) => document.querySelector(".rings-drawing .cup svg").innerHTML !== old, cup);
  await page.waitForFunction(() => [...document.querySelectorAll(".work input")].some((one) => /in$/.test(one.value) && one.labels[0]?.textContent === "depth of the pith" && one.value !== "4in"));
  const dragged = await depth.inputValue();
  assert.match(await jobText(page), new RegExp(`pith_depth = "${dragged}"`));
  await page.getByRole("button", { name: "Undo" }).click();
  await page.waitForFunction(() => [...document.querySelectorAll(".work input")].some((one) => one.labels[0]?.textContent === "depth of the pith" && one.value === "4in"));
  await pith.focus();
  await page.keyboard.press("ArrowDown");
  await page.waitForFunction(() => [...document.querySelectorAll(".work input")].some((one) => one.labels[0]?.textContent === "depth of the pith" && one.value === "4 1/8in"));
  assert.ok(await pith.evaluate((one) => one === document.activeElement), "the focus is lost");
  assert.deepEqual(errors, []);
  await context.close();
});

test("a remedy is applied as one edit, and one undo takes it back", async () => {
  const { context, page, errors } = await openDemo();
  await wholeDraws(page);
  const before = await jobText(page);
  const remedy = page.locator(".answers .apply").first();
  await remedy.waitFor();
  await remedy.click();
  await page.waitForFunction((old) => !Object.values(localStorage).some((one) => one.includes(JSON.stringify(old))), before);
  assert.notEqual(await jobText(page), before);
  await wholeDraws(page);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.waitForFunction((old) => Object.values(localStorage).some((one) => one.includes(JSON.stringify(old))), before);
  assert.equal(await jobText(page), before);
  assert.deepEqual(errors, []);
  await context.close();
});

test("leaves are dragged, turned over and turned round, and bow and force follow", async () => {
  const { context, page, errors } = await openDemo();
  await toStation(page, "door panels");
  const bench = page.locator(".leaves-bench");
  await bench.locator(".laid-words p").first().waitFor();
  const words = () => bench.locator(".laid-words").innerText();
  const order = () => bench.locator(".leaf strong").allInnerTexts();
  assert.match(await words(), /This is the best layout found/);
  assert.match(await words(), /Holding it flat takes/);
  const best = await words();
  const names = await order();
  await bench.getByRole("button", { name: `${names[0]}: turn over` }).click();
  await page.waitForFunction((old) => document.querySelector(".laid-words").innerText !== old, best);
  assert.match(await words(), /Against the best layout/);
  assert.match(await page.evaluate(() => document.activeElement.getAttribute("aria-label")), /turn over/, "the focus is lost");
  await bench.getByRole("button", { name: "The best layout again" }).click();
  await page.waitForFunction((old) => document.querySelector(".laid-words").innerText === old, best);
  const [one, other] = [bench.locator(".leaf").first(), bench.locator(".leaf").nth(1)];
  await one.scrollIntoViewIfNeeded();
  const [from, to] = [await one.locator(".grain").boundingBox(), await other.locator(".grain").boundingBox()];
  await page.mouse.move(from.x + from.width / 2, from.y + from.height / 2);
  await page.mouse.down();
  await page.mouse.move(to.x + to.width, to.y + to.height / 2, { steps: 5 });
  await page.mouse.up();
  assert.deepEqual(await order(), [names[1], names[0]]);
  await bench.locator(".laid-figures svg").first().waitFor();
  assert.deepEqual(errors, []);
  await context.close();
});

test("figures of a panel's match and of leaves at rest are on their pages", async () => {
  const { context, page } = await openDemo();
  await toStation(page, "door panels");
  await page.locator(".answers figcaption", { hasText: /bookmatch/ }).first().waitFor();
  await toStation(page, "curly maple 1");
  await page.locator(".answers figcaption", { hasText: /rest/i }).first().waitFor();
  await context.close();
});

test("a dropped logger draws its year beside the one before", async () => {
  const { context, page, errors } = await openDemo();
  await toStation(page, "shop");
  await page.locator(".air-year svg").waitFor();
  await drop(page, loggerFile(), "workshop wall.csv");
  await page.locator(".air-year figcaption", { hasText: "as it was given before" }).waitFor();
  assert.deepEqual(errors, []);
  await context.close();
});

// Drops a photo on the page as a hand with a mouse does.
async function dropPhoto(page, name) {
  const bytes = readFileSync(join(here, "../it/data/endgrain", name)).toString("base64");
  await page.evaluate(
    ([bytes, name]) => {
      const transfer = new DataTransfer();
      transfer.items.add(new File([Uint8Array.from(atob(bytes), (one) => one.charCodeAt(0))], name, { type: "image/jpeg" }));
      document.body.dispatchEvent(new DragEvent("drop", { dataTransfer: transfer, bubbles: true, cancelable: true }));
    },
    [bytes, name],
  );
}

test("a photo of the end: corners and pith are dragged, rings laid over, and the numbers are in the job", async () => {
  const { context, page, errors } = await openDemo();
  await toStation(page, "shelf");
  await page.locator(".rings-drawing .end-grain").waitFor();
  await dropPhoto(page, "t_syn_00.jpg");
  const bench = page.locator(".photo-rings");
  await bench.locator(".photo-lines polyline").first().waitFor();
  const rings = () => bench.locator(".reading").first().innerText();
  const read = await rings();
  assert.match(read, /pith depth|angles/);
  const lines = () => bench.locator(".photo-lines").innerHTML();
  // A corner, by keys: the rings are read again.
  const before = await bench.locator(".end-outline").getAttribute("points");
  await bench.getByRole("slider", { name: /upper left corner/ }).focus();
  await page.keyboard.press("Shift+ArrowRight");
  await page.waitForFunction((old) => document.querySelector(".end-outline").getAttribute("points") !== old, before);
  await page.waitForFunction((old) => document.querySelector(".photo-rings .reading")?.innerText !== old, read);
  // The pith, by mouse: the rings follow it.
  const old = await lines();
  await bench.locator(".pith .dot").scrollIntoViewIfNeeded();
  const pith = await bench.locator(".pith .dot").boundingBox();
  await page.mouse.move(pith.x + pith.width / 2, pith.y + pith.height / 2);
  await page.mouse.down();
  await page.mouse.move(pith.x + 30, pith.y + 20, { steps: 3 });
  await page.mouse.up();
  await page.waitForFunction((was) => document.querySelector(".photo-lines").innerHTML !== was, old);
  await page.waitForFunction(() => /as you put it/.test(document.querySelector(".photo-rings .reading").innerText));
  const put = (await rings()).match(/pith depth (\S+),/)[1];
  assert.deepEqual(await faults(page), []);
  await bench.getByRole("button", { name: "Use these rings" }).click();
  await page.waitForFunction((depth) => Object.values(localStorage).some((one) => one.includes(`pith_depth = \\"${depth}\\"`)), put);
  assert.equal(await page.locator(".photo-rings").count(), 0);
  await page.getByRole("button", { name: "Undo" }).click();
  await page.waitForFunction(() => Object.values(localStorage).some((one) => one.includes('pith_depth = \\"4in\\", pith_offset = \\"-1in\\"')));
  assert.deepEqual(errors, []);
  await context.close();
});

test("a photo for a board to resaw, a leaf and a board of a glued-up part: the same hand, the rings land where it was chosen", async () => {
  for (const width of WIDTHS) {
    const { context, page, errors } = await openDemo({ viewport: { width, height: 900 } });
    const photo = join(here, "../it/data/endgrain/t_syn_00.jpg");
    const take = async (owner, button) => {
      const set = page.locator(`fieldset[data-key="rings"][data-path='${JSON.stringify([...owner, "rings"])}']`);
      await set.evaluate((one) => one.closest("details")?.setAttribute("open", ""));
      await set.locator(":scope > .chooser input").setInputFiles(photo);
      const bench = page.locator(".photo-rings");
      await bench.locator(".photo-lines polyline").first().waitFor();
      assert.deepEqual(await faults(page), []);
      const before = await jobText(page);
      await bench.getByRole("button", { name: button }).click();
      await page.locator(".photo-rings").waitFor({ state: "detached" });
      // The draft follows the edit.
      await page.waitForFunction((old) => JSON.parse(localStorage.getItem(Object.keys(localStorage).find((key) => key.startsWith("heartside draft ")))).text !== old, before);
    };
    const rings = (owner) =>
      page.evaluate(async ([owner]) => {
        const text = JSON.parse(localStorage.getItem(Object.keys(localStorage).find((key) => key.startsWith("heartside draft ")))).text;
        const answer = await fetch("answer", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ text, draws: 16 }) }).then((one) => one.json());
        return owner.reduce((value, step) => value?.[step], answer.document)?.rings ?? null;
      }, [owner]);
    const document = await page.evaluate(async () => {
      const text = JSON.parse(localStorage.getItem(Object.keys(localStorage).find((key) => key.startsWith("heartside draft ")))).text;
      return (await fetch("answer", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ text, draws: 16 }) }).then((one) => one.json())).document;
    });
    await page.evaluate(() => (location.hash = "#boards/0"));
    await page.locator(".work h2", { hasText: document.boards[0].name }).waitFor();
    await take(["boards", 0], "Keep the photo in the job");
    assert.equal((await rings(["boards", 0])).photo, "t_syn_00.jpg");
    const panel = document.panels.findIndex((one) => Array.isArray(one.leaves));
    await page.evaluate((panel) => (location.hash = `#panels/${panel}`), panel);
    await page.locator(".work h2", { hasText: document.panels[panel].name }).waitFor();
    await take(["panels", panel, "leaves", 1], "Use these rings");
    const leaf = await rings(["panels", panel, "leaves", 1]);
    assert.ok(leaf.pith_depth || leaf.angles, JSON.stringify(leaf));
    assert.deepEqual(errors, []);
    await context.close();
  }
});

test("a list hangs below its field, so that a double click changes nothing", async () => {
  for (const width of WIDTHS) {
    const { context, page } = await openDemo({ viewport: { width, height: 900 } });
    await toStation(page, "top");
    for (const label of ["wood", "kind"]) {
      const input = field(page, label);
      const was = await input.inputValue();
      await input.scrollIntoViewIfNeeded();
      await input.dblclick();
      const list = page.locator(".names:not([hidden])");
      await list.waitFor();
      const [box, over] = [await input.boundingBox(), await list.boundingBox()];
      assert.ok(over.y >= box.y + box.height - 1, `the list of ${label} lies over it at ${width} px`);
      await page.keyboard.press("Escape");
      assert.equal(await input.inputValue(), was);
    }
    await context.close();
  }
});

test("a measure is no list of parts: the overhang's front, the gap at a wall", async () => {
  const { context, page } = await openDemo();
  await toStation(page, "On site");
  await page.evaluate(() => document.querySelectorAll("details").forEach((one) => (one.open = true)));
  const overhang = page.locator('.work fieldset[data-key="overhang"]');
  assert.equal(await overhang.getByLabel("front", { exact: true }).getAttribute("role"), null);
  assert.equal(await overhang.getByLabel("top", { exact: true }).getAttribute("role"), "combobox");
  const walls = page.locator('.work fieldset[data-key="walls"]');
  assert.equal(await walls.getByLabel("gap", { exact: true }).getAttribute("role"), null);
  await context.close();
});

test("every kind of joint can be added, has a name, and lacks no key that the page could have filled in", async () => {
  for (const start of ["A new job", "The example: a hall sideboard"]) {
    const { context, page, errors } = await open();
    await page.getByRole("button", { name: start }).click();
    await page.locator(".answers .card").first().waitFor();
    const choose = async () => {
      await page.locator("#stations").getByRole("button", { name: "Add a joint" }).click();
      await page.locator(".work h2", { hasText: "Which joint?" }).waitFor();
    };
    await choose();
    const kinds = await page.locator(".work .kinds button").allTextContents();
    assert.equal(kinds.length, 28);
    for (const kind of kinds) {
      const button = page.locator(".work .kinds").getByRole("button", { name: kind, exact: true });
      assert.equal(await button.locator("svg use").count(), 1, `${kind} has no drawing`);
      await button.click();
      await page.locator(".work .form .field").first().waitFor();
      const title = await page.locator(".work h2").innerText();
      assert.ok(title.toLowerCase().startsWith(kind.toLowerCase()) && !/null|undefined/.test(title), `${title} is no ${kind}`);
      const lacking = (await page.locator(".work .error:visible").allInnerTexts()).filter((one) => /has no `/.test(one));
      assert.deepEqual(lacking, [], `${kind} in ${start}`);
      await page.getByRole("button", { name: "Undo" }).click();
      await page.locator(".work h2", { hasText: "Joints" }).waitFor();
      await choose();
    }
    assert.deepEqual(errors, []);
    await context.close();
  }
});

test("while draws are counted again verdicts stay, and only what changed is grey", async () => {
  const { context, page } = await openDemo();
  await wholeDraws(page);
  const stamps = () => page.locator(".answers .card .stamp").allInnerTexts();
  const before = await stamps();
  await page.evaluate(() => {
    globalThis.seen = [];
    new MutationObserver(() => {
      const cards = [...document.querySelectorAll(".answers .card")];
      globalThis.seen.push({ all: cards.length, grey: cards.filter((one) => one.classList.contains("counting")).length, tally: document.querySelector("#bar-tally").textContent });
    }).observe(document.querySelector(".answers"), { childList: true, subtree: true });
  });
  await page.evaluate(() => {
    location.hash = "#joints";
  });
  await page.locator(".overview a", { hasText: "cleat" }).first().click();
  await field(page, "screw").fill("7/32in");
  await wholeDraws(page);
  await page.waitForFunction(() => globalThis.seen.length > 0);
  const seen = await page.evaluate(() => globalThis.seen);
  assert.ok(before.length > 10);
  assert.ok(seen.every((one) => one.grey < 8), `grey: ${JSON.stringify(seen.map((one) => one.grey))}`);
  await context.close();
});

test("steps back outlast a reload, and a button that goes dead hands the focus on", async () => {
  const { context, page, errors } = await openDemo();
  await toStation(page, "top");
  await field(page, "width").fill("16 5/16in");
  await settled(page);
  await page.reload();
  await settled(page);
  assert.equal(await field(page, "width").inputValue(), "16 5/16in");
  await page.getByRole("button", { name: "Undo" }).focus();
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => [...document.querySelectorAll(".work input")].some((one) => one.value === "16 1/4in"));
  assert.equal(await page.evaluate(() => document.activeElement.id), "redo");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() => [...document.querySelectorAll(".work input")].some((one) => one.value === "16 5/16in"));
  assert.deepEqual(errors, []);
  await context.close();
});

test("a station is found again where it was left", async () => {
  const { context, page } = await openDemo();
  await wholeDraws(page);
  await page.evaluate(() => scrollTo(0, 900));
  await page.waitForFunction(() => scrollY > 800);
  await page.evaluate(() => {
    location.hash = "#parts/0";
  });
  await page.locator(".work h2", { hasText: "part: top" }).waitFor();
  assert.ok((await page.evaluate(() => scrollY)) < 300, "a new page begins in its middle");
  await page.goBack();
  await page.locator(".work h2", { hasText: "The whole piece" }).waitFor();
  await page.waitForFunction(() => scrollY > 800);
  await context.close();
});

test("the page opens without an address that is not there", async () => {
  const context = await browser.newContext();
  const page = await context.newPage();
  const bad = [];
  page.on("response", (response) => response.status() >= 400 && bad.push(response.url()));
  await page.goto(served.address);
  await page.getByRole("button", { name: "A new job" }).click();
  await page.locator(".answers .card").first().waitFor();
  assert.deepEqual(bad, []);
  const text = await jobText(page);
  const year = await page.evaluate(() => String(new Date().getFullYear()));
  assert.ok(new RegExp(`measured = ${year}-`).test(text), "the date of a new job is stale");
  await context.close();
});

test("on a phone the answers are at hand at the bottom and one menu holds the rest", async () => {
  const { context, page, errors } = await openDemo({ viewport: { width: 390, height: 800 }, isMobile: true, hasTouch: true });
  assert.match(await page.locator("#bar-tally").innerText(), /\d+ holds?/);
  const bar = await page.locator("#bar").boundingBox();
  assert.ok(bar.y + bar.height > 780 && bar.y > 700, "the bar is not at the bottom");
  assert.equal(await page.locator(".answers .card").first().isVisible(), false);
  await page.getByRole("button", { name: "Answers" }).click();
  await page.locator(".answers .card").first().waitFor();
  assert.deepEqual(await faults(page), []);
  await page.getByRole("button", { name: "Close the answers" }).click();
  await page.locator(".answers .card").first().waitFor({ state: "hidden" });
  assert.equal(await page.getByRole("button", { name: "Save the job file" }).isVisible(), false);
  await page.locator("#stations summary").click();
  assert.equal(await page.getByRole("button", { name: "Save the job file" }).isVisible(), true);
  assert.deepEqual(errors, []);
  await context.close();
});

for (const width of WIDTHS) {
  for (const colorScheme of SCHEMES) {
    test(`axe finds nothing on the new pages at ${width} px in the ${colorScheme}, and nothing is wider than the page`, async () => {
      const { context, page } = await open({ viewport: { width, height: 900 }, colorScheme });
      const fits = async (name) => {
        assert.deepEqual(await faults(page), [], name);
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= width, `${name} is ${wide} px wide`);
      };
      await fits("the start");
      await page.getByRole("button", { name: "A framed door" }).click();
      await page.locator(".piece .stage svg").first().waitFor();
      await fits("the questions");
      await page.goto(`${served.address}#today`);
      await page.evaluate(() => {
        sessionStorage.clear();
        history.replaceState(null, "", location.pathname);
      });
      await page.reload();
      await page.getByRole("button", { name: "The example: a hall sideboard" }).click();
      await page.waitForFunction(() => /\d/.test(document.querySelector("#bar-tally").textContent));
      for (const name of ["top", "door panels", "shop", "Joints"]) {
        await toStation(page, name);
        await page.waitForTimeout(400);
        await fits(name);
      }
      await page.evaluate(() => {
        location.hash = "#joints/+";
      });
      await page.locator(".work .kinds button").first().waitFor();
      await fits("kinds of joints");
      await context.close();
    });
  }
}
