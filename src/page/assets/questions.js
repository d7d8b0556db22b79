// Five questions that begin a piece: what, how large, of which wood, where it is made and goes, how moist the wood is. The
// program writes the job from the first two; the others are edits of it.
import { element, sketch } from "./forms.js";
import { offer } from "./pick.js";

export const KINDS = [
  { word: "case", name: "A case or sideboard", more: "Bays, shelves and a back of boards, all housed.", bays: 3, shelves: 1 },
  { word: "bookcase", name: "A bookcase", more: "Two sides and shelves between them.", bays: 1, shelves: 4 },
  { word: "table", name: "A table", more: "A top of boards on aprons and legs, held by buttons." },
  { word: "chest", name: "A chest", more: "Dovetailed corners, a bottom in a groove, a lid." },
  { word: "frame-door", name: "A framed door", more: "Stiles, rails and a panel free in its groove." },
];

const SIZES = {
  case: ["58in", "31in", "16in"],
  bookcase: ["36in", "72in", "12in"],
  table: ["72in", "30in", "36in"],
  chest: ["40in", "20in", "18in"],
  "frame-door": ["18in", "28in", "7/8in"],
};

const METRIC_SIZES = {
  case: ["1470 mm", "790 mm", "405 mm"],
  bookcase: ["915 mm", "1830 mm", "305 mm"],
  table: ["1830 mm", "760 mm", "915 mm"],
  chest: ["1015 mm", "510 mm", "455 mm"],
  "frame-door": ["455 mm", "710 mm", "22 mm"],
};

const pad = (number) => String(number).padStart(2, "0");
const iso = (date) => `${date.getFullYear()}-${pad(date.getMonth() + 1)}-${pad(date.getDate())}`;

// A new job is measured today; six weeks later it is delivered.
export function datesFromToday() {
  const today = new Date();
  const later = new Date(today.getFullYear(), today.getMonth(), today.getDate() + 42);
  return [
    { at: ["schedule", "measured"], to: iso(today) },
    { at: ["schedule", "delivered"], to: iso(later) },
  ];
}

export function startOf(word, metric = false) {
  const kind = KINDS.find((one) => one.word === word);
  const [width, height, depth] = (metric ? METRIC_SIZES : SIZES)[word];
  return { kind: word, width, height, depth, bays: kind.bays ?? null, shelves: kind.shelves ?? null, metric, answers: {} };
}

export function beginningOf({ kind, width, height, depth, bays, shelves, metric }) {
  const given = { kind, metric };
  for (const [key, value] of Object.entries({ width, height, depth })) {
    if (value) {
      given[key] = value;
    }
  }
  return { ...given, ...(bays ? { bays } : {}), ...(shelves === null ? {} : { shelves }) };
}

// What the answers to the later questions change in the file.
export function editsOf(answers, inch) {
  const edits = [];
  const set = (key, path, to) => {
    if (answers[key]) {
      edits.push({ at: path, to: to ?? answers[key] });
    }
  };
  set("wood", ["defaults", "species"]);
  set("humidity", ["places", "shop", "air", "humidity"]);
  set("temperature", ["places", "shop", "air", "temperature"]);
  if (answers.goes) {
    edits.push({ at: ["places", "home", "seasons"], to: null });
    edits.push({ at: ["places", "home", "place"], to: answers.goes });
    edits.push({ at: ["places", "home", "indoor"], to: { heat_to: inch ? "70F" : "20C" } });
  }
  set("winter", ["places", "home", "seasons", "winter"]);
  set("summer", ["places", "home", "seasons", "summer"]);
  set("moisture", ["defaults", "moisture"]);
  return edits;
}

// A built-in place is taken back: usual seasons stand for it.
function seasonsAgain(inch) {
  return [
    { at: ["places", "home", "place"], to: null },
    { at: ["places", "home", "indoor"], to: null },
    { at: ["places", "home", "seasons"], to: { winter: "30%", summer: "55%", temperature: inch ? "70F" : "20C" } },
  ];
}

export const thumbnail = (word) => sketch(word, "thumb");

// The first question, on the page that the program opens with.
export function firstQuestion(begin) {
  return KINDS.map((kind) =>
    element(
      "li",
      {},
      element("button", { type: "button", class: "kind", onclick: () => begin(kind.word) }, thumbnail(`kind-${kind.word}`), element("span", {}, kind.name)),
      element("span", {}, kind.more),
    ),
  );
}

// Questions two to five, beside their answers.
export class Questions {
  // `state()` gives what the piece was begun with, or null once it was changed elsewhere; `ask(state, edits, remade)` takes an answer.
  constructor(state, names, ask) {
    this.state = state;
    this.names = names;
    this.ask = ask;
    this.ids = 0;
    this.fields = [];
  }

  field(key, name, value, changed, more = {}) {
    const id = `question-${(this.ids += 1)}`;
    const input = element("input", { type: "text", id, spellcheck: "false", autocapitalize: "off", placeholder: more.placeholder });
    input.value = value ?? "";
    input.disabled = more.disabled ?? false;
    const take = () => {
      const text = input.value.trim();
      if (text !== (this.last.get(key) ?? "")) {
        this.last.set(key, text);
        changed(text);
      }
    };
    this.last.set(key, input.value);
    input.addEventListener("change", take);
    const field = element("div", { class: "field" }, element("label", { for: id }, name), input);
    if (more.list) {
      offer(input, () => this.names(more.list), take);
    }
    this.fields.push({ key, input });
    return field;
  }

  question(number, name, ...inside) {
    return element("fieldset", { class: "question" }, element("legend", {}, `${number}. ${name}`), ...inside);
  }

  // Builds the questions into `place`; `value(path)` is what the file has.
  show(place, value, unfit, rebuild) {
    const state = this.state();
    const shape = JSON.stringify([state?.kind ?? null, state?.metric ?? null]);
    if (!rebuild && shape === this.shape && place.querySelector(".question")) {
      this.update(value, unfit);
      return;
    }
    this.shape = shape;
    this.fields = [];
    this.last = new Map();
    const focus = document.activeElement?.id;
    this.ids = 0;
    const size = (key) => (text) => {
      const now = this.state();
      this.ask({ ...now, [key]: text }, [], true);
    };
    const count = (key) => (text) => size(key)(/^\d+$/.test(text) ? Number(text) : null);
    const answer = (key) => (text) => {
      const now = this.state() ?? { answers: {} };
      const inch = value(["job", "units"]) === "inch";
      // Seasons and a built-in place are two ways of giving one air.
      const ways = key === "goes" ? { winter: "", summer: "" } : key === "winter" || key === "summer" ? { goes: "" } : {};
      const answers = { ...now.answers, ...ways, [key]: text };
      this.ask({ ...now, answers }, key === "goes" && text === "" ? seasonsAgain(inch) : editsOf({ [key]: text }, inch), false);
    };
    const locked = state === null;
    const small = [];
    if (state?.bays !== null && state?.bays !== undefined) {
      small.push(this.field("bays", "bays side by side", state.bays, count("bays")));
      small.push(this.field("shelves", "shelves in each", state.shelves, count("shelves")));
    }
    this.unfit = element("p", { class: "error", role: "alert", hidden: true });
    const systems = element(
      "select",
      { id: "question-units", onchange: (event) => this.ask({ ...startOf(this.state().kind, event.target.value === "mm"), answers: this.state().answers }, [], true) },
      ...[["inch", "inches"], ["mm", "millimeters"]].map(([word, name]) => element("option", { value: word, selected: (word === "mm") === (state?.metric ?? false) }, name)),
    );
    this.seasons = [
      this.field("winter", "or: winter humidity there", value(["places", "home", "seasons", "winter"]), answer("winter")),
      this.field("summer", "and summer humidity", value(["places", "home", "seasons", "summer"]), answer("summer")),
    ];
    place.replaceChildren(
      element("h2", {}, "Five questions"),
      element("p", { class: "help lead" }, "Answers come at once, beside this. Whatever you leave is the usual. Every answer can be changed later."),
      this.question(
        2,
        "How large?",
        locked
          ? element("p", { class: "help" }, "Parts were changed since this piece was begun: their sizes are now on their own pages.")
          : element(
              "div",
              { class: "fields small-fields" },
              this.field("width", "left to right", state.width, size("width")),
              this.field("height", "bottom to top", state.height, size("height")),
              this.field("depth", state.kind === "frame-door" ? "thickness" : "front to back", state.depth, size("depth")),
              ...small,
              element("div", { class: "field" }, element("label", { for: "question-units" }, "measured in"), systems),
            ),
        this.unfit,
      ),
      element("div", { class: "piece-picture" }),
      this.question(3, "Of which wood?", element("div", { class: "fields small-fields" }, this.field("wood", "wood of every part", value(["defaults", "species"]), answer("wood"), { list: "species" }))),
      this.question(
        4,
        "Where is it made, and where does it go?",
        element(
          "div",
          { class: "fields small-fields" },
          this.field("humidity", "humidity of the shop today", value(["places", "shop", "air", "humidity"]), answer("humidity")),
          this.field("temperature", "temperature of the shop", value(["places", "shop", "air", "temperature"]), answer("temperature")),
          this.field("goes", "it goes to a heated house near", value(["places", "home", "place"]), answer("goes"), { list: "places", placeholder: "such as Denver" }),
          ...this.seasons,
        ),
      ),
      this.question(
        5,
        "How moist is the wood today?",
        element("div", { class: "fields small-fields" }, this.field("moisture", "one reading of a meter", value(["defaults", "moisture"]), answer("moisture"))),
        element("p", { class: "help" }, "The rings of each part count as much: give them on the part\u2019s own page, by dragging the pith or from a photo."),
      ),
      element("p", { class: "footing" }, element("a", { class: "button", href: "#today" }, "What to cut today")),
    );
    this.update(value, unfit);
    if (focus?.startsWith("question-")) {
      document.getElementById(focus)?.focus();
    }
  }

  update(value, unfit) {
    this.unfit.hidden = !unfit;
    this.unfit.textContent = unfit ? `${unfit.what}. ${unfit.remedy}.` : "";
    // A built-in place brings its own seasons.
    for (const field of this.seasons) {
      field.hidden = value(["places", "home", "place"]) !== undefined;
    }
    const state = this.state();
    const now = {
      ...(state ? { width: state.width, height: state.height, depth: state.depth, bays: state.bays, shelves: state.shelves } : {}),
      wood: value(["defaults", "species"]),
      humidity: value(["places", "shop", "air", "humidity"]),
      temperature: value(["places", "shop", "air", "temperature"]),
      goes: value(["places", "home", "place"]),
      winter: value(["places", "home", "seasons", "winter"]),
      summer: value(["places", "home", "seasons", "summer"]),
      moisture: value(["defaults", "moisture"]),
    };
    for (const { key, input } of this.fields) {
      if (input !== document.activeElement && !unfit && key in now) {
        input.value = now[key] ?? "";
        this.last.set(key, input.value);
      }
    }
  }
}
