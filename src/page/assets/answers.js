// The answers beside the form: what the program said, put in its place. The words and drawings come ready made.
import { element } from "./forms.js";

// A fragment made by the program, which has escaped every name in it.
function fragment(html) {
  const template = document.createElement("template");
  template.innerHTML = html;
  return template.content;
}

export function tally(cards) {
  const count = (stamp) => cards.filter((card) => card.stamp === stamp).length;
  return { redo: count("redo"), marginal: count("marginal"), holds: count("holds") };
}

export function tallyWords(cards) {
  const { redo, marginal, holds } = tally(cards);
  return `${redo} to redo, ${marginal} marginal, ${holds} ${holds === 1 ? "holds" : "hold"}`;
}

const ORDER = { redo: 0, marginal: 1, holds: 2 };

// Shows cards, plates and sheets in `place`, keeping open what the reader opened and leaving alone what is the same.
export class Answers {
  constructor(place) {
    this.place = place;
    this.parts = new Map();
  }

  forget() {
    this.parts.clear();
    this.place.replaceChildren();
  }

  // `blocks`: [{key, html | nodes}] in order; a block whose content is the same stays as it is.
  show(blocks) {
    const kept = new Map();
    const nodes = blocks.map((block) => {
      const before = this.parts.get(block.key);
      if (before && before.html === block.html) {
        kept.set(block.key, before);
        return before.node;
      }
      const node = element("div", { class: block.class ?? "block" });
      node.append(fragment(block.html));
      if (before) {
        const open = [...before.node.querySelectorAll("details")].map((one) => one.open);
        node.querySelectorAll("details").forEach((one, index) => {
          one.open = open[index] ?? false;
        });
      }
      kept.set(block.key, { html: block.html, node });
      return node;
    });
    this.parts = kept;
    const now = [...this.place.children];
    if (now.length !== nodes.length || nodes.some((node, index) => node !== now[index])) {
      const focus = document.activeElement;
      this.place.replaceChildren(...nodes);
      if (focus && this.place.contains(focus)) {
        focus.focus();
      }
    }
  }
}

const escaped = (text) =>
  text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;").replaceAll('"', "&quot;");

const list = (items) => `<ul>${items.map((item) => `<li>${escaped(item)}</li>`).join("")}</ul>`;

export function head(forecast, stale, about) {
  const cards = forecast.cards;
  const from =
    forecast.draws === forecast.full_draws
      ? `from all ${forecast.draws} draws`
      : `from ${forecast.draws} draws while you write; all ${forecast.full_draws} follow`;
  const words = about ? `About ${about}` : "What to cut today, and what to change";
  return {
    key: "head",
    class: "block answers-head",
    html:
      `<h2>${escaped(words)}</h2>` +
      `<p class="tally"><a href="#today">The whole piece</a>: ${tallyWords(cards)}.</p>` +
      `<p class="small ${stale ? "stale" : ""}">${stale ? "These are the last answers; new ones wait until the form is fixed." : `Chances ${from}.`}</p>`,
  };
}

export function cardsBlock(cards, key = "cards") {
  const ordered = [...cards].sort((a, b) => ORDER[a.stamp] - ORDER[b.stamp]);
  return { key, class: "block cards-block", html: `<div class="cards">${ordered.map((card) => card.html).join("")}</div>` };
}

export function plateBlocks(figures, plates) {
  return figures
    .filter((figure) => plates[figure.id])
    .map((figure) => ({ key: `plate ${figure.id}`, class: `block plate ${figure.span}`, html: plates[figure.id] }));
}

export function sheets(forecast) {
  const blocks = [];
  if (forecast.cautions.length > 0) {
    blocks.push({ key: "cautions", html: `<section class="caution"><h2>Cautions</h2>${list(forecast.cautions)}</section>` });
  }
  for (const [key, html] of [
    ["setup", forecast.setup],
    ...forecast.steps.map((one) => [one.id, one.html]),
    ["next", forecast.next],
    ["numbers", forecast.numbers],
  ]) {
    if (html) {
      blocks.push({ key, html });
    }
  }
  const notes = [
    ["What to know about these answers", forecast.warnings],
    ["Assumptions and sources", forecast.assumptions],
  ].filter(([, items]) => items.length > 0);
  for (const [name, items] of notes) {
    blocks.push({
      key: name,
      html: `<details class="notes"><summary>${name} (${items.length})</summary>${list(items)}</details>`,
    });
  }
  if (forecast.client) {
    blocks.push({ key: "client", html: forecast.client });
  }
  return blocks;
}
