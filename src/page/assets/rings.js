// Rings set on the drawing of a board's end: the pith is dragged under it, and the program says what cup follows.
import { element } from "./forms.js";

const NS = "http://www.w3.org/2000/svg";
const RINGS = 9;

function drawn(tag, attributes = {}, ...children) {
  const made = document.createElementNS(NS, tag);
  for (const [name, value] of Object.entries(attributes)) {
    made.setAttribute(name, value);
  }
  made.append(...children);
  return made;
}

// A length as a job file has it: sixteenths of an inch, or whole millimeters.
export function written(mm, inch) {
  if (!inch) {
    return `${Math.round(mm)} mm`;
  }
  const all = Math.round((Math.abs(mm) / 25.4) * 16);
  const [whole, rest] = [Math.floor(all / 16), all % 16];
  let [top, bottom] = [rest, 16];
  while (top > 0 && top % 2 === 0) {
    top /= 2;
    bottom /= 2;
  }
  const size = [whole > 0 || top === 0 ? String(whole) : "", top > 0 ? `${top}/${bottom}` : ""].filter(Boolean).join(" ");
  return `${mm < 0 && all > 0 ? "-" : ""}${size}in`;
}

export class RingsDrawing {
  // `set({pith_depth, pith_offset}, path, turn)` writes the rings of the part; all of one turn is one step.
  constructor(set) {
    this.set = set;
    this.node = element("div", { class: "rings-drawing" });
    this.key = "";
    this.turn = 0; // which drag or press it is: each is one step
  }

  hasFocus() {
    return this.node.contains(document.activeElement);
  }

  focus() {
    this.handle?.focus({ preventScroll: true });
  }

  // Shows the end of a part and what cup follows; `part` is as the program gives it, `cup` the figure that it drew; `newer` where the
  // pith was moved since.
  show(place, path, part, inch, cup, newer) {
    if (!place || !part) {
      this.node.remove();
      return;
    }
    if (this.node.parentElement !== place) {
      place.append(this.node);
    }
    const size = JSON.stringify([path, part.width_mm, part.thickness_mm, inch]);
    if (size !== this.key) {
      this.key = size;
      this.build(path, part, inch);
    }
    if (!this.dragging && !newer) {
      const far = 0.45 * part.width_mm;
      this.known = part.pith_mm !== null;
      this.move(part.pith_mm?.[0] ?? far, part.pith_mm?.[1] ?? 0);
    }
    if (cup !== this.cup) {
      this.cup = cup;
      this.cupPlace.innerHTML = cup ?? "";
    }
  }

  build(path, part, inch) {
    this.path = path;
    this.inch = inch;
    this.part = part;
    this.cup = null;
    const { width_mm: width, thickness_mm: thick } = part;
    this.deep = Math.max(0.75 * width, 2.5 * thick);
    const margin = 0.12 * width;
    const high = thick + this.deep + 2 * margin;
    this.svg = drawn("svg", { viewBox: `${-width / 2 - margin} ${-thick - margin} ${width + 2 * margin} ${high}`, class: "end-grain" });
    this.unit = (width + 2 * margin) / 100;
    this.rings = drawn("g", { class: "rings", "clip-path": "url(#board-end)" });
    const clip = drawn("clipPath", { id: "board-end" }, drawn("rect", { x: -width / 2, y: -thick, width, height: thick }));
    this.handle = drawn(
      "g",
      { class: "pith", tabindex: "0", role: "slider", "aria-label": "Pith: up and down for its depth, left and right for its offset", "aria-valuemin": "-1000", "aria-valuemax": "2000" },
      drawn("circle", { class: "reach", r: 4.2 * this.unit }),
      drawn("circle", { class: "dot", r: 1.3 * this.unit }),
      drawn("path", { d: `M${-2.6 * this.unit} 0H${2.6 * this.unit}M0 ${-2.6 * this.unit}V${2.6 * this.unit}` }),
    );
    this.svg.append(
      drawn("defs", {}, clip),
      drawn("rect", { class: "face", x: -width / 2, y: -thick, width, height: thick }),
      this.rings,
      drawn("rect", { class: "outline", x: -width / 2, y: -thick, width, height: thick }),
      drawn("path", { class: "axis", d: `M0 ${-thick}V${this.deep + margin}` }),
      this.handle,
    );
    this.words = element("p", { class: "help", "aria-live": "off" });
    this.cupPlace = element("div", { class: "cup" });
    this.node.replaceChildren(element("p", { class: "help" }, "Drag the pith under the end of the board, bark side up, until the rings are those of your board."), this.svg, this.words, this.cupPlace);
    const point = (event) => {
      const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
      return [at.y, at.x];
    };
    this.svg.addEventListener("pointerdown", (event) => {
      event.preventDefault();
      this.turn += 1;
      this.dragging = true;
      this.handle.focus({ preventScroll: true });
      this.to(...point(event));
      // The form around the drawing may be built again meanwhile: the window keeps hold of the pointer.
      const end = new AbortController();
      addEventListener("pointermove", (moved) => this.to(...point(moved)), { signal: end.signal });
      for (const name of ["pointerup", "pointercancel"]) {
        addEventListener(
          name,
          () => {
            this.dragging = false;
            end.abort();
          },
          { signal: end.signal },
        );
      }
    });
    this.handle.addEventListener("keydown", (event) => {
      const step = (this.inch ? 25.4 / 8 : 2) * (event.shiftKey ? 8 : 1);
      const by = { ArrowDown: [step, 0], ArrowUp: [-step, 0], ArrowRight: [0, step], ArrowLeft: [0, -step] }[event.key];
      if (by) {
        event.preventDefault();
        this.turn += event.repeat ? 0 : 1;
        this.to(this.at[0] + by[0], this.at[1] + by[1]);
      }
    });
  }

  to(depth, offset) {
    const { width_mm: width, thickness_mm: thick } = this.part;
    const keep = (value, low, high) => Math.min(high, Math.max(low, value));
    this.known = true;
    this.move(keep(depth, -thick, this.deep), keep(offset, -width / 2, width / 2));
    this.set({ pith_depth: written(this.at[0], this.inch), pith_offset: written(this.at[1], this.inch) }, this.path, this.turn);
  }

  move(depth, offset) {
    this.at = [depth, offset];
    const { width_mm: width, thickness_mm: thick } = this.part;
    // The drawing shows a far pith at its edge; the rings are drawn about the true one.
    const seen = [Math.min(depth, this.deep), offset];
    this.handle.setAttribute("transform", `translate(${seen[1]} ${seen[0]})`);
    const far = Math.hypot(Math.abs(offset) + width / 2, depth + thick);
    const near = Math.max(0, depth > 0 ? depth : 0);
    this.rings.replaceChildren(
      ...Array.from({ length: RINGS }, (_, index) => drawn("circle", { cx: offset, cy: depth, r: near + ((far - near) * (index + 0.5)) / RINGS })),
    );
    this.rings.classList.toggle("guessed", !this.known);
    const text = this.known
      ? `Pith ${written(depth, this.inch)} below the heart side, ${written(Math.abs(offset), this.inch)} ${Math.abs(offset) < 0.5 ? "off the center line" : offset > 0 ? "to the right" : "to the left"}.`
      : "No pith is given yet: the rings drawn are one of many that fit. Drag it to where it is.";
    this.words.textContent = text;
    this.handle.setAttribute("aria-valuenow", String(Math.round(depth)));
    this.handle.setAttribute("aria-valuetext", text);
  }
}
