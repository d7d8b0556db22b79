// The answers beside the form: what the program said, put in its place. The words and drawings come ready made.
import { element } from "./forms.js";

// A fragment made by the program, which has escaped every name in it.
function fragment(html) {
  const template = document.createElement("template");
  template.innerHTML = html;
  return template.content;
}

export function tallyWords(cards) {
  const count = (stamp) => cards.filter((card) => card.stamp === stamp).length;
  const [fails, marginal, holds] = [count("fails"), count("marginal"), count("holds")];
  return `${fails} ${fails === 1 ? "fails" : "fail"}, ${marginal} marginal, ${holds} ${holds === 1 ? "holds" : "hold"}`;
}

const ORDER = { fails: 0, marginal: 1, holds: 2 };

// A card while its chance is counted again: its new words, and the verdict as it was.
function counting(card, old) {
  const stamp = old?.stamp ?? card.stamp;
  const html = card.html
    .replace(`class="card ${card.stamp}"`, `class="card counting ${stamp}"`)
    .replace(/<span class="stamp">[^<]*<\/span>( <span class="chance">[^<]*<\/span>)?/, `<span class="stamp">${stamp}</span> <span class="chance">counting</span>`);
  return { ...card, html, stamp, counting: true };
}

// An answer from few draws beside the last one from all: what the change leaves alone stays as all draws have it. `few` is what few
// draws said of the text that `all` is about.
export function held(now, all, few) {
  if (!all) {
    return now;
  }
  const cards = new Map(all.cards.map((card) => [card.joint, card]));
  const same = new Map((few?.cards ?? []).map((card) => [card.joint, card.html]));
  const kept = { ...now };
  kept.cards = now.cards.map((card) => {
    const old = cards.get(card.joint);
    return old && same.get(card.joint) === card.html ? old : counting(card, old);
  });
  for (const key of ["setup", "next", "numbers", "client"]) {
    if (few && few[key] === now[key]) {
      kept[key] = all[key];
    }
  }
  kept.steps = now.steps.map((step) => {
    const alike = (list) => list?.find((one) => one.id === step.id);
    return alike(few?.steps)?.html === step.html ? (alike(all.steps) ?? step) : step;
  });
  kept.plates = { ...now.plates };
  for (const [id, html] of Object.entries(now.plates)) {
    if (few?.plates[id] === html && all.plates[id]) {
      kept.plates[id] = all.plates[id];
    }
  }
  return kept;
}

const FOCUSABLE = "a[href], button, summary, input, select, [tabindex]";

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
      if (before && before.html === block.html && before.same === block.same) {
        kept.set(block.key, before);
        return before.node;
      }
      const node = element("div", { class: block.class ?? "block" });
      node.append(fragment(block.html));
      block.dress?.(node);
      if (before) {
        const open = [...before.node.querySelectorAll("details")].map((one) => one.open);
        node.querySelectorAll("details").forEach((one, index) => {
          one.open = open[index] ?? false;
        });
      }
      kept.set(block.key, { html: block.html, same: block.same, node });
      return node;
    });
    const focus = this.focused();
    this.parts = kept;
    const now = [...this.place.children];
    if (now.length !== nodes.length || nodes.some((node, index) => node !== now[index])) {
      this.place.replaceChildren(...nodes);
      if (focus) {
        this.refocus(focus);
      }
    }
  }

  // Which block has the focus, and the how-manieth thing in it.
  focused() {
    for (const [key, { node }] of this.parts) {
      if (node.contains(document.activeElement)) {
        return { key, index: [...node.querySelectorAll(FOCUSABLE)].indexOf(document.activeElement) };
      }
    }
    return null;
  }

  refocus({ key, index }) {
    const node = this.parts.get(key)?.node;
    const all = node ? [...node.querySelectorAll(FOCUSABLE)] : [];
    (all[index] ?? all.at(-1) ?? this.place).focus({ preventScroll: true });
  }
}

const escaped = (text) =>
  text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;").replaceAll('"', "&quot;");

const list = (items) => `<ul>${items.map((item) => `<li>${escaped(item)}</li>`).join("")}</ul>`;

export function head(forecast, stale, about) {
  const cards = forecast.cards;
  const counting = cards.filter((card) => card.counting).length;
  const from =
    forecast.draws === forecast.full_draws
      ? `from all ${forecast.draws} draws`
      : counting > 0
        ? `being counted again for ${counting} of ${cards.length}, the grey ones; the rest stays`
        : `from ${forecast.draws} draws; all ${forecast.full_draws} follow`;
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

// `apply(card, number)` is what a remedy's button does.
export function cardsBlock(cards, apply) {
  const ordered = [...cards].sort((a, b) => ORDER[a.stamp] - ORDER[b.stamp]);
  const dress = (node) => {
    [...node.querySelectorAll(".card")].forEach((article, at) => {
      const card = ordered[at];
      [...article.querySelectorAll(".remedies li")].forEach((line, number) => {
        if (card.remedies?.[number] && !card.counting) {
          const what = line.textContent.split(": chance")[0];
          line.append(
            " ",
            element("button", { type: "button", class: "small-button apply", "aria-label": `Apply: ${what}`, onclick: () => apply(card.remedies[number], what) }, "Apply"),
          );
        }
      });
    });
  };
  const html = `<div class="cards">${ordered.map((card) => card.html).join("")}</div>`;
  return { key: "cards", class: "block cards-block", html, same: JSON.stringify(ordered.map((card) => card.remedies)), dress };
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
