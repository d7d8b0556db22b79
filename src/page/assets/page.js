// The page: one job file, its forms and its answers. The text of the job file is the one truth; a form tells its
// changes as edits of that text, and the program gives the new text back with what it means.
import * as talk from "./talk.js";
import { remedy } from "./carrier.js";
import * as keep from "./keep.js";
import { element, follow, Form, valueAt } from "./forms.js";
import { Answers, cardsBlock, head, held, plateBlocks, sheets, tallyWords } from "./answers.js";
import { forget as forgetMeasured, say as sayMeasured, showMeasured } from "./measured.js";
import { beginning, JOINT_GROUPS, kindName, SECTIONS } from "./words.js";
import { beginningOf, datesFromToday, editsOf, firstQuestion, Questions, startOf, thumbnail } from "./questions.js";
import { Picture } from "./picture.js";
import { RingsDrawing } from "./rings.js";
import { PhotoRings } from "./photo.js";
import { LeavesBench } from "./leaves.js";

const QUICK_DRAWS = 128;
const QUIET_MS = 700;
const AGAIN_MS = 1200;
const STEPS_KEPT = 200;
const MARKS = "joints straighten shelves install panels glue chance".split(" ");

const by = (id) => document.getElementById(id);

const job = {
  name: "job.toml",
  text: "",
  document: null,
  problems: [],
  items: [],
  forecast: null, // as it is shown
  whole: null, // the last one from all draws
  few: null, // what few draws said of the same text
  fewNow: null, // what few draws say of the text as it is
  stale: false,
  unfit: null, // what a piece to begin with lacks
  files: new Map(), // name in the job -> {id, blob, words}
  before: [],
  after: [],
  lastEdit: { key: "", at: 0 },
};

let schema = null;
let words = null;
let form = null;
let answers = null;
let textArea = null;
let questions = null;
const picture = new Picture((path) => go(path));
const ringsDrawing = new RingsDrawing((rings, path, turn) => {
  // Rings that were given another way have other fields from now on.
  const reform = valueAt(job.document, [...path, "rings", "pith_depth"]) === undefined;
  form.chosenWays.delete(JSON.stringify([...path, "rings"]));
  change([{ at: [...path, "rings"], to: rings }], { from: [...path, "rings", turn], drag: true, reform });
});
const photoRings = new PhotoRings(
  (asked) => talk.rings(asked),
  (rings, path) => {
    photoRings.end();
    form.chosenWays.clear();
    // A leaf may have its pith beside its other sizes.
    const other = ["pith_depth", "pith_offset"].map((key) => [...path, key]).filter((at) => valueAt(job.document, at) !== undefined);
    change([...other.map((at) => ({ at, to: null })), { at: [...path, "rings"], to: rings }], { again: true, focus: [...path, "rings"] });
    say("The rings of the photo are in the job. Undo takes them out again.");
  },
  () => {
    photoRings.end();
    by("work").focus({ preventScroll: true });
  },
);
const leavesBench = new LeavesBench((panel, rows) => talk.layout({ question: question(job.forecast?.draws ?? QUICK_DRAWS), panel, rows }));
const airBefore = new Map(); // the job's text before a place's air was given, by the place
const dropped = new Map(); // words about files read on this page, by name

// ---- Telling ---------------------------------------------------------------------------------------------------

function say(text, ...more) {
  by("status").replaceChildren(text, ...more);
}

function trouble(text) {
  const place = by("trouble");
  place.hidden = text === "";
  place.textContent = text;
}

// ---- Asking: one question at a time, the newest changes next ----------------------------------------------------

let asking = false;
let counting = null; // what stops a question that only counts all draws
let waiting = null; // {edits, options} given while a question is out
let quiet = 0;
let heard = ""; // the last tally that was said aloud
let retry = 0;

function question(draws, edits = [], beginning = null) {
  return {
    text: job.text,
    name: job.name,
    edits,
    files: Object.fromEntries([...job.files].map(([name, file]) => [name, file.id])),
    draws,
    figures: wantedFigures(),
    ...(beginning ? { beginning } : {}),
  };
}

function change(edits, options = {}) {
  let all = edits;
  if (options.late) {
    all = [...edits, ...renamed(edits)];
  }
  if (waiting) {
    // Of one thing that is dragged only the last place counts.
    const places = new Set(all.filter((one) => !one.insert).map((one) => JSON.stringify(one.at)));
    const last = waiting.edits.at(-1);
    const before = all.length === 1 && last && !last.insert && places.has(JSON.stringify(last.at)) ? waiting.edits.slice(0, -1) : waiting.edits;
    waiting = { edits: [...before, ...all], options: { ...waiting.options, ...options } };
  } else {
    waiting = { edits: all, options };
  }
  // What is asked now does not wait until all draws of what was before are counted; they are counted later.
  if (!options.full) {
    counting?.abort();
  }
  pump();
}

// What refers to a part by its name follows when the name changes.
function renamed(edits) {
  const more = [];
  for (const edit of edits) {
    const [section, index, key] = edit.at;
    const old = job.document?.[section]?.[index]?.name;
    if (section !== "parts" || key !== "name" || !old || !edit.to || old === edit.to) {
      continue;
    }
    const walk = (value, path) => {
      if (typeof value === "string") {
        const key = path.at(-1);
        if (["name", "kind", "face", "fixed", "species"].includes(key)) {
          return;
        }
        const alike = path[0] === "glue";
        const next = value
          .split(", ")
          .map((one) => (one === old || (alike && one.startsWith(`${old} `)) ? edit.to + one.slice(old.length) : one))
          .join(", ");
        if (next !== value) {
          more.push({ at: path, to: next });
        }
      } else if (value !== null && typeof value === "object") {
        for (const [key, inner] of Object.entries(value)) {
          walk(inner, [...path, Array.isArray(value) ? Number(key) : key]);
        }
      }
    };
    for (const section of MARKS) {
      walk(job.document[section], [section]);
    }
  }
  return more;
}

async function pump() {
  if (asking || waiting === null) {
    return;
  }
  const { edits, options } = waiting;
  waiting = null;
  asking = true;
  clearTimeout(quiet);
  const asked = job.text;
  counting = options.full && edits.length === 0 ? new AbortController() : null;
  try {
    const given = await talk.answer(question(options.full ? null : QUICK_DRAWS, edits, options.beginning), counting?.signal);
    connected();
    take(given, edits, options, asked);
  } catch (error) {
    if (error instanceof talk.Gone) {
      waiting = { edits: [...edits, ...(waiting?.edits ?? [])], options: { ...options, ...waiting?.options } };
      gone();
    } else if (error.name !== "AbortError") {
      trouble(`The program refused this: ${error.message}`);
    }
  } finally {
    asking = false;
    counting = null;
  }
  if (waiting !== null && retry === 0) {
    pump();
  }
}

function take(given, edits, options, asked) {
  // What was written into the text since the question left is newer than the answer.
  const changed = (edits.length > 0 || options.beginning) && job.text === asked && given.text !== asked;
  if (changed) {
    remember(edits, options);
    job.text = given.text;
    if (options.begun && !given.unfit) {
      rememberBegun(given.text, options.begun);
    }
  }
  const first = job.document === null;
  job.document = given.document ?? job.document;
  if (changed || first) {
    keepDraft();
  }
  job.unfit = given.unfit;
  if (waiting === null && !given.unfit) {
    answering = null;
  }
  job.broken = given.document === null;
  job.problems = given.problems;
  if (given.items.length > 0 || given.forecast) {
    job.items = given.items;
  }
  job.stale = given.forecast === null;
  if (given.forecast) {
    if (given.forecast.draws === given.forecast.full_draws) {
      job.whole = { ...given.forecast };
      // Of another text few draws have said nothing yet.
      job.few = job.fewNow?.text === given.text ? job.fewNow.forecast : job.few?.text === given.text ? job.few : null;
      job.forecast = job.whole;
    } else {
      job.fewNow = { text: given.text, forecast: { ...given.forecast, text: given.text } };
      job.forecast = held(given.forecast, job.whole, job.few);
    }
    // Told to those who listen once all draws are in, not at every key.
    if (given.forecast.draws === given.forecast.full_draws) {
      const tally = tallyWords(given.forecast.cards);
      if (tally !== heard) {
        heard = tally;
        by("heard").textContent = `The whole piece: ${tally}.`;
      }
    }
  }
  // Where a change leads is gone to first, so that what is shown is shown there.
  if (options.then) {
    options.then();
  }
  show(options);
  const lacks = job.forecast && !job.stale && wantedFigures().some((id) => !(id in job.forecast.plates));
  // Those of another page may have been asked for: the way there and back is quicker than an answer.
  if (lacks && waiting === null && options.figuresAsked !== wantedFigures().join()) {
    change([], { figuresAsked: wantedFigures().join(), full: job.forecast.draws === job.forecast.full_draws });
    return;
  }
  if (job.problems.some((one) => /drop/.test(one.remedy)) && [...job.files.values()].some((file) => file.blob) && !options.sentAgain) {
    sendAgain().then((sent) => sent && change([], { sentAgain: true }));
  }
  quiet = setTimeout(() => {
    if (!asking && waiting === null && job.forecast && !job.stale && job.forecast.draws !== job.forecast.full_draws) {
      change([], { full: true });
    }
  }, QUIET_MS);
}

// The program was ended: nothing is lost, and the page goes on when it is back.
function gone() {
  trouble(`The program has stopped answering. Your job is kept in this browser. ${remedy()}`);
  if (retry === 0) {
    retry = setInterval(async () => {
      try {
        await talk.get("words");
      } catch {
        return;
      }
      connected();
      await sendAgain();
      pump();
    }, AGAIN_MS);
  }
}

function connected() {
  if (retry !== 0) {
    clearInterval(retry);
    retry = 0;
    trouble("");
    say("The program answers again.");
  } else if (by("trouble").textContent.startsWith("The program refused")) {
    trouble("");
  }
}

// ---- Steps back and forward -------------------------------------------------------------------------------------

function remember(edits, options) {
  if (options.step) {
    return;
  }
  // Typing into one field is one step; adding, copying and taking out are one each.
  const key = options.from ? JSON.stringify(options.from) : "";
  const now = Date.now();
  const paused = now - job.lastEdit.at > 1500 && !options.drag;
  if (job.before.length === 0 || key === "" || key !== job.lastEdit.key || paused) {
    job.before.push(job.text);
    job.before.splice(0, job.before.length - STEPS_KEPT);
  }
  job.after = [];
  job.lastEdit = { key, at: now };
  keep.keepSteps(job.before, job.after);
}

function step(from, to) {
  if (from.length === 0) {
    return;
  }
  to.push(job.text);
  job.lastEdit = { key: "", at: 0 };
  job.text = from.pop();
  keep.keepSteps(job.before, job.after);
  keepDraft();
  change([], { step: true, again: true });
}

// What a piece was begun with, by the text that came of it: while the text is still that one, its sizes can be asked again.
const begun = new Map();
const BEGUN_KEPT = 60;

function rememberBegun(text, state) {
  begun.set(text, state);
  if (begun.size > BEGUN_KEPT) {
    begun.delete(begun.keys().next().value);
  }
}

function keepDraft() {
  const piece = job.document?.job?.name ?? job.name;
  const files = Object.fromEntries([...job.files].map(([name, file]) => [name, file.id]));
  if (!keep.keep({ name: job.name, text: job.text, piece: String(piece), files, begun: begun.get(job.text) ?? null })) {
    say("This browser has no room to keep the job: save the job file.");
  }
}

// ---- Where we are: the hash names the thing that is shown -------------------------------------------------------

function stationPath() {
  const raw = decodeURIComponent(location.hash.slice(1));
  if (raw === "" || raw === "today" || raw === "file" || raw === "questions") {
    return [raw || "today"];
  }
  return raw.split("/").map((one) => (/^\d+$/.test(one) ? Number(one) : one));
}

const hashOf = (path) => `#${path.map((one) => encodeURIComponent(one)).join("/")}`;

function go(path) {
  const next = hashOf(path);
  if (location.hash === next) {
    show({ again: true });
  } else {
    location.hash = next;
  }
}

// How far each station was scrolled when it was left.
const scrolled = new Map();

const startsWith = (path, start) => start.every((one, index) => path[index] === one);

function nameAt(path) {
  const found = job.items.find((one) => JSON.stringify(one.at) === JSON.stringify(path));
  const value = valueAt(job.document, path);
  const joined = value?.piece && value?.into ? `${[value.piece].flat().join(", ")} and ${[value.into].flat().join(", ")}` : null;
  return found?.name ?? value?.name ?? value?.part ?? joined ?? (typeof path.at(-1) === "string" ? path.at(-1) : null);
}

// The names under which answers speak of the thing at `path`: its own and, for a part, its joints'.
function namesAbout(path) {
  const name = nameAt(path);
  const own = new Set([String(name ?? "").toLowerCase()]);
  const joints = new Set();
  if (path[0] === "parts" && name) {
    const uses = (value) =>
      typeof value === "string" ? value === name : value !== null && typeof value === "object" && Object.values(value).some(uses);
    for (const item of job.items) {
      if (item.at[0] !== "parts" && uses(valueAt(job.document, item.at))) {
        joints.add(item.name.toLowerCase());
      }
    }
  }
  return { own, joints };
}

function isItem(path) {
  return ["parts", "boards", "panels", "joints", "straighten", "bows", "shelves"].includes(path[0]) && typeof path.at(-1) === "number";
}

// Whose answer or figure it is that is called so: the thing with the longest name that it begins with, so that what is said of a
// `top cleat` is none of the `top`.
function ownerOf(about) {
  const text = about.toLowerCase();
  let best = "";
  for (const item of job.items) {
    const name = item.name.toLowerCase();
    if (name.length > best.length && text.startsWith(name) && (text.length === name.length || " ,:".includes(text[name.length]))) {
      best = name;
    }
  }
  return best || text;
}

const aboutName = (about, names) => names.has(ownerOf(about));

const VIEWS = ["piece-front", "piece-closed", "piece-side", "piece-exploded"];

// Figures that show what a station is about: a thing's own, the glue-up's, those of what is fastened on site, the piece itself.
function figuresAbout(path) {
  const figures = job.forecast?.figures ?? [];
  if (isItem(path)) {
    const { own } = namesAbout(path);
    return figures.filter((figure) => aboutName(figure.about, own));
  }
  if (picture.shownAt(path)) {
    return figures.filter((figure) => VIEWS.includes(figure.id));
  }
  const kind = { glue: "glue-up-", install: "fastenings-", measured: "log-" }[path[0]];
  return kind ? figures.filter((figure) => figure.id.startsWith(kind)) : [];
}

const wantedFigures = () => figuresAbout(stationPath()).map((figure) => figure.id);

// ---- Showing ----------------------------------------------------------------------------------------------------

function show(options = {}) {
  if (!job.document && job.text === "") {
    return;
  }
  by("start").hidden = true;
  by("shop").hidden = false;
  by("tools").hidden = false;
  document.body.classList.add("at-work");
  by("piece").textContent = job.document?.job?.name ? String(job.document.job.name) : job.name;
  document.title = `${by("piece").textContent}: how will the wood move?`;
  for (const [name, steps, other] of [["undo", job.before, "redo"], ["redo", job.after, "undo"]]) {
    const lost = steps.length === 0 && document.activeElement === by(name);
    by(name).disabled = steps.length === 0;
    if (lost) {
      by(other).disabled = false;
      by(other).focus();
    }
  }
  showStations();
  showWork(options);
  showAnswers();
}

function problemsAt(path) {
  return job.problems.filter((one) => startsWith(one.at, path)).length;
}

// The shop first, then the home, then others by name.
function placeNames(places) {
  const rank = (name) => (name === "shop" ? 0 : name === "home" ? 1 : 2);
  return Object.keys(places).sort((a, b) => rank(a) - rank(b));
}

let stationsShown = "";

function showStations() {
  const here = hashOf(stationPath());
  const entry = (path, name) => {
    const wrong = problemsAt(path);
    return { hash: hashOf(path), name, wrong };
  };
  const groups = SECTIONS.map((section) => {
    const value = job.document?.[section.key];
    let entries = [];
    if (section.list && Array.isArray(value)) {
      entries = value.map((_, index) => entry([section.key, index], nameAt([section.key, index]) ?? `${section.one} ${index + 1}`));
    } else if (section.named && value) {
      entries = placeNames(value).map((name) => entry([section.key, name], name));
    } else if (section.kinds && value) {
      entries = Object.entries(value).flatMap(([kind, list]) =>
        (Array.isArray(list) ? list : []).map((_, index) =>
          entry([section.key, kind, index], nameAt([section.key, kind, index]) ?? `${kindName(kind)} ${index + 1}`),
        ),
      );
    }
    return { section, entries, whole: entry([section.key], section.name) };
  });
  const shown = JSON.stringify([here, groups, Boolean(job.document?.defaults), Boolean(job.unfit)]);
  if (shown === stationsShown) {
    return;
  }
  stationsShown = shown;
  const link = ({ hash, name, wrong }, strong) => {
    const made = element("a", { href: hash, "aria-current": hash === here ? "page" : null, class: strong ? "strong" : null }, name);
    if (wrong > 0) {
      made.append(element("span", { class: "wrong" }, " to fix"));
    }
    return made;
  };
  const many = (section) => section.list || section.named || section.kinds;
  const items = groups.map(({ section, entries, whole }) =>
    element(
      "li",
      {},
      link(whole, true),
      entries.length > 0 ? element("ul", {}, ...entries.map((one) => element("li", {}, link(one)))) : null,
      many(section)
        ? element(
            "button",
            { type: "button", class: "add", "data-key": section.key, onclick: () => go([section.key, "+"]) },
            `Add a ${section.one}`,
          )
        : null,
    ),
  );
  const at = document.activeElement?.closest?.("#stations") ? document.activeElement : null;
  const focus = at?.getAttribute("href");
  const button = at?.dataset.key;
  const open = by("stations").querySelector("details")?.open ?? !matchMedia("(max-width: 60rem)").matches;
  // The tools stay, wherever they are.
  if (by("stations").contains(by("tools"))) {
    document.querySelector("header.top").append(by("tools"));
  }
  by("stations").replaceChildren(
    element(
      "details",
      { open },
      element("summary", {}, "Menu"),
      element(
        "ul",
        {},
        element("li", {}, link({ hash: "#today", name: "What to cut today", wrong: 0 }, true)),
        element("li", {}, link({ hash: "#measured", name: "What did you measure?", wrong: problemsAt(["log"]) }, true)),
        job.document?.defaults ? element("li", {}, link({ hash: "#questions", name: "Five questions", wrong: job.unfit ? 1 : 0 }, true)) : null,
        ...items,
        element("li", {}, link({ hash: "#file", name: "The job file", wrong: job.broken ? 1 : 0 }, true)),
      ),
    ),
  );
  placeTools();
  if (focus) {
    [...by("stations").querySelectorAll("a")].find((one) => one.getAttribute("href") === focus)?.focus();
  } else if (button) {
    by("stations").querySelector(`button[data-key="${button}"]`)?.focus();
  } else if (at) {
    by("stations").querySelector("summary")?.focus();
  }
}

// On a phone the tools are in the one menu.
const phone = matchMedia("(max-width: 60rem)");

function placeTools() {
  const list = by("stations").querySelector("details");
  if (phone.matches && list) {
    list.append(by("tools"));
  } else if (!phone.matches) {
    document.querySelector("header.top").append(by("tools"));
  }
}

let workShown = "";

function showWork(options) {
  const path = stationPath();
  const place = by("work");
  const key = JSON.stringify(path);
  const moved = key !== workShown;
  if (moved) {
    form.forget();
    textArea = null;
    workShown = key;
  }
  if (moved && photoRings.photo && JSON.stringify(photoRings.photo.path.slice(0, 2)) !== key) {
    photoRings.end();
  }
  if (path[0] === "today") {
    if (moved || !place.querySelector(".piece-picture")) {
      place.replaceChildren(...todayWork());
    }
    picture.show(place.querySelector(".piece-picture"), job.forecast);
    showProblems(place, true);
    return;
  }
  if (path[0] === "questions") {
    questions.show(place, (at) => valueAt(job.document, at), job.unfit, moved);
    picture.show(place.querySelector(".piece-picture"), job.forecast);
    return;
  }
  if (path[0] === "file") {
    showText(place, moved || options.again);
    return;
  }
  if (path[0] === "measured") {
    measured(place, moved, options);
    return;
  }
  const section = SECTIONS.find((one) => one.key === path[0]);
  if (!section) {
    location.hash = "#today";
    return;
  }
  if (path.at(-1) === "+") {
    if (moved || options.again) {
      adding(place, section);
    }
    return;
  }
  const many = section.list || section.named || section.kinds;
  if (many && path.length === 1) {
    overview(place, section);
    picture.show(place.querySelector(".piece-picture"), job.forecast);
    return;
  }
  if (many && valueAt(job.document, path) === undefined) {
    location.hash = hashOf([section.key]);
    return;
  }
  let body = place.querySelector(":scope > .form");
  if (moved || !body || options.again) {
    body = element("div", { class: "form" });
    place.replaceChildren(...heading(path, section), element("div", { class: "problems" }), body, ...footing(path, section));
    form.forget();
  }
  const title = place.querySelector("h2");
  title.textContent = titleOf(path, section);
  const atRings = ringsDrawing.hasFocus();
  form.show(body, path, job.document ?? {}, job.problems, options.again || options.reform);
  if (options.focus) {
    form.focusOn(options.focus);
  }
  showDrawings(path, place, body);
  if (atRings) {
    ringsDrawing.focus();
  }
  showProblems(place, false);
}

// The large form of what was measured is built once a visit and after each entry, so that nothing moves under a thumb.
function measured(place, moved, options) {
  const said = job.forecast?.steps.find((one) => one.id === "log")?.html ?? "";
  if (moved) {
    forgetMeasured();
  } else if (!options.again && place.querySelector(":scope > .measured")) {
    sayMeasured(place, said);
    return;
  }
  const view = {
    document: job.document,
    problems: job.problems,
    cards: job.forecast?.cards ?? [],
    said,
    system: job.document?.job?.units === "inch" ? "inch" : "mm",
    help: (key) => form.schemaAt(["log", 0, key]).description ?? "",
  };
  showMeasured(place, view, {
    write: (at, entry) => change([{ at, insert: entry }], { again: true, full: true }),
    takeOut: (at) => change([{ at, to: null }], { again: true }),
  });
}

// The end of a part, a board or a leaf: its size, and its pith where it has one.
function endAt(path) {
  const key = JSON.stringify(path);
  return job.forecast?.ends?.find((end) => JSON.stringify(end.at) === key);
}

// What a hand acts on beside the fields: the rings of a part or a board, the leaves of a panel, the air of a place.
function showDrawings(path, place, body) {
  const name = nameAt(path);
  for (const set of body.querySelectorAll('fieldset[data-key="rings"]')) {
    const owner = JSON.parse(set.dataset.path).slice(0, -1);
    if (!set.querySelector(":scope > .chooser")) {
      set.querySelector("legend").after(fileChooser("Rings from a photo of the end (JPEG, PNG)", ".jpg,.jpeg,.png,image/jpeg,image/png", (file) => readFile(file, owner)));
    }
  }
  if (path[0] === "parts" || path[0] === "boards") {
    const set = [...body.querySelectorAll('fieldset[data-key="rings"]')].find((one) => one.dataset.path === JSON.stringify([...path, "rings"]));
    const section = path[0] === "parts" ? figuresAbout(path).find((figure) => figure.id.startsWith("section-")) : null;
    ringsDrawing.show(set, path, endAt(path), form.system() === "inch", section ? job.forecast.plates[section.id] : null, waiting !== null);
  }
  if (photoRings.photo && !photoRings.node.isConnected) {
    body.before(photoRings.node);
  }
  if (path[0] === "panels") {
    let bench = place.querySelector(":scope > .bench-place");
    if (!bench) {
      bench = element("div", { class: "bench-place" });
      body.before(bench);
    }
    leavesBench.show(bench, job.forecast?.panels?.find((one) => one.name === name), job.text);
  }
  if (path[0] === "places" && path.length === 2) {
    showAir(path, place, body);
  }
}

let airShown = "";

// The year of a place, and what it was before a file was dropped on it.
async function showAir(path, place, body) {
  let plate = place.querySelector(":scope > .air-year");
  if (!plate) {
    plate = element("div", { class: "air-year" });
    body.before(plate);
    airShown = "";
  }
  const before = airBefore.get(path[1]) ?? null;
  const shown = JSON.stringify([path, valueAt(job.document, path), before]);
  if (shown === airShown || job.broken) {
    return;
  }
  airShown = shown;
  try {
    const { figure } = await talk.air({ question: question(null), place: path[1], before });
    if (airShown === shown) {
      plate.innerHTML = figure;
    }
  } catch {
    // The form says what is wrong with it.
  }
}

function titleOf(path, section) {
  if (path.length === 1) {
    return section.name;
  }
  const name = nameAt(path);
  return section.kinds ? `${kindName(path[1])}: ${name}` : `${section.one}: ${name}`;
}

function heading(path, section) {
  const made = [element("h2", {}, titleOf(path, section))];
  const described = form.resolve(form.schemaAt(path)).description ?? form.schemaAt(path).description;
  if (described) {
    made.push(element("p", { class: "help lead" }, described.split("\n\n")[0]));
  }
  if (path[0] === "places" && path.length === 2) {
    made.push(dropPlace(path));
  }
  if (path[0] === "panels" && path.length === 2) {
    made.push(fileChooser("Leaves from a file of rows (CSV)", ".csv,text/csv", (file) => readFile(file, path)));
  }
  return made;
}

function fileChooser(name, accept, chosen) {
  const input = element("input", { type: "file", accept, onchange: () => input.files[0] && chosen(input.files[0]) });
  return element("p", { class: "chooser" }, element("label", {}, `${name} `, input));
}

function dropPlace(path) {
  const value = valueAt(job.document, path) ?? {};
  const name = value.logger?.file ?? value.weather;
  const given = name ? dropped.get(name) : null;
  return element(
    "div",
    { class: "drop" },
    element("p", {}, "Drop a logger\u2019s file or a weather file (EPW) on this page, or choose it."),
    fileChooser("File", ".csv,.txt,.epw,text/csv", (file) => readFile(file, path)),
    given ? element("p", { class: "read" }, element("strong", {}, `${name}: `), given) : null,
  );
}

function footing(path, section) {
  if (!(section.list || section.kinds) || typeof path.at(-1) !== "number") {
    return [];
  }
  const name = nameAt(path);
  return [
    element(
      "p",
      { class: "footing" },
      element(
        "button",
        {
          type: "button",
          onclick: () => {
            const list = path.slice(0, -1);
            const count = valueAt(job.document, list).length;
            const at = [...list, count];
            const copy = follow(valueAt(job.document, path), count);
            change([{ at, insert: copy }], { again: true, then: () => go(at) });
          },
        },
        `Copy this ${section.one}`,
      ),
      " ",
      element(
        "button",
        {
          type: "button",
          onclick: () => {
            change([{ at: path, to: null }], {
              again: true,
              then: () => {
                say(`${name} is taken out. Undo brings it back.`);
                go([section.key]);
              },
            });
          },
        },
        `Take out this ${section.one}`,
      ),
    ),
  ];
}

function todayWork() {
  return [
    element("h2", {}, "The whole piece"),
    element("p", { class: "measured-open" }, element("a", { class: "button", href: "#measured" }, "What did you measure?")),
    element("p", { class: "help lead" }, "Choose a part or a joint to change it."),
    element("div", { class: "problems" }),
    element("div", { class: "piece-picture", hidden: true }),
  ];
}

function showProblems(place, always) {
  const box = place.querySelector(":scope > .problems");
  if (!box) {
    return;
  }
  const path = stationPath();
  const others = job.problems.filter((one) => always || !startsWith(one.at, path) || one.at.length === 0);
  const picture = JSON.stringify(others);
  if (box.dataset.shown === picture) {
    return;
  }
  box.dataset.shown = picture;
  box.replaceChildren();
  if (others.length > 0) {
    box.append(element("h3", {}, always ? "To fix first" : "Errors in other fields"), problemList(others));
  }
}

function problemList(problems) {
  return element(
    "ul",
    { class: "problem-list" },
    ...problems.map((one) => {
      const target = homeOf(one.at);
      return element(
        "li",
        {},
        target ? element("a", { href: hashOf(target), onclick: () => setTimeout(() => form.focusOn(one.at), 50) }, nameOf(one.at)) : nameOf(one.at),
        `: ${one.what}. ${one.remedy}`,
      );
    }),
  );
}

const nameOf = (at) => (at.length === 0 ? "The job file" : at.filter((one) => typeof one === "string").join(" "));

// The station where the thing at `at` is given.
function homeOf(at) {
  if (at[0] === "log") {
    return ["measured"];
  }
  const section = SECTIONS.find((one) => one.key === at[0]);
  if (!section) {
    return ["file"];
  }
  if (section.kinds) {
    return at.length >= 3 ? at.slice(0, 3) : [section.key];
  }
  if (section.list || section.named) {
    return at.length >= 2 ? at.slice(0, 2) : [section.key];
  }
  return [section.key];
}

let overviewShown = "";

function overview(place, section) {
  const value = job.document?.[section.key];
  const rows = [];
  if (section.kinds) {
    for (const [kind, list] of Object.entries(value ?? {})) {
      (Array.isArray(list) ? list : []).forEach((_, index) => rows.push([[section.key, kind, index], kindName(kind)]));
    }
  } else if (section.named) {
    placeNames(value ?? {}).forEach((name) => rows.push([[section.key, name], ""]));
  } else {
    (value ?? []).forEach((one, index) => rows.push([[section.key, index], summaryOf(one)]));
  }
  const shown = JSON.stringify([section.key, rows, rows.map(([path]) => nameAt(path))]);
  if (overviewShown === shown && place.querySelector(".overview")) {
    showProblems(place, true);
    return;
  }
  overviewShown = shown;
  place.replaceChildren(
    element("h2", {}, section.name),
    element("p", { class: "help lead" }, form.schemaAt([section.key]).description ?? ""),
    element("div", { class: "problems" }),
    element("div", { class: "piece-picture", hidden: true }),
    element(
      "ul",
      { class: "overview" },
      ...rows.map(([path, more]) => element("li", {}, element("a", { href: hashOf(path) }, nameAt(path) ?? ""), more ? ` ${more}` : "")),
    ),
    element("p", {}, element("button", { type: "button", onclick: () => go([section.key, "+"]) }, `Add a ${section.one}`)),
  );
  showProblems(place, true);
}

const summaryOf = (one) => [one.species, one.width, one.thickness, one.length].filter(Boolean).join(" \u00b7 ");

// Begins a new thing: at once where there is one kind, else a choice of kinds.
function adding(place, section) {
  if (section.kinds) {
    const kinds = form.resolve(form.schemaAt([section.key])).properties;
    const button = (kind) =>
      element(
        "li",
        {},
        element("button", { type: "button", class: "kind", onclick: () => addJoint(kind) }, thumbnail(`joint-${kind}`), element("span", {}, kindName(kind))),
        element("span", {}, kinds[kind].description ?? ""),
      );
    const grouped = new Set(JOINT_GROUPS.flatMap((group) => group.kinds));
    const groups = [...JOINT_GROUPS, { name: "Others", kinds: Object.keys(kinds).filter((kind) => !grouped.has(kind)) }];
    place.replaceChildren(
      element("h2", {}, "Which joint?"),
      ...groups
        .map((group) => ({ ...group, kinds: group.kinds.filter((kind) => kinds[kind]) }))
        .filter((group) => group.kinds.length > 0)
        .flatMap((group) => [element("h3", {}, group.name), element("ul", { class: "begin kinds" }, ...group.kinds.map(button))]),
    );
    return;
  }
  if (section.named) {
    const input = element("input", { type: "text", id: "new-place" });
    const add = () => {
      const name = input.value.trim();
      if (name === "" || job.document?.places?.[name]) {
        say(name === "" ? "Write a name for the place." : `There is a place called ${name} already.`);
        return;
      }
      const system = form.system();
      const air = { temperature: beginning("temperature", "a temperature", system), humidity: "50%" };
      change([{ at: [section.key, name], to: { air } }], { again: true, then: () => go([section.key, name]) });
    };
    input.addEventListener("keydown", (event) => event.key === "Enter" && add());
    place.replaceChildren(
      element("h2", {}, "Which place?"),
      element("div", { class: "field" }, element("label", { for: "new-place" }, "name of the place"), input),
      element("p", {}, element("button", { type: "button", onclick: add }, "Add it")),
    );
    return;
  }
  insert([section.key]);
}

// Two parts to begin a joint with: two that meet and have none yet, else two that meet.
function pairFor() {
  const parts = job.document?.parts ?? [];
  const meet = (job.forecast?.meetings ?? []).map((pair) => pair.map((index) => parts[index]?.name)).filter((pair) => pair.every(Boolean));
  const joined = new Set(
    Object.values(job.document?.joints ?? {})
      .flat()
      .map((one) => JSON.stringify([one.piece, one.into])),
  );
  return meet.find((pair) => !joined.has(JSON.stringify(pair))) ?? meet[0] ?? null;
}

const ASKED_AGAIN = 6;

// A joint with everything that must be given: what follows from no place is filled in with something usual, as one step.
async function addJoint(kind) {
  const now = valueAt(job.document, ["joints", kind]) ?? [];
  const at = ["joints", kind, now.length];
  const pair = pairFor();
  const made = form.begin(at, undefined, pair ? { piece: pair[0], into: pair[1] } : {});
  const schema = form.resolve(form.schemaAt(at)).properties;
  for (let turn = 0; turn < ASKED_AGAIN; turn += 1) {
    let given;
    try {
      given = await talk.answer({ ...question(16, [{ at, insert: made }]), figures: [] });
    } catch {
      break;
    }
    const lacking = given.problems
      .filter((one) => startsWith(one.at, at))
      .map((one) => one.what.match(/^the joint has no `([a-z_]+)`/)?.[1])
      .filter((key) => key && made[key] === undefined && schema[key]);
    if (lacking.length === 0) {
      break;
    }
    for (const key of lacking) {
      made[key] = form.usualOf(key, at, schema[key]);
    }
  }
  change([{ at, insert: made }], { again: true, then: () => go(at) });
}

function insert(list) {
  const now = valueAt(job.document, list) ?? [];
  const at = [...list, now.length];
  const given = {};
  if (list[0] === "parts" || list[0] === "boards") {
    const last = now.at(-1) ?? job.document?.parts?.[0] ?? {};
    for (const key of list[0] === "parts" ? ["species", "thickness", "width", "length", "moisture"] : ["species"]) {
      given[key] = last[key];
    }
    given.name = `${list[0] === "parts" ? "part" : "board"} ${now.length + 1}`;
  }
  if (list[0] === "panels") {
    given.name = `panel ${now.length + 1}`;
    given.match = "slip-match";
  }
  const made = form.begin(at, undefined, given);
  if (list[0] === "parts") {
    made.rings = { sawn: "flat" };
  }
  if (list[0] === "boards") {
    made.moisture = "9%";
    made.leaves = 2;
  }
  if (list[0] === "panels") {
    const leaf = form.begin([...at, "leaves", 0]);
    made.species = job.document?.parts?.[0]?.species ?? "";
    made.moisture = "9%";
    made.leaves = [
      { ...leaf, leaf: "A1" },
      { ...leaf, leaf: "A2" },
    ];
  }
  if (list[0] === "straighten" || list[0] === "shelves") {
    const part = job.document?.parts?.find((one) => one.name === made.part);
    if (list[0] === "straighten" && part) {
      made.supports = `0 mm, ${part.length}`;
    }
    if (list[0] === "shelves") {
      made.load = beginning("load", "a load", form.system());
    }
  }
  change([{ at, insert: made }], { again: true, then: () => go(at) });
}

// ---- The text itself --------------------------------------------------------------------------------------------

function showText(place, rebuild) {
  if (rebuild || !textArea) {
    textArea = element("textarea", { id: "text", spellcheck: "false", autocapitalize: "off", "aria-describedby": "text-help", rows: 30 });
    textArea.value = job.text;
    textArea.addEventListener("input", () => {
      remember([], { from: "text" });
      job.text = textArea.value;
      keepDraft();
      change([], { from: "text" });
    });
    place.replaceChildren(
      element("h2", {}, "The job file"),
      element("div", { class: "problems" }),
      element("label", { for: "text" }, job.name),
      element("p", { class: "help", id: "text-help" }, "This text is the whole job: the forms write into it, and the command line reads the same."),
      textArea,
    );
  } else if (textArea !== document.activeElement && textArea.value !== job.text) {
    textArea.value = job.text;
  }
  const box = place.querySelector(".problems");
  const picture = JSON.stringify(job.problems);
  if (box.dataset.shown === picture) {
    return;
  }
  box.dataset.shown = picture;
  box.replaceChildren(
    ...job.problems.map((one) =>
      element(
        "div",
        { class: "picture" },
        element("pre", { tabindex: "0", "aria-label": "The place of the error" }, one.picture),
        element("button", { type: "button", class: "small-button", onclick: () => toLine(one.line, one.column) }, `To line ${one.line}`),
      ),
    ),
  );
}

function toLine(line, column) {
  const lines = textArea.value.split("\n");
  const start = lines.slice(0, line - 1).reduce((sum, one) => sum + one.length + 1, 0);
  textArea.focus();
  textArea.setSelectionRange(start + column - 1, start + (lines[line - 1]?.length ?? 0));
  textArea.scrollTop = Math.max(0, ((line - 4) / lines.length) * textArea.scrollHeight);
}

// ---- Answers ----------------------------------------------------------------------------------------------------

// A remedy as one change: one step back undoes it.
function apply(edits, what) {
  form.chosenWays.clear();
  change(edits, { again: true });
  say(`Applied: ${what}. Undo takes it back.`);
}

function showAnswers() {
  showBar();
  const forecast = job.forecast;
  if (!forecast) {
    answers.show([
      {
        key: "none",
        html: "<h2>Answers</h2><p>Answers come as soon as the job can be read.</p>",
      },
    ]);
    return;
  }
  const path = stationPath();
  const item = isItem(path);
  const about = item ? nameAt(path) : null;
  const blocks = [head(forecast, job.stale, about)];
  if (item) {
    const { own, joints } = namesAbout(path);
    const cards = forecast.cards.filter((card) => aboutName(card.joint, own) || aboutName(card.joint, joints));
    if (cards.length > 0) {
      blocks.push(cardsBlock(cards, apply));
    }
    // The end of a part stands beside its rings.
    const beside = (figure) => path[0] === "parts" && figure.id.startsWith("section-");
    blocks.push(...plateBlocks(figuresAbout(path).filter((figure) => !beside(figure)), forecast.plates));
  } else if (path[0] === "measured") {
    blocks.push(...forecast.steps.filter((one) => one.id === "log").map((one) => ({ key: one.id, html: one.html })));
    blocks.push(...plateBlocks(figuresAbout(path), forecast.plates));
    blocks.push(cardsBlock(forecast.cards, apply));
  } else if (path[0] === "glue" || path[0] === "install") {
    const id = path[0] === "glue" ? "glue-up" : "on-site";
    blocks.push(...forecast.steps.filter((one) => one.id === id).map((one) => ({ key: one.id, html: one.html })));
    blocks.push(...plateBlocks(figuresAbout(path), forecast.plates));
  } else {
    blocks.push(cardsBlock(forecast.cards, apply));
    if (path[0] === "today") {
      blocks.push(...sheets(forecast));
    }
  }
  answers.show(blocks);
}

// The bar of a phone: what the answers are, and the way to them.
function showBar() {
  const cards = job.forecast?.cards;
  by("bar").hidden = false;
  by("bar-tally").textContent = cards ? tallyWords(cards) : "No answers yet";
  by("bar").classList.toggle("doubtful", job.stale);
}

function openAnswers(open) {
  document.body.classList.toggle("answers-open", open);
  by("bar-button").setAttribute("aria-expanded", String(open));
  by("bar-button").textContent = open ? "Close the answers" : "Answers";
  if (open) {
    by("answers").scrollTop = 0;
  }
}

// ---- Files dropped on the page -----------------------------------------------------------------------------------

async function readFile(file, path) {
  if (/\.toml$/i.test(file.name)) {
    openJob(file.name, await file.text());
    return;
  }
  say(`Reading ${file.name}\u2026`);
  let given;
  try {
    given = await talk.read(file.name, file);
  } catch (error) {
    if (error instanceof talk.Gone) {
      gone();
    } else {
      trouble(`${file.name} was not taken: ${error.message}`);
    }
    return;
  }
  trouble("");
  job.files.set(file.name, { id: given.id, blob: file });
  keep.keepFile(given.id, file);
  dropped.set(file.name, given.words);
  say(`${file.name}: ${given.words}`);
  use(given, file.name, path);
}

function use(given, name, path) {
  const again = { again: true };
  if (given.kind === "species") {
    change([{ at: ["job", "species"], to: name }], again);
    return;
  }
  if (given.kind === "photo") {
    const end = endAt(path);
    if (!end) {
      const owner = ["parts", "boards"].includes(path[0]) && path.length > 1;
      say(
        owner
          ? `${name} is a photo: give the ${path[0] === "parts" ? "part" : "board"} its width and thickness first.`
          : `${name} is a photo: open the part or board whose end it shows and drop it there, or choose it at the rings of the leaf.`,
      );
      return;
    }
    photoRings.begin({ id: given.id, name, path, width_mm: end.width_mm, thickness_mm: end.thickness_mm, inch: form.system() === "inch" });
    show({});
    photoRings.node.scrollIntoView({ block: "start" });
    return;
  }
  if (given.kind === "leaves") {
    const at = path[0] === "panels" && path.length === 2 ? path : ["panels", 0];
    if (!valueAt(job.document, at)) {
      say(`${name} holds leaves: add a panel first, then drop it there.`);
      return;
    }
    change([{ at: [...at, "leaves"], to: null }, { at: [...at, "leaves_file"], to: name }], again);
    return;
  }
  if (path[0] === "places" && path.length === 2 && path[1] !== "+") {
    tellPlace(given, name, path);
    return;
  }
  askPlace(given, name);
}

function tellPlace(given, name, path) {
  const ways = ["air", "seasons", "months", "place", "logger", "weather"];
  const value = valueAt(job.document, path) ?? {};
  const keep = given.kind === "weather" ? "weather" : "logger";
  const out = ways.filter((way) => way !== keep && value[way] !== undefined).map((way) => ({ at: [...path, way], to: null }));
  if (keep === "logger" && value.indoor !== undefined) {
    out.push({ at: [...path, "indoor"], to: null });
  }
  const set = keep === "weather" ? [{ at: [...path, "weather"], to: name }] : [{ at: [...path, "logger"], to: { file: name } }];
  if (keep === "weather" && value.indoor === undefined && path[1] === "home") {
    set.push({ at: [...path, "indoor"], to: { heat_to: form.system() === "inch" ? "68F" : "20C" } });
  }
  form.chosenWays.clear();
  airBefore.set(path[1], job.text);
  change([...set, ...out], { again: true, then: () => go(path) });
}

function askPlace(given, name) {
  const place = by("work");
  const places = Object.keys(job.document?.places ?? {});
  workShown = "";
  place.replaceChildren(
    element("h2", { tabindex: "-1" }, `Whose air is ${name}?`),
    element("p", { class: "lead" }, dropped.get(name)),
    element(
      "ul",
      { class: "begin" },
      ...places.map((one) =>
        element("li", {}, element("button", { type: "button", onclick: () => tellPlace(given, name, ["places", one]) }, one)),
      ),
    ),
  );
  place.querySelector("button")?.focus();
}

// Hands files over again that the program no longer has, because it was started again.
async function sendAgain() {
  let sent = false;
  for (const [name, file] of job.files) {
    if (file.blob) {
      try {
        file.id = (await talk.read(name, file.blob)).id;
        sent = true;
      } catch {
        return false;
      }
    }
  }
  return sent;
}

// ---- Beginning, saving --------------------------------------------------------------------------------------------

async function openJob(name, text, files = {}, steps = { before: [], after: [] }) {
  if (job.text !== "" && job.text !== text) {
    await keep.begin();
  }
  job.name = name;
  job.text = text;
  job.document = null;
  job.forecast = null;
  job.whole = null;
  job.few = null;
  job.fewNow = null;
  job.unfit = null;
  job.before = steps.before;
  job.after = steps.after;
  answering = null;
  airBefore.clear();
  photoRings.end();
  job.files = new Map(await Promise.all(Object.entries(files).map(async ([file, id]) => [file, { id, blob: await keep.fileKept(id) }])));
  form.forget();
  form.chosenWays.clear();
  answers.forget();
  workShown = "";
  keepDraft();
  if (location.hash === "") {
    history.replaceState(null, "", "#today");
  }
  change([], { again: true });
}

function download(name, blob) {
  const address = URL.createObjectURL(blob);
  const link = element("a", { href: address, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(address), 10000);
}

async function withProgram(work) {
  try {
    await work();
    connected();
  } catch (error) {
    if (error instanceof talk.Gone) {
      gone();
    } else if (error.problems?.length) {
      trouble("The job does not read yet: fix what is listed, then try again.");
      go(["today"]);
    } else {
      trouble(error.message);
    }
  }
}

const stem = () => job.name.replace(/\.toml$/i, "") || "job";

function saveJob() {
  download(`${stem()}.toml`, new Blob([job.text], { type: "application/toml" }));
  say(`${stem()}.toml is saved where this browser saves files.`);
}

function makeReport() {
  say("Making the report\u2026");
  return withProgram(async () => {
    const address = await talk.report(question(null));
    say(
      "The report is ready: ",
      element("a", { href: address, target: "_blank", id: "open-report" }, "open it to read or print"),
      " or ",
      element("a", { href: address, download: `${stem()}-report.html`, id: "save-report" }, "save it"),
      ".",
    );
  });
}

function saveNumbers() {
  return withProgram(async () => {
    download(`${stem()}-forecast.json`, await talk.numbers(question(null)));
    say(`${stem()}-forecast.json is saved where this browser saves files.`);
  });
}

async function showStart() {
  by("start").hidden = false;
  by("shop").hidden = true;
  by("tools").hidden = true;
  by("bar").hidden = true;
  openAnswers(false);
  document.body.classList.remove("at-work");
  by("piece").textContent = "How will the wood move?";
  document.title = "heartside: how will the wood move?";
  const drafts = await keep.list();
  by("kept").hidden = drafts.length === 0;
  by("kept-list").replaceChildren(
    ...drafts.map(({ id, draft }) =>
      element(
        "li",
        {},
        element(
          "button",
          {
            type: "button",
            onclick: async () => {
              const found = await keep.goOn(id);
              if (found) {
                job.text = "";
                if (found.begun) {
                  rememberBegun(found.text, found.begun);
                }
                openJob(found.name, found.text, found.files);
              }
            },
          },
          draft.piece,
        ),
        element(
          "span",
          {},
          `${draft.name}, last changed ${new Date(draft.at).toLocaleString()} `,
          element(
            "button",
            {
              type: "button",
              class: "small-button",
              "aria-label": `Throw away the draft ${draft.piece}`,
              onclick: () => {
                keep.forget(id);
                showStart();
              },
            },
            "Throw away",
          ),
        ),
      ),
    ),
  );
}

async function beginWith(address, edits = []) {
  if (!(await started())) {
    return;
  }
  await withProgram(async () => {
    const { name, text, files } = await talk.get(address);
    const dated = edits.length > 0 ? (await talk.answer({ text, name, edits, draws: 16 })).text : text;
    history.replaceState(null, "", "#today");
    await openJob(name, dated, files);
  });
}

// What was answered last, while the program is still asked about it.
let answering = null;

// The first of the five questions is answered: the piece is there with its usual sizes, and the others stand beside its answers.
async function beginPiece(word) {
  if (!(await started())) {
    return;
  }
  await withProgram(async () => {
    const state = startOf(word);
    const name = `my-${word}.toml`;
    const { text } = await talk.answer({ text: "", name, beginning: beginningOf(state), edits: datesFromToday(), draws: 16 });
    rememberBegun(text, state);
    history.replaceState(null, "", "#questions");
    await openJob(name, text);
    by("work").focus({ preventScroll: true });
  });
}

// An answer to one of the five questions. A size makes the piece again, with every other answer kept.
function answerQuestion(state, edits, remade) {
  if (state.kind) {
    answering = state;
  }
  if (remade) {
    const all = [...datesFromToday(), ...editsOf(state.answers, !state.metric)];
    change(all, { beginning: beginningOf(state), begun: state, from: ["questions", "size"] });
  } else {
    change(edits, { begun: state.kind ? state : null, from: ["questions", ...edits.flatMap((one) => one.at)] });
  }
}

function names(list) {
  const own = (values) => values.map((name) => ({ name: String(name) }));
  switch (list) {
    case "species":
      return words.species;
    case "places":
    case "finishes":
    case "glues":
    case "dryings":
      return own(words[list]);
    case "job parts":
      return own((job.document?.parts ?? []).map((one) => one.name).filter(Boolean));
    case "job boards":
      return own((job.document?.boards ?? []).map((one) => one.name).filter(Boolean));
    case "job places":
      return own(Object.keys(job.document?.places ?? {}));
    default:
      return [];
  }
}

function listen() {
  by("begin-kinds").replaceChildren(...firstQuestion(beginPiece));
  by("begin-demo").addEventListener("click", () => beginWith("start/demo"));
  by("begin-blank").addEventListener("click", () => beginWith("start/blank", datesFromToday()));
  by("bar-button").addEventListener("click", () => openAnswers(!document.body.classList.contains("answers-open")));
  addEventListener("keydown", (event) => {
    if (event.key === "Escape" && document.body.classList.contains("answers-open")) {
      openAnswers(false);
      by("bar-button").focus();
    }
  });
  phone.addEventListener("change", () => {
    placeTools();
    openAnswers(false);
  });
  by("begin-file").addEventListener("change", async (event) => {
    const file = event.target.files[0];
    if (file && (await started())) {
      openJob(file.name, await file.text());
    }
  });
  by("undo").addEventListener("click", () => step(job.before, job.after));
  by("redo").addEventListener("click", () => step(job.after, job.before));
  by("save-job").addEventListener("click", saveJob);
  by("make-report").addEventListener("click", makeReport);
  by("save-numbers").addEventListener("click", saveNumbers);
  by("other-job").addEventListener("click", async () => {
    keepDraft();
    job.text = "";
    job.document = null;
    await keep.begin();
    showStart();
    by("begin-kinds").querySelector("button").focus();
  });
  history.scrollRestoration = "manual";
  addEventListener("hashchange", (event) => {
    if (job.text === "") {
      return;
    }
    scrolled.set(new URL(event.oldURL).hash, scrollY);
    openAnswers(false);
    if (phone.matches) {
      const list = by("stations").querySelector("details");
      if (list) {
        list.open = false;
      }
    }
    show({});
    by("work").focus({ preventScroll: true });
    scrollTo(0, scrolled.get(location.hash) ?? Math.min(scrollY, by("shop").offsetTop));
    if (job.forecast && wantedFigures().some((id) => !(id in job.forecast.plates))) {
      change([], { figuresAsked: wantedFigures().join(), full: job.forecast.draws === job.forecast.full_draws });
    }
  });
  addEventListener("dragover", (event) => {
    event.preventDefault();
    document.body.classList.add("dropping");
  });
  addEventListener("dragleave", (event) => {
    if (event.relatedTarget === null) {
      document.body.classList.remove("dropping");
    }
  });
  addEventListener("drop", async (event) => {
    event.preventDefault();
    document.body.classList.remove("dropping");
    const all = [...(event.dataTransfer?.files ?? [])];
    if (!(await started())) {
      return;
    }
    for (const file of all) {
      if (job.text === "" && !/\.toml$/i.test(file.name)) {
        say("Begin a job first, then drop its loggers and weather files.");
      } else {
        await readFile(file, stationPath());
      }
    }
  });
}

// What is begun before the program has started waits for it.
let starting = null;

async function started() {
  if (!schema) {
    say("One moment\u2026");
    await starting;
    say("");
  }
  return schema !== null;
}

async function boot() {
  listen();
  starting = withProgram(async () => {
    [schema, words] = await Promise.all([talk.get("schema"), talk.get("words")]);
    form = new Form(schema, names, change);
    answers = new Answers(by("answers"));
    questions = new Questions(() => answering ?? begun.get(job.text) ?? null, names, answerQuestion);
  });
  await starting;
  if (!schema) {
    return;
  }
  const before = await keep.mineAgain();
  if (before?.text) {
    if (before.begun) {
      rememberBegun(before.text, before.begun);
    }
    await openJob(before.name, before.text, before.files, keep.steps());
    return;
  }
  const given = await talk.get("start/given").catch(() => null);
  if (given) {
    history.replaceState(null, "", "#today");
    await openJob(given.name, given.text, given.files);
  } else if (job.text === "") {
    showStart();
  }
}

boot();
