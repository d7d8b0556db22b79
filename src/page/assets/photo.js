// Rings from a photo of the end: its corners are dragged, the rings that the program reads are laid over it, and the pith can be
// put right by hand before the numbers go into the job.
import { element } from "./forms.js";

const NS = "http://www.w3.org/2000/svg";
const CORNERS = ["upper left corner", "upper right corner", "lower right corner", "lower left corner"];

function drawn(tag, attributes = {}, ...children) {
  const made = document.createElementNS(NS, tag);
  for (const [name, value] of Object.entries(attributes)) {
    made.setAttribute(name, value);
  }
  made.append(...children);
  return made;
}

const line = (points) => points.map((point) => point.map((one) => one.toFixed(1)).join(",")).join(" ");

export class PhotoRings {
  // `ask(asked)` reads a photo; `accept(rings, path)` puts rings into the job; `leave()` closes.
  constructor(ask, accept, leave) {
    this.ask = ask;
    this.accept = accept;
    this.leave = leave;
    this.node = element("section", { class: "photo-rings", "aria-label": "Rings from a photo" });
    this.photo = null;
  }

  // Begins with a photo of the end of a part: `{id, name, path, width_mm, thickness_mm, inch}`.
  async begin(photo) {
    this.photo = photo;
    this.corners = null;
    this.pith = null;
    this.bark = "";
    this.chosen = 0;
    this.found = null;
    this.svg = null;
    this.notes = null;
    this.node.replaceChildren(element("h3", {}, `Rings from ${photo.name}`), element("p", { role: "status" }, "Reading the rings\u2026"));
    await this.read(true);
  }

  end() {
    this.photo = null;
    this.node.remove();
  }

  async read(picture = false) {
    const { id, name, width_mm, thickness_mm, inch } = this.photo;
    const asked = { id, name, width_mm, thickness_mm, inch, picture };
    if (this.corners) {
      asked.corners = this.corners;
    }
    if (this.bark) {
      asked.bark = this.bark;
    }
    if (this.pith) {
      asked.pith = this.pith;
    }
    if (this.asking) {
      this.again = true;
      return;
    }
    this.asking = true;
    const photo = this.photo;
    let found;
    try {
      found = await this.ask(asked);
    } catch (error) {
      found = { trouble: error.message };
    }
    this.asking = false;
    if (this.photo !== photo) {
      return;
    }
    if (found.trouble) {
      this.tell([found.trouble]);
      if (!this.svg) {
        this.node.append(element("p", { class: "error" }, found.trouble));
      }
    } else {
      if (found.picture) {
        this.picture = found.picture;
      }
      this.size = found.size_px;
      this.corners = found.corners;
      this.found = found;
      this.chosen = Math.min(this.chosen, Math.max(0, found.readings.length - 1));
      if (picture || !this.node.querySelector("svg")) {
        this.build();
      }
      this.draw();
    }
    if (this.again) {
      this.again = false;
      await this.read();
    }
  }

  build() {
    const [width, height] = this.size;
    this.unit = Math.max(width, height) / 100;
    const handle = (label, at) => {
      const group = drawn(
        "g",
        { class: "handle", tabindex: "0", role: "slider", "aria-label": `${label}: arrow keys move it`, "aria-valuemin": "0", "aria-valuemax": String(Math.round(width)) },
        drawn("circle", { class: "reach", r: 3.4 * this.unit }),
        drawn("circle", { class: "dot", r: 1.1 * this.unit }),
      );
      let held = false;
      group.addEventListener("pointerdown", (event) => {
        event.preventDefault();
        held = true;
        group.focus();
        group.setPointerCapture(event.pointerId);
      });
      group.addEventListener("pointermove", (event) => {
        if (held) {
          const point = new DOMPoint(event.clientX, event.clientY).matrixTransform(this.svg.getScreenCTM().inverse());
          at([point.x, point.y], false);
        }
      });
      for (const name of ["pointerup", "pointercancel"]) {
        group.addEventListener(name, () => {
          if (held) {
            held = false;
            at(null, true);
          }
        });
      }
      group.addEventListener("keydown", (event) => {
        const step = (event.shiftKey ? 1 : 0.1) * this.unit * 2;
        const by = { ArrowDown: [0, step], ArrowUp: [0, -step], ArrowRight: [step, 0], ArrowLeft: [-step, 0] }[event.key];
        if (by) {
          event.preventDefault();
          at(by, true, true);
        }
      });
      return group;
    };
    this.outline = drawn("polygon", { class: "end-outline" });
    this.lines = drawn("g", { class: "photo-lines" });
    this.cornerHandles = CORNERS.map((label, index) =>
      handle(label, (point, done, relative) => {
        if (point) {
          const [x, y] = relative ? [this.corners[index][0] + point[0], this.corners[index][1] + point[1]] : point;
          this.corners[index] = [Math.min(width - 1, Math.max(0, x)), Math.min(height - 1, Math.max(0, y))];
          this.pith = null;
          this.draw();
        }
        if (done) {
          this.read();
        }
      }),
    );
    this.pithHandle = handle("Pith", (point, done, relative) => {
      if (point) {
        const from = this.pith ?? this.middle();
        this.pith = relative ? [from[0] + point[0], from[1] + point[1]] : point;
        this.draw();
        this.read();
      }
    });
    this.pithHandle.classList.add("pith");
    // Room around the photo: the pith is often off the board.
    this.svg = drawn("svg", { class: "photo", viewBox: `${-0.08 * width} ${-0.2 * height} ${1.16 * width} ${1.4 * height}` });
    this.svg.append(drawn("image", { href: this.picture, width, height }), this.outline, this.lines, ...this.cornerHandles, this.pithHandle);
    this.notes = element("ul", { class: "problem-list", "aria-live": "polite" });
    this.readings = element("div", { class: "readings" });
    const bark = element(
      "select",
      {
        id: "photo-bark",
        onchange: (event) => {
          this.bark = event.target.value;
          this.read();
        },
      },
      ...[["", "as the rings curve"], ["up", "up in the photo"], ["down", "down in the photo"]].map(([word, name]) => element("option", { value: word }, name)),
    );
    this.take = element("button", { type: "button", onclick: () => this.accept(this.found.readings[this.chosen].rings, this.photo.path) }, "Use these rings");
    this.keep = element(
      "button",
      {
        type: "button",
        onclick: () => {
          const rings = { photo: this.photo.name, corners: this.corners.flat().map((one) => Math.round(one * 10) / 10).join(",") };
          const side = this.bark || this.found.readings[this.chosen]?.bark;
          this.accept(side ? { ...rings, bark: side } : rings, this.photo.path);
        },
      },
      "Keep the photo in the job",
    );
    const again = element(
      "button",
      {
        type: "button",
        onclick: () => {
          this.pith = null;
          this.read();
        },
      },
      "Read them again",
    );
    this.node.replaceChildren(
      element("h3", {}, `Rings from ${this.photo.name}`),
      element("p", { class: "help" }, "Drag the four corners onto those of the board\u2019s end. Do the lines follow the rings? If not, drag the pith until they do."),
      this.svg,
      this.readings,
      this.notes,
      element("div", { class: "field way" }, element("label", { for: "photo-bark" }, "bark side"), bark),
      element("p", { class: "photo-tools" }, this.take, " ", this.keep, " ", again, " ", element("button", { type: "button", onclick: () => this.leave() }, "Close")),
      // Boards, leaves and the boards of a glued-up part take its middle.
      ...(this.photo.path[0] === "parts" && this.photo.path.length === 2
        ? [element("p", { class: "help" }, "With the photo kept in the job, how far its reading may be off goes into the chances too.")]
        : []),
    );
  }

  middle() {
    const at = this.found?.readings[this.chosen]?.pith;
    if (at) {
      return at;
    }
    const sum = this.corners.reduce(([x, y], point) => [x + point[0] / 4, y + point[1] / 4], [0, 0]);
    return [sum[0], sum[1] + 0.15 * this.size[1]];
  }

  draw() {
    this.outline.setAttribute("points", line(this.corners));
    this.cornerHandles.forEach((one, index) => {
      one.setAttribute("transform", `translate(${this.corners[index].join(" ")})`);
      one.setAttribute("aria-valuenow", String(Math.round(this.corners[index][0])));
      one.setAttribute("aria-valuetext", `${Math.round(this.corners[index][0])}, ${Math.round(this.corners[index][1])} pixels`);
    });
    const reading = this.found?.readings[this.chosen];
    this.lines.replaceChildren(...(reading?.lines ?? []).flatMap((points) => [drawn("polyline", { class: "edge", points: line(points) }), drawn("polyline", { class: "ring", points: line(points) })]));
    const [x, y] = this.pith ?? this.middle();
    // A pith far off the board has its handle at the edge of the drawing, where a hand can take it.
    const [width, height] = this.size;
    const inside = (value, room, size) => Math.min(size + room - 3.4 * this.unit, Math.max(3.4 * this.unit - room, value));
    this.pithHandle.setAttribute("transform", `translate(${inside(x, 0.08 * width, width)} ${inside(y, 0.2 * height, height)})`);
    this.pithHandle.setAttribute("aria-valuenow", String(Math.round(y)));
    this.pithHandle.setAttribute("aria-valuetext", reading?.words ?? "not read");
    this.take.disabled = !reading;
    const list = this.found?.readings ?? [];
    const said = (one) => `${one.words}: ${Object.entries(one.rings).map(([key, value]) => `${key.replace("_", " ")} ${value}`).join(", ")}`;
    this.readings.replaceChildren(
      ...(list.length > 1
        ? [
            element(
              "fieldset",
              {},
              element("legend", {}, "Two readings: which lines follow the rings?"),
              ...list.map((one, index) => {
                const input = element("input", { type: "radio", name: "reading", checked: index === this.chosen, onchange: () => { this.chosen = index; this.draw(); } });
                return element("label", { class: "reading" }, input, ` ${said(one)}`);
              }),
            ),
          ]
        : list.map((one) => element("p", { class: "reading", role: "status" }, said(one)))),
    );
    this.tell(this.found?.notes ?? []);
  }

  tell(notes) {
    this.notes?.replaceChildren(...notes.map((note) => element("li", {}, note)));
  }
}
