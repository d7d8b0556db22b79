// What was measured: one large form in three steps, for a thumb at the bench. What, of which thing, how much.
// It keeps the step it is at; what was written down is in the job file alone.
import { element } from "./forms.js";

// By quantity: whose it can be, and the unit that is meant where none is written, by the job's units.
const WHAT = [
  { key: "moisture", name: "Moisture", of: ["part", "board", "leaf"], unit: { mm: "%", inch: "%" } },
  { key: "width", name: "Width", of: ["part", "board", "leaf"], unit: { mm: "mm", inch: "in" } },
  { key: "thickness", name: "Thickness", of: ["part", "board", "leaf"], unit: { mm: "mm", inch: "in" } },
  { key: "gap", name: "Gap", of: ["joint"], unit: { mm: "mm", inch: "in" } },
  { key: "bow", name: "Bow", of: ["part", "board", "leaf"], unit: { mm: "mm", inch: "in" } },
  { key: "cup", name: "Cup", of: ["part", "board", "leaf"], unit: { mm: "mm", inch: "in" } },
  { key: "weight", name: "Weight", of: ["part", "board", "leaf"], unit: { mm: "g", inch: "lb" } },
  { key: "humidity", name: "Air of a room", of: ["place"], unit: { mm: "%", inch: "%" } },
];
const GROUPS = { part: "Parts", board: "Boards", leaf: "Leaves", joint: "Joints", place: "Places" };

let chosen = { what: null, which: null };
let writing = null; // the index of the entry just written

export function forget() {
  chosen = { what: null, which: null };
  writing = null;
}

// The things of a job that have the quantity: {group, name, keys} with the keys of the entry.
function things(what, { document, cards }) {
  const list = [];
  const add = (group, name, keys) => what.of.includes(group) && list.push({ group, name: String(name), keys });
  for (const part of document?.parts ?? []) {
    add("part", part.name, { part: part.name });
  }
  const boards = new Set((document?.boards ?? []).map((board) => board.name));
  for (const board of document?.boards ?? []) {
    add("board", board.name, { board: board.name });
    for (let leaf = 1; leaf <= Number(board.leaves ?? 0); leaf += 1) {
      add("leaf", `${board.name}, leaf ${leaf}`, { board: board.name, leaf: String(leaf) });
    }
  }
  const bent = what.key === "bow" || what.key === "cup";
  for (const name of new Set((document?.parts ?? []).map((part) => part.board).filter(Boolean))) {
    if (!boards.has(name) && !bent) {
      add("board", name, { board: name });
    }
  }
  if (what.key !== "weight") {
    for (const panel of document?.panels ?? []) {
      for (const leaf of Array.isArray(panel.leaves) ? panel.leaves : []) {
        add("leaf", `${panel.name}, ${leaf.leaf}`, { leaf: leaf.leaf });
      }
    }
  }
  for (const name of Object.values(document?.joints ?? {}).flat().map((joint) => joint?.name).filter(Boolean)) {
    // A joint of several gaps has an answer for each, under its own name.
    const fits = cards
      .map((card) => card.joint)
      .filter((fit) => fit === name || fit.startsWith(`${name},`) || (fit.startsWith(`${name}:`) && !fit.endsWith("glue or float")));
    for (const fit of new Set(fits.length > 0 ? fits : [name])) {
      add("joint", fit, { joint: fit });
    }
  }
  for (const name of Object.keys(document?.places ?? {})) {
    add("place", name, { place: name });
  }
  return list;
}

// Today where the maker is.
function today() {
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

const withUnit = (text, unit) => (/^[-+]?[\d\s.,/]+$/.test(text.trim()) ? `${text.trim()}${unit === "%" ? "" : " "}${unit}` : text.trim());

// Brings what the answers say of the log up to date, where the form shows it: on a phone the answers are a page away.
export function say(place, html) {
  const said = place.querySelector(".measured-said");
  if (said && said.dataset.html !== html) {
    said.dataset.html = html;
    said.innerHTML = html;
  }
}

// Shows the form in `place`. `view` has `document`, `problems`, `cards`, `system`, `said` and `help(key)`; `act` has `write(at, entry)` and
// `takeOut(at)`.
export function showMeasured(place, view, act) {
  const again = () => showMeasured(place, view, act);
  const entries = view.document?.log ?? [];
  const blocks = [element("h2", { id: "measured-head", tabindex: "-1" }, "What did you measure?")];
  const wrong = view.problems.filter((one) => one.at[0] === "log");
  if (wrong.length > 0) {
    blocks.push(problems(wrong, act));
  }
  if (chosen.what === null) {
    blocks.push(choices("What", WHAT.map((what) => ({ name: what.name, pick: () => pick({ what, which: null }) }))));
  } else if (chosen.which === null) {
    blocks.push(steps([chosen.what.name]));
    const all = things(chosen.what, view);
    for (const group of chosen.what.of) {
      const some = all.filter((one) => one.group === group);
      if (some.length > 0) {
        blocks.push(choices(GROUPS[group], some.map((which) => ({ name: which.name, pick: () => pick({ ...chosen, which }) }))));
      }
    }
    if (all.length === 0) {
      blocks.push(element("p", {}, "This job has nothing of that kind yet."));
    }
  } else {
    blocks.push(steps([chosen.what.name, chosen.which.name]), number());
  }
  if (entries.length > 0 && chosen.what === null) {
    blocks.push(element("div", { class: "measured-said", role: "status" }), written(entries, act));
  }
  place.replaceChildren(element("div", { class: "measured" }, ...blocks));
  say(place, view.said);

  function pick(next) {
    chosen = next;
    again();
    (place.querySelector("#measured-number") ?? place.querySelector("#measured-head")).focus();
  }

  function steps(names) {
    const back = () => pick(chosen.which === null ? { what: null, which: null } : { ...chosen, which: null });
    return element("p", { class: "measured-steps" }, element("strong", {}, names.join(" \u203a ")), " ", element("button", { type: "button", onclick: back }, "Back"));
  }

  function number() {
    const { what, which } = chosen;
    const unit = what.unit[view.system];
    const field = (key, name, more = {}) => {
      const input = element("input", { type: "text", id: `measured-${key}`, autocomplete: "off", autocapitalize: "off", spellcheck: "false", ...more });
      return [input, element("div", { class: "field" }, element("label", { for: `measured-${key}` }, name), input)];
    };
    const [value, valueField] = field("number", `${what.name}, ${unit}`, { inputmode: unit === "in" ? "text" : "decimal", required: true });
    const [date, dateField] = field("date", "day", {});
    date.value = today();
    const [within, withinField] = field("within", "right within");
    const [note, noteField] = field("note", "note");
    const [temperature, temperatureField] = field("temperature", "temperature");
    const air = what.key === "humidity";
    const send = (event) => {
      event.preventDefault();
      if (value.value.trim() === "") {
        value.setAttribute("aria-invalid", "true");
        value.focus();
        return;
      }
      const entry = { date: date.value.trim(), ...which.keys, [what.key]: withUnit(value.value, unit) };
      const degrees = view.system === "inch" ? "F" : "C";
      const more = {
        temperature: air && temperature.value.trim() !== "" ? withUnit(temperature.value, degrees).replace(" ", "") : "",
        within: within.value.trim() === "" ? "" : withUnit(within.value, unit),
        note: note.value.trim(),
      };
      for (const [key, text] of Object.entries(more)) {
        if (text !== "") {
          entry[key] = text;
        }
      }
      writing = entries.length;
      chosen = { what: null, which: null };
      act.write(["log", entries.length], entry);
    };
    return element(
      "form",
      { class: "measured-number", onsubmit: send },
      valueField,
      element("p", { class: "help" }, view.help(what.key)),
      air ? temperatureField : null,
      element("details", { class: "more" }, element("summary", {}, "Another day, the gauge's error, a note"), dateField, withinField, noteField),
      element("button", { type: "submit", class: "measured-write" }, "Write it down"),
    );
  }
}

function choices(name, list) {
  return element(
    "section",
    { "aria-label": name },
    element("h3", {}, name),
    element("ul", { class: "measured-choices" }, ...list.map((one) => element("li", {}, element("button", { type: "button", onclick: one.pick }, one.name)))),
  );
}

// What is wrong with an entry, and the way out.
function problems(wrong, act) {
  const places = [...new Set(wrong.map((one) => one.at[1]).filter((index) => typeof index === "number"))];
  return element(
    "div",
    { class: "problems", role: "alert" },
    ...wrong.map((one) => element("p", {}, `${one.what}. ${one.remedy}`)),
    ...places.map((index) =>
      element("button", { type: "button", onclick: () => act.takeOut(["log", index]) }, places.length > 1 ? `Take entry ${index + 1} out` : "Take this entry out"),
    ),
  );
}

function written(entries, act) {
  const line = (entry) => {
    const what = WHAT.find((one) => entry[one.key] !== undefined);
    const name = entry.part ?? entry.joint ?? entry.place ?? [entry.board, entry.leaf].filter(Boolean).join(", leaf ");
    return `${entry.date}: ${name}, ${what ? `${what.name.toLowerCase()} ${entry[what.key]}` : ""}`;
  };
  const rows = entries.map((entry, index) => ({ index, words: line(entry) })).reverse();
  return element(
    "section",
    { "aria-label": "Written down" },
    element("h3", {}, "Written down"),
    element(
      "ul",
      { class: "measured-written" },
      ...rows.map(({ index, words }) =>
        element(
          "li",
          { class: index === writing ? "new" : null },
          element("span", {}, words),
          " ",
          element("button", { type: "button", class: "small-button", "aria-label": `Take out: ${words}`, onclick: () => act.takeOut(["log", index]) }, "Take out"),
        ),
      ),
    ),
  );
}
