// Forms made from the schema of the job file. A form knows where each of its fields stands in the file,
// and tells changes as edits of the file; it keeps nothing.
import { ALWAYS_OPEN, beginning, drawing, firstKeys, label, namesFor, waysOf } from "./words.js";
import { offer } from "./pick.js";
import { drawingAddress } from "./carrier.js";

const MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

export function element(tag, attributes = {}, ...children) {
  const made = document.createElement(tag);
  for (const [name, value] of Object.entries(attributes)) {
    if (name.startsWith("on")) {
      made.addEventListener(name.slice(2), value);
    } else if (value === true) {
      made.setAttribute(name, "");
    } else if (value !== false && value !== null && value !== undefined) {
      made.setAttribute(name, value);
    }
  }
  made.append(...children.filter((child) => child !== null && child !== undefined));
  return made;
}

// A drawing of drawings.svg, by its name.
export function sketch(name, kind = "sketch") {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  const use = document.createElementNS("http://www.w3.org/2000/svg", "use");
  svg.setAttribute("class", kind);
  svg.setAttribute("viewBox", "0 0 96 60");
  svg.setAttribute("aria-hidden", "true");
  use.setAttribute("href", drawingAddress(name));
  svg.append(use);
  return svg;
}

export function valueAt(document, path) {
  return path.reduce((at, step) => at?.[step], document);
}

const same = (a, b) => JSON.stringify(a) === JSON.stringify(b);

export class Form {
  // `schema` of the whole job file; `names(list)` gives what may be picked; `edit(edits, {from, late})` takes changes.
  constructor(schema, names, edit) {
    this.root = schema;
    this.names = names;
    this.edit = edit;
    this.fields = [];
    this.shape = "";
    this.ids = 0;
    this.chosenWays = new Map();
  }

  resolve(schema) {
    let at = schema;
    for (let depth = 0; depth < 8 && at; depth += 1) {
      if (at.$ref) {
        at = this.root.$defs[at.$ref.split("/").at(-1)];
      } else if (at.anyOf) {
        at = at.anyOf.find((one) => one.type !== "null");
      } else {
        break;
      }
    }
    return at ?? {};
  }

  schemaAt(path) {
    return path.reduce((schema, step) => {
      const at = this.resolve(schema);
      if (typeof step === "number") {
        return at.items ?? {};
      }
      return at.properties?.[step] ?? at.additionalProperties ?? {};
    }, this.root);
  }

  keysOf(path) {
    const schema = this.resolve(this.schemaAt(path));
    const all = Object.keys(schema.properties ?? {});
    const needed = new Set(schema.required ?? []);
    const order = firstKeys(path).filter((key) => all.includes(key));
    const first = [...order, ...all.filter((key) => needed.has(key) && !order.includes(key))];
    return { first, more: all.filter((key) => !first.includes(key)), needed };
  }

  // Builds the form of the table at `path` into `place`, or only brings it up to date when its shape is the same.
  show(place, path, document, problems, rebuild) {
    const shape = JSON.stringify([path, this.shapeOf(valueAt(document, path)), [...this.chosenWays]]);
    if (shape !== this.shape || rebuild) {
      const focus = this.focusPath();
      this.fields = [];
      this.document = document;
      place.replaceChildren(...this.table(path, document));
      this.shape = shape;
      this.refocus(focus);
    }
    this.document = document;
    this.update(document, problems);
  }

  forget() {
    this.shape = "";
    this.fields = [];
  }

  // The keys that are there, without the values: while it stays, the form stays.
  shapeOf(value) {
    if (Array.isArray(value)) {
      return value.map((one) => this.shapeOf(one));
    }
    if (value !== null && typeof value === "object") {
      return Object.fromEntries(
        Object.entries(value)
          .filter(([, inner]) => inner !== null && typeof inner === "object")
          .map(([key, inner]) => [key, this.shapeOf(inner)]),
      );
    }
    return 0;
  }

  focusPath() {
    const field = this.fields.find((one) => one.input === document.activeElement);
    return field?.path ?? null;
  }

  refocus(path) {
    if (path) {
      this.focusOn(path);
    }
  }

  focusOn(path) {
    const field = this.fields.find((one) => same(one.path, path)) ?? this.nearest(path);
    if (field?.input) {
      for (let at = field.input.closest("details"); at; at = at.parentElement?.closest("details")) {
        at.open = true;
      }
      field.input.focus();
      return true;
    }
    return false;
  }

  nearest(path) {
    let best = null;
    for (const field of this.fields) {
      const inside = field.path.every((step, index) => step === path[index]);
      if (inside && (best === null || field.path.length > best.path.length)) {
        best = field;
      }
    }
    return best;
  }

  update(document, problems) {
    for (const field of this.fields) {
      if (field.read && field.input !== globalThis.document.activeElement) {
        field.read(valueAt(document, field.path));
      }
    }
    const given = new Map();
    for (const problem of problems) {
      const field = this.nearest(problem.at) ?? null;
      if (field) {
        given.set(field, [...(given.get(field) ?? []), `${problem.what}. ${problem.remedy}`]);
      }
    }
    for (const field of this.fields) {
      const words = given.get(field) ?? [];
      field.error.hidden = words.length === 0;
      field.error.replaceChildren(...words.map((one) => element("span", {}, one)));
      if (field.input) {
        field.input.toggleAttribute("aria-invalid", words.length > 0);
        if (words.length > 0) {
          field.input.setAttribute("aria-invalid", "true");
        }
      }
    }
  }

  // The parts of a table's form.
  table(path, document) {
    const error = element("p", { class: "error", hidden: true });
    this.fields.push({ path, error });
    const ways = waysOf(path);
    if (ways) {
      return [error, ...this.inOneWay(path, document, ways)];
    }
    const { first, more, needed } = this.keysOf(path);
    const given = (key) => valueAt(document, [...path, key]) !== undefined;
    const late = more.filter((key) => !given(key));
    const early = [...first, ...more.filter(given)];
    const rows = this.rows(path, document, early, needed);
    if (late.length > 0) {
      rows.push(
        element(
          "details",
          { class: "more" },
          element("summary", {}, "More fields"),
          ...this.rows(path, document, late, needed),
        ),
      );
    }
    return [error, ...rows];
  }

  rows(path, document, keys, needed) {
    const rows = [];
    let grid = null;
    for (const key of keys) {
      const made = this.entry([...path, key], document, needed.has(key));
      if (made.classList.contains("field")) {
        if (grid === null) {
          grid = element("div", { class: "fields" });
          rows.push(grid);
        }
        grid.append(made);
      } else {
        rows.push(made);
        grid = null;
      }
    }
    return rows;
  }

  inOneWay(path, document, ways) {
    const value = valueAt(document, path) ?? {};
    const wayId = JSON.stringify(path);
    const count = (way) => way.keys.filter((key, index) => value[key] !== undefined && (index === 0 || key !== "indoor")).length;
    const byFile = ways.findIndex((way) => value[way.keys[0]] !== undefined);
    const most = ways.reduce((best, way, index) => (count(way) > count(ways[best]) ? index : best), 0);
    const chosen = this.chosenWays.get(wayId) ?? (byFile >= 0 && count(ways[byFile]) >= count(ways[most]) ? byFile : most);
    const id = `way-${(this.ids += 1)}`;
    const select = element(
      "select",
      {
        id,
        onchange: (event) => {
          this.chosenWays.set(wayId, Number(event.target.value));
          this.edit([], { again: true, focus: path });
        },
      },
      ...ways.map((way, index) => element("option", { value: index, selected: index === chosen }, way.name)),
    );
    const field = element("div", { class: "field way" }, element("label", { for: id }, "given by"), select);
    const { needed } = this.keysOf(path);
    const kept = new Set(ways[chosen].keys);
    // The first thing given in this way takes out what was given in another.
    const others = [...new Set(ways.flatMap((way) => way.keys))].filter((key) => !kept.has(key) && value[key] !== undefined);
    this.clearing = { path, others };
    const rows = this.rows(path, document, ways[chosen].keys, needed);
    this.clearing = null;
    return [field, ...rows];
  }

  // Edits that a change in one way of telling brings with it.
  alsoClears(path) {
    const clearing = this.clearing;
    if (!clearing || clearing.others.length === 0) {
      return [];
    }
    const inside = clearing.path.every((step, index) => step === path[index]);
    return inside ? clearing.others.map((key) => ({ at: [...clearing.path, key], to: null })) : [];
  }

  entry(path, document, needed) {
    const raw = this.schemaAt(path);
    const schema = this.resolve(raw);
    const description = raw.description ?? schema.description ?? "";
    const key = path.at(-1);
    if (schema.properties) {
      return this.inner(path, document, description, key);
    }
    if (schema.items && this.resolve(schema.items).properties) {
      return this.listOf(path, document, description, schema.items);
    }
    if (schema.items) {
      return this.series(path, description, this.resolve(schema.items));
    }
    return this.one(path, schema, description, needed);
  }

  inner(path, document, description, key) {
    const given = valueAt(document, path) !== undefined;
    const open = given || ALWAYS_OPEN.has(key) || this.clearing?.path?.length === path.length - 1;
    const before = this.clearing;
    const set = element(
      "fieldset",
      { "data-key": key, "data-path": JSON.stringify(path) },
      element("legend", {}, label(key, path.slice(0, -1))),
      element("p", { class: "help" }, description),
      ...this.table(path, document),
    );
    this.clearing = before;
    if (given && !["air", "seasons"].includes(key)) {
      set.append(
        element(
          "button",
          { type: "button", class: "small-button", onclick: () => this.edit([{ at: path, to: null }], { again: true }) },
          `Take out ${label(key, path.slice(0, -1))}`,
        ),
      );
    }
    if (open) {
      return set;
    }
    return element("details", { class: "more" }, element("summary", {}, label(key, path.slice(0, -1))), set);
  }

  listOf(path, document, description, items) {
    const key = path.at(-1);
    const list = valueAt(document, path) ?? [];
    const name = label(key, path.slice(0, -1));
    const set = element(
      "fieldset",
      { class: "list" },
      element("legend", {}, name),
      element("p", { class: "help" }, description),
    );
    const error = element("p", { class: "error", hidden: true });
    this.fields.push({ path, error });
    set.append(error);
    list.forEach((value, index) => {
      const here = [...path, index];
      const title = titleOf(value) ?? `${name}, number ${index + 1}`;
      set.append(
        element(
          "fieldset",
          { class: "item" },
          element("legend", {}, String(title)),
          ...this.table(here, document),
          element(
            "button",
            { type: "button", class: "small-button", onclick: () => this.edit([{ at: here, to: null }], { again: true }) },
            `Take out ${title}`,
          ),
        ),
      );
    });
    set.append(
      element(
        "button",
        {
          type: "button",
          class: "small-button",
          onclick: () => {
            const at = [...path, list.length];
            const made = list.length > 0 ? follow(list.at(-1), list.length) : this.begin(at, items);
            this.edit([{ at, insert: made }], { again: true, focus: [...at, Object.keys(made)[0]] });
          },
        },
        `Add to ${name}`,
      ),
    );
    return set;
  }

  // A new table with what must be given, so that it reads at once.
  begin(path, schema, given = {}) {
    const table = this.resolve(schema ?? this.schemaAt(path));
    const made = {};
    const order = firstKeys(path);
    const needed = [...(table.required ?? [])].sort((a, b) => place(order, a) - place(order, b));
    const parts = this.names("job parts").map((one) => one.name);
    let part = 0;
    for (const key of needed) {
      const inner = this.resolve(table.properties[key]);
      const what = inner.title ?? "";
      if (given[key] !== undefined) {
        made[key] = given[key];
      } else if (inner.properties) {
        made[key] = this.begin([...path, key], inner);
      } else if (inner.items && this.resolve(inner.items).properties) {
        made[key] = [this.begin([...path, key, 0], inner.items)];
      } else if (namesFor(key, path, what) === "job parts" && parts.length > 0) {
        made[key] = parts[Math.min(part, parts.length - 1)];
        part += 1;
      } else if (namesFor(key, path, what)) {
        made[key] = this.names(namesFor(key, path, what))[0]?.name ?? "";
      } else {
        made[key] = beginning(key, what, this.system()) ?? words(what)?.[0] ?? (/whole number/.test(what) ? 1 : what === "a name" ? "A" : "");
      }
    }
    return made;
  }

  // Something usual for a key that must be given after all.
  usualOf(key, path, schema) {
    const what = this.resolve(schema).title ?? "";
    const names = namesFor(key, path, what);
    if (names) {
      return this.names(names).at(-1)?.name ?? "";
    }
    return beginning(key, what, this.system()) ?? words(what)?.[0] ?? (/whole number/.test(what) ? 1 : "");
  }

  system() {
    return this.document?.job?.units === "inch" ? "inch" : "metric";
  }

  series(path, description, item) {
    const key = path.at(-1);
    const help = element("p", { class: "help" }, description);
    const error = element("p", { class: "error", hidden: true, id: `error-${(this.ids += 1)}` });
    const set = element("fieldset", {}, element("legend", {}, label(key, path.slice(0, -1))), help, error);
    const clears = this.clearing;
    const send = (list, from) => {
      this.clearing = clears;
      const also = this.alsoClears(path);
      this.clearing = null;
      this.edit([...also, { at: path, to: list }], { from });
    };
    if (path[0] === "places" && path.at(-2) === "months") {
      const inputs = MONTHS.map((month) => {
        const input = element("input", { type: "text", "aria-label": `${month}, ${label(key, path)}`, size: 6 });
        input.addEventListener("input", () => {
          const all = inputs.map((one) => one.value.trim());
          send(all.every((one) => one === "") ? null : all, path);
        });
        return input;
      });
      set.append(
        element("div", { class: "months" }, ...inputs.map((input, month) => element("label", {}, MONTHS[month], input))),
      );
      this.fields.push({
        path,
        error,
        input: inputs[0],
        read: (value) => {
          inputs.forEach((input, month) => {
            if (input !== document.activeElement) {
              input.value = Array.isArray(value) ? (value[month] ?? "") : "";
            }
          });
        },
      });
      return set;
    }
    const input = element("input", { type: "text", "aria-label": label(key, path), "aria-describedby": error.id });
    input.addEventListener("input", () => {
      const list = input.value.split(",").map((one) => one.trim()).filter(Boolean);
      send(list.length > 0 ? list : null, path);
    });
    set.append(input, element("p", { class: "help" }, `Each one ${item.title ?? ""}, with commas between.`));
    this.fields.push({ path, error, input, read: (value) => (input.value = Array.isArray(value) ? value.join(", ") : "") });
    return set;
  }

  one(path, schema, description, needed) {
    const key = path.at(-1);
    const what = schema.title ?? "";
    const id = `field-${(this.ids += 1)}`;
    const help = element("p", { class: "help", id: `${id}-help` }, description);
    const error = element("p", { class: "error", id: `${id}-error`, hidden: true });
    const described = { id, "aria-describedby": `${id}-help ${id}-error` };
    const choices = what === "true or false" ? ["true", "false"] : words(what);
    const several = Array.isArray(schema.type) && schema.type.includes("array");
    const bare = Array.isArray(schema.type) && !several;
    const clears = this.clearing;
    let input;
    const change = (text, options = {}) => {
      this.clearing = clears;
      const also = this.alsoClears(path);
      this.clearing = null;
      const empty = text.trim() === "" && !needed;
      this.edit([...also, { at: path, to: empty ? null : several && text.includes(",") ? text.split(",").map((one) => one.trim()).filter(Boolean) : bareValue(text, bare, what) }], { from: path, ...options });
    };
    if (choices) {
      input = element("select", described);
      input.addEventListener("change", () => change(input.value, { again: true }));
    } else {
      input = element("input", { ...described, type: "text", placeholder: usual(description) ?? example(what), spellcheck: "false", autocapitalize: "off" });
      // A part's name is given to the end before the joints that use it follow.
      const whole = key === "name" && path[0] === "parts" && path.length === 3;
      input.addEventListener(whole ? "change" : "input", () => change(input.value, { late: whole }));
    }
    const field = element("div", { class: "field" }, element("label", { for: id }, label(key, path)));
    const picture = drawing(key, path.slice(0, -1));
    if (picture) {
      field.classList.add("drawn");
      field.append(sketch(picture));
    }
    field.append(input, help, error);
    const list = namesFor(key, path.slice(0, -1), what);
    if (list && !choices) {
      offer(input, () => this.names(list), () => change(input.value));
    }
    const read = (value) => {
      const text = value === undefined || value === null ? "" : Array.isArray(value) ? value.join(", ") : typeof value === "object" ? "" : String(value);
      if (choices) {
        const options = [...choices];
        if (text !== "" && !options.includes(text)) {
          options.push(text);
        }
        const blank = needed && text !== "" ? [] : [["", "unless given"]];
        input.replaceChildren(
          ...[...blank, ...options.map((one) => [one, spoken(one)])].map(([value, name]) =>
            element("option", { value, selected: value === text }, name),
          ),
        );
        input.value = text;
      } else {
        input.value = text;
      }
    };
    this.fields.push({ path, input, error, read });
    return field;
  }
}

const place = (order, key) => (order.indexOf(key) < 0 ? 99 : order.indexOf(key));

const spoken = (choice) => (choice === "true" ? "yes" : choice === "false" ? "no" : choice);

// The words to choose among, when nothing else may be written.
function words(what) {
  if (/such as|an excess|a place from/.test(what)) {
    return null;
  }
  const found = [...what.matchAll(/"([^"]+)"/g)].map((one) => one[1]);
  return found.length > 1 ? found : null;
}

function example(what) {
  const found = what.match(/such as "([^"]+)"/)?.[1] ?? what.match(/such as ([^ ,]+)/)?.[1];
  return found ? `such as ${found}` : "";
}

// What holds when nothing is given, from a description that ends so.
function usual(description) {
  const found = description.match(/[;,.] ?"?([^;,."]+(?:\.\d+[^;,"]*)?)"? unless given/)?.[1];
  return found && found.length < 28 ? `${found.trim()} unless given` : null;
}

// Numbers, dates and yes or no stand without quotes in the file.
function bareValue(text, bare, what) {
  const trimmed = text.trim();
  if (bare && what === "true or false") {
    return trimmed === "true" ? true : trimmed === "false" ? false : trimmed;
  }
  if (bare && /number/.test(what) && /^-?\d+(\.\d+)?$/.test(trimmed)) {
    return Number(trimmed);
  }
  return text;
}

// What a table of a list is called.
function titleOf(value) {
  const pair = value?.piece && value?.into ? `${value.piece} and ${value.into}` : null;
  return value?.name ?? value?.leaf ?? pair ?? value?.piece ?? value?.part ?? null;
}

// The next of a row: alike, with the next name.
export function follow(table, count) {
  const made = structuredClone(table);
  for (const key of ["name", "leaf"]) {
    if (typeof made[key] === "string") {
      const number = made[key].match(/^(.*?)(\d+)$/);
      made[key] = number ? `${number[1]}${Number(number[2]) + 1}` : `${made[key]} ${count + 1}`;
    }
  }
  return made;
}
