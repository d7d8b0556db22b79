// A field that offers names while a part of one is typed. What is typed may also be something else.

let count = 0;

// Dresses `input`; `names()` gives [{name, also: [..]}] at the time of asking.
export function offer(input, names, chosen) {
  const list = document.createElement("ul");
  list.id = `names-${(count += 1)}`;
  list.className = "names";
  list.setAttribute("role", "listbox");
  list.setAttribute("aria-label", "Names that fit");
  list.hidden = true;
  // The list hangs from the field itself, so that it never lies over it.
  const hanger = document.createElement("div");
  hanger.className = "hanger";
  input.replaceWith(hanger);
  hanger.append(input, list);
  for (const [name, value] of [
    ["role", "combobox"],
    ["aria-autocomplete", "list"],
    ["aria-expanded", "false"],
    ["aria-controls", list.id],
    ["autocomplete", "off"],
  ]) {
    input.setAttribute(name, value);
  }
  let at = -1;

  const close = () => {
    list.hidden = true;
    at = -1;
    input.setAttribute("aria-expanded", "false");
    input.removeAttribute("aria-activedescendant");
  };

  const mark = (next) => {
    const items = list.children;
    if (items.length === 0) {
      return;
    }
    items[at]?.setAttribute("aria-selected", "false");
    at = (next + items.length) % items.length;
    items[at].setAttribute("aria-selected", "true");
    items[at].scrollIntoView({ block: "nearest" });
    input.setAttribute("aria-activedescendant", items[at].id);
  };

  const take = (name) => {
    input.value = name;
    close();
    chosen();
  };

  const show = (all) => {
    const fitting = fit(all ? "" : input.value, names());
    list.replaceChildren(
      ...fitting.map((one, index) => {
        const item = document.createElement("li");
        item.id = `${list.id}-${index}`;
        item.setAttribute("role", "option");
        item.setAttribute("aria-selected", "false");
        item.append(one.name);
        const also = one.also ?? [];
        if (also.length > 0) {
          const more = document.createElement("small");
          more.textContent = ` ${also.join(", ")}`;
          item.append(more);
        }
        item.addEventListener("pointerdown", (event) => {
          event.preventDefault();
          take(one.name);
        });
        return item;
      }),
    );
    at = -1;
    list.hidden = fitting.length === 0;
    input.setAttribute("aria-expanded", String(!list.hidden));
    input.removeAttribute("aria-activedescendant");
  };

  input.addEventListener("input", () => show(false));
  input.addEventListener("click", () => show(true));
  input.addEventListener("blur", close);
  input.addEventListener("keydown", (event) => {
    if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      event.preventDefault();
      if (list.hidden) {
        show(true);
      }
      mark(at + (event.key === "ArrowDown" ? 1 : at < 0 ? 0 : -1));
    } else if (event.key === "Enter" && at >= 0) {
      event.preventDefault();
      take(list.children[at].firstChild.textContent);
    } else if (event.key === "Escape" && !list.hidden) {
      event.preventDefault();
      close();
    }
  });
}

// Names that hold every word typed, those that begin with them first.
export function fit(typed, names) {
  const words = typed.toLowerCase().split(/[\s,]+/).filter(Boolean);
  const found = [];
  for (const one of names) {
    const text = [one.name, ...(one.also ?? [])].join(" ").toLowerCase();
    if (words.every((word) => text.includes(word))) {
      const first = words.length > 0 && one.name.toLowerCase().startsWith(words[0]);
      found.push([first ? 0 : 1, one]);
    }
  }
  return found
    .sort((a, b) => a[0] - b[0])
    .slice(0, 60)
    .map((pair) => pair[1]);
}
