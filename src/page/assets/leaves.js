// Leaves of a panel, moved, turned over and turned round by hand; the program says what bow is left and what force holds it flat.
import { element } from "./forms.js";

export class LeavesBench {
  // `ask(panel, rows)` gives figures and words for a layout.
  constructor(ask) {
    this.ask = ask;
    this.node = element("section", { class: "leaves-bench", "aria-label": "Lay the leaves" });
    this.key = "";
  }

  show(place, panel, text) {
    if (!panel || !panel.best) {
      this.node.remove();
      return;
    }
    if (this.node.parentElement !== place) {
      place.append(this.node);
    }
    const key = JSON.stringify([panel.name, panel.leaves, panel.best.map((row) => row.length)]);
    if (key !== this.key) {
      this.key = key;
      this.panel = panel;
      this.rows = structuredClone(panel.best);
      this.build();
      this.tried(text);
    } else if (text !== this.text) {
      this.panel = panel;
      this.tried(text);
    }
  }

  build() {
    this.bench = element("div", { class: "bench-rows" });
    this.words = element("div", { class: "laid-words", role: "status" });
    this.figures = element("div", { class: "laid-figures" });
    this.node.replaceChildren(
      element("h3", {}, "Lay the leaves"),
      element("p", { class: "help" }, "Drag a leaf to another place, or use its buttons. Over: its back is up. Round: its far end is toward you."),
      this.bench,
      element(
        "p",
        {},
        element(
          "button",
          {
            type: "button",
            class: "small-button",
            onclick: () => {
              this.rows = structuredClone(this.panel.best);
              this.draw();
              this.tried(this.text);
            },
          },
          "The best layout again",
        ),
      ),
      this.words,
      this.figures,
    );
    this.draw();
  }

  draw(focus) {
    this.bench.replaceChildren(
      ...this.rows.map((row, at) => element("ol", { class: "bench-row", "aria-label": this.rows.length > 1 ? `Row ${at + 1}` : "From left to right" }, ...row.map((one, index) => this.leaf(one, at, index)))),
    );
    if (focus) {
      this.bench.querySelector(`[data-key="${focus}"]`)?.focus();
    }
  }

  leaf(one, row, index) {
    const name = this.panel.leaves[one.leaf];
    const button = (word, label, work, more = {}) =>
      element("button", { type: "button", class: "small-button", "aria-label": `${name}: ${label}`, "data-key": `${one.leaf} ${label}`, onclick: () => this.act(work, `${one.leaf} ${label}`), ...more }, word);
    const last = this.rows[row].length - 1;
    const item = element(
      "li",
      { class: `leaf${one.over ? " over" : ""}${one.round ? " round" : ""}` },
      element("strong", {}, name),
      element("span", { class: "lay" }, `${one.over ? "back up" : "sawn face up"}${one.round ? ", turned round" : ""}`),
      element("span", { class: "grain", "aria-hidden": "true" }),
      element(
        "span",
        { class: "leaf-tools" },
        button("\u2190", "to the left", () => this.swap(row, index, index - 1), { disabled: index === 0 }),
        button("over", "turn over", () => (one.over = !one.over), { "aria-pressed": String(one.over) }),
        button("round", "turn round", () => (one.round = !one.round), { "aria-pressed": String(one.round) }),
        button("\u2192", "to the right", () => this.swap(row, index, index + 1), { disabled: index === last }),
      ),
    );
    item.addEventListener("pointerdown", (event) => {
      if (event.target.closest("button")) {
        return;
      }
      event.preventDefault();
      this.drag(item, row, index, event);
    });
    return item;
  }

  swap(row, from, to) {
    const list = this.rows[row];
    [list[from], list[to]] = [list[to], list[from]];
  }

  // A leaf goes along with the pointer, and takes its new place where it is let go.
  drag(item, row, index, event) {
    const start = [event.clientX, event.clientY];
    item.setPointerCapture(event.pointerId);
    item.classList.add("held");
    const move = (at) => {
      item.style.setProperty("transform", `translate(${at.clientX - start[0]}px, ${at.clientY - start[1]}px)`);
    };
    const drop = (at) => {
      item.removeEventListener("pointermove", move);
      item.classList.remove("held");
      item.style.removeProperty("transform");
      const list = [...item.parentElement.children];
      const beyond = list.filter((other) => other !== item && other.getBoundingClientRect().left + other.getBoundingClientRect().width / 2 < at.clientX).length;
      const [one] = this.rows[row].splice(index, 1);
      this.rows[row].splice(beyond, 0, one);
      if (beyond !== index) {
        this.draw();
        this.tried(this.text);
      }
    };
    item.addEventListener("pointermove", move);
    item.addEventListener("pointerup", drop, { once: true });
    item.addEventListener("pointercancel", drop, { once: true });
  }

  act(work, focus) {
    work();
    this.draw(focus);
    if (!this.bench.contains(document.activeElement)) {
      this.bench.querySelector(`[data-key^="${focus.split(" ")[0]} "]:not([disabled])`)?.focus();
    }
    this.tried(this.text);
  }

  async tried(text) {
    this.text = text;
    if (this.asking) {
      this.again = true;
      return;
    }
    this.asking = true;
    try {
      const { figures, words } = await this.ask(this.panel.name, this.rows);
      this.words.replaceChildren(...words.map((one) => element("p", {}, one)));
      this.figures.innerHTML = figures.join("");
    } catch (error) {
      this.words.replaceChildren(element("p", { class: "error" }, error.message));
    }
    this.asking = false;
    if (this.again) {
      this.again = false;
      this.tried(this.text);
    }
  }
}
