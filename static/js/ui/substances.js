/**
 * Picks a substance: type, choose from what the table knows.
 */

import { ApiError } from "../server/api.js";
import { h } from "./dom.js";

/**
 * @param {{session: any, value: string, name: string, set: (found: any) => void, label: string,
 *   id?: string}} options
 */
export function substancePicker({ session, value, name, set, label, id }) {
  const listId = `substances-${name}`;
  const list = h("div", { class: "choices", role: "listbox", id: listId, hidden: true });
  let found = /** @type {any[]} */ ([]);
  let at = -1;
  const input = h("input", { type: "text", class: "in-place long", value, role: "combobox", id,
    "aria-label": label, "aria-expanded": "false", "aria-controls": listId, autocomplete: "off",
    "data-field": name, oninput: () => look(), onfocus: () => { input.select(); },
    onblur: () => setTimeout(close, 120), onkeydown: (/** @type {KeyboardEvent} */ event) => key(event) });

  async function look() {
    const query = input.value.trim();
    try {
      const answer = await session.api.substances(query);
      if (query === input.value.trim()) show(answer.slice(0, 8));
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
      session.onMessage(error.message, "wrong");
    }
  }

  /** @param {any[]} answer */
  function show(answer) {
    found = answer;
    at = answer.length > 0 ? 0 : -1;
    list.replaceChildren(...(answer.length > 0 ? answer.map((one, idx) => h("button", {
      type: "button", role: "option", tabindex: -1, "aria-selected": String(idx === at),
      onpointerdown: (/** @type {Event} */ event) => { event.preventDefault(); take(one); } },
    h("span", {}, one.name), h("span", { class: "quiet" }, describe(one))))
      : [h("p", { class: "quiet" }, "No substance of that name; try its formula or CAS number.")]));
    list.hidden = false;
    input.setAttribute("aria-expanded", "true");
  }

  function close() {
    list.hidden = true;
    input.setAttribute("aria-expanded", "false");
    if (input.value !== value) input.value = value;
  }

  /** @param {any} one */
  function take(one) {
    value = one.name;
    input.value = one.name;
    close();
    set(one);
  }

  /** @param {KeyboardEvent} event */
  function key(event) {
    if (event.key === "Enter" && !list.hidden && found[at]) {
      take(found[at]);
      input.blur();
    } else if (event.key === "Escape") {
      close();
      input.blur();
    } else if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      const by = event.key === "ArrowDown" ? 1 : -1;
      at = Math.min(found.length - 1, Math.max(0, at + by));
      [...list.children].forEach((child, idx) =>
        child.setAttribute("aria-selected", String(idx === at)));
    } else return;
    event.preventDefault();
    event.stopPropagation();
  }
  return h("span", { class: "picker" }, input, list);
}

/** @param {any} one */
function describe({ formula, cas, relative_density }) {
  const density = typeof relative_density === "number" ? relative_density
    : relative_density?.value;
  return [formula, cas, density === undefined || density === null ? ""
    : `${density.toFixed(2)} × air`].filter(Boolean).join(" · ");
}
