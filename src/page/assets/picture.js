// The picture of the piece, as the program draws it, with every part and joint in it a way to its page.
import { element } from "./forms.js";

const NS = "http://www.w3.org/2000/svg";
const VIEWS = [
  ["piece-front", "From the front"],
  ["piece-closed", "Fronts closed"],
  ["piece-side", "From the side"],
  ["piece-exploded", "Pulled apart"],
];

const keyOf = (target) => JSON.stringify(target.at);

function drawn(tag, attributes) {
  const made = document.createElementNS(NS, tag);
  for (const [name, value] of Object.entries(attributes)) {
    made.setAttribute(name, value);
  }
  return made;
}

export class Picture {
  // `open(path)` goes to the page of a part or joint.
  constructor(open) {
    this.open = open;
    this.view = "piece-front";
    this.shown = "";
    this.at = 0;
    this.node = element("section", { class: "piece", "aria-label": "The piece" });
  }

  // Where the picture is shown.
  shownAt(path) {
    return ["today", "questions"].includes(path[0]) || (["parts", "joints"].includes(path[0]) && path.length === 1);
  }

  show(place, forecast) {
    if (!place) {
      return;
    }
    const html = forecast?.plates[this.view];
    place.hidden = !html;
    if (!html) {
      return;
    }
    const targets = forecast.targets?.[this.view] ?? [];
    if (targets.length === 0) {
      place.hidden = true;
      return;
    }
    const shown = JSON.stringify([this.view, html, targets]);
    if (this.node.parentElement !== place) {
      place.replaceChildren(this.node);
    }
    if (shown === this.shown) {
      return;
    }
    this.shown = shown;
    const had = this.node.contains(document.activeElement) ? document.activeElement.dataset?.key : null;
    const views = element(
      "div",
      { class: "views", role: "group", "aria-label": "View of the piece" },
      ...VIEWS.filter(([id]) => forecast.figures.some((figure) => figure.id === id)).map(([id, name]) =>
        element(
          "button",
          {
            type: "button",
            class: "small-button",
            "aria-pressed": String(id === this.view),
            "data-key": id,
            onclick: () => {
              this.view = id;
              this.shown = "";
              this.show(place, this.forecast);
            },
          },
          name,
        ),
      ),
    );
    const template = document.createElement("template");
    template.innerHTML = html;
    const figure = template.content.querySelector("figure") ?? template.content.firstElementChild;
    const svg = figure.querySelector("svg");
    const stage = element("div", { class: "stage" });
    svg.replaceWith(stage);
    stage.append(svg, this.overlay(svg, targets));
    this.said = element("p", { class: "help pointed" }, "Choose a part or a joint to open it; with the keyboard, the arrow keys go through them.");
    this.node.replaceChildren(views, figure, this.said);
    this.forecast = forecast;
    if (had) {
      [...this.node.querySelectorAll("[data-key]")].find((one) => one.dataset.key === had && one.getAttribute("tabindex") !== null)?.focus();
      [...this.node.querySelectorAll("button")].find((one) => one.dataset.key === had)?.focus();
    }
  }

  overlay(svg, targets) {
    // Names are said when they are pointed at, so that the drawing has the whole width.
    const points = targets.flatMap((target) => target.shapes.flat());
    const [xs, ys] = [points.map((point) => point[0]), points.map((point) => point[1])];
    const [left, top] = [Math.min(...xs) - 6, Math.min(...ys) - 6];
    const box = [left, top, Math.max(...xs) + 6 - left, Math.max(...ys) + 6 - top].join(" ");
    svg.setAttribute("viewBox", box);
    svg.removeAttribute("width");
    svg.removeAttribute("height");
    const over = drawn("svg", { viewBox: box, class: "targets", role: "group", "aria-label": "Parts and joints of the piece" });
    const firsts = new Map();
    for (const target of targets) {
      const key = keyOf(target);
      const group = drawn("g", { class: target.at[0] === "joints" ? "target joint" : "target", "data-key": key });
      const words = target.verdict ? `${target.name}: ${target.verdict}` : target.name;
      for (const shape of target.shapes) {
        group.append(drawn("polygon", { points: shape.map((point) => point.map((one) => one.toFixed(1)).join(",")).join(" ") }));
      }
      if (!firsts.has(key)) {
        firsts.set(key, group);
        group.setAttribute("role", "link");
        group.setAttribute("tabindex", "-1");
        group.setAttribute("aria-label", `${target.at[0] === "joints" ? "joint" : "part"} ${words}`);
      } else {
        group.setAttribute("aria-hidden", "true");
      }
      const light = (on) => {
        for (const one of over.children) {
          one.classList.toggle("lit", on && one.dataset.key === key);
        }
        if (on) {
          this.said.textContent = `${target.at[0] === "joints" ? "Joint" : "Part"}: ${words}`;
        }
      };
      group.addEventListener("pointerenter", () => light(true));
      group.addEventListener("pointerleave", () => light(false));
      group.addEventListener("focus", () => light(true));
      group.addEventListener("blur", () => light(false));
      group.addEventListener("click", () => this.open(target.at));
      over.append(group);
    }
    // Parts first, then joints, each once.
    const stops = [...firsts.values()].sort((a, b) => a.classList.contains("joint") - b.classList.contains("joint"));
    this.at = Math.min(this.at, Math.max(0, stops.length - 1));
    stops[this.at]?.setAttribute("tabindex", "0");
    over.addEventListener("keydown", (event) => {
      const now = stops.indexOf(document.activeElement);
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      const next = event.key === "Home" ? 0 : event.key === "End" ? stops.length - 1 : step ? (now + step + stops.length) % stops.length : -1;
      if (now >= 0 && next >= 0) {
        event.preventDefault();
        stops[now].setAttribute("tabindex", "-1");
        stops[next].setAttribute("tabindex", "0");
        stops[next].focus();
        this.at = next;
      } else if (now >= 0 && (event.key === "Enter" || event.key === " ")) {
        event.preventDefault();
        this.open(JSON.parse(stops[now].dataset.key));
      }
    });
    return over;
  }
}
