/**
 * Picks a substance: type, choose from what the table knows.
 */

import { ApiError } from "../server/api.js";
import { h } from "./dom.js";

/** So many are offered at once. */
const MOST = 8;

/**
 * @param {{session: any, value: string, name: string, set: (found: any) => void, label: string,
 *   placeholder?: string}} options
 */
export const substancePicker = (options) => new Picker(options).element;

class Picker {
  /** @param {Parameters<typeof substancePicker>[0]} options */
  constructor({ session, value, name, set, label, placeholder = "" }) {
    this.session = session;
    this.value = value;
    this.set = set;
    this.found = /** @type {any[]} */ ([]);
    this.at = -1;
    /** Enter was pressed before the answer came. */
    this.hurried = false;
    const id = `substances-${name}`;
    this.list = h("div", { class: "choices", role: "listbox", id, hidden: true });
    this.input = h("input", {
      ...{ type: "text", class: "in-place long", value, role: "combobox", autocomplete: "off" },
      ...{ "aria-label": label, "aria-expanded": "false", "aria-controls": id },
      ...{ placeholder, "data-field": name },
      oninput: () => this.look(),
      onfocus: () => this.input.select(),
      onblur: () => setTimeout(() => this.close(), 120),
      onkeydown: (/** @type {KeyboardEvent} */ event) => this.key(event),
    });
    this.element = h("span", { class: "picker" }, this.input, this.list);
  }

  async look() {
    const query = this.input.value.trim();
    this.asked = query;
    this.found = [];
    try {
      const answer = await this.session.api.substances(query);
      if (query !== this.asked) return;
      this.show(answer.slice(0, MOST));
      if (this.hurried && this.found[0]) this.take(this.found[0]);
      this.hurried = false;
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
      this.session.onMessage(error.message, "wrong");
    }
  }

  /** @param {any[]} answer */
  show(answer) {
    this.found = answer;
    this.at = 0;
    const none = "No substance of that name; try its formula or CAS number.";
    const options = answer.map((one) => this.option(one));
    this.list.replaceChildren(...(options[0] ? options : [h("p", { class: "quiet" }, none)]));
    this.mark();
    this.list.hidden = false;
    this.input.setAttribute("aria-expanded", "true");
  }

  /** @param {any} one */
  option(one) {
    const take = (/** @type {Event} */ event) => {
      event.preventDefault();
      this.take(one);
    };
    return h(
      "button",
      { type: "button", role: "option", tabindex: -1, onpointerdown: take },
      h("span", {}, one.name),
      h("span", { class: "quiet" }, describe(one)),
    );
  }

  mark() {
    [...this.list.children].forEach((child, idx) =>
      child.setAttribute("aria-selected", String(idx === this.at)),
    );
  }

  close() {
    this.list.hidden = true;
    this.input.setAttribute("aria-expanded", "false");
    if (!this.hurried) this.input.value = this.value;
  }

  /** @param {any} one */
  take(one) {
    this.hurried = false;
    this.value = one.name;
    this.close();
    this.input.blur();
    this.set(one);
  }

  /** @param {KeyboardEvent} event */
  key(event) {
    if (event.key === "Enter") {
      if (this.found[this.at]) this.take(this.found[this.at]);
      else this.hurried = this.input.value !== this.value;
    } else if (event.key === "Escape") {
      this.close();
      this.input.blur();
    } else if (event.key === "ArrowDown" || event.key === "ArrowUp") {
      const by = event.key === "ArrowDown" ? 1 : -1;
      this.at = Math.min(this.found.length - 1, Math.max(0, this.at + by));
      this.mark();
    } else return;
    event.preventDefault();
    event.stopPropagation();
  }
}

/** In words: the figure depends on the room's air, and stands with the source. */
function besideAir(/** @type {number} */ density) {
  if (Math.abs(density - 1) <= 0.05) return "about as heavy as air";
  return density < 1 ? "lighter than air" : "heavier than air";
}

/** @param {any} one */
function describe({ formula, cas, relative_density }) {
  const density = typeof relative_density === "number" ? relative_density : relative_density?.value;
  return [formula, cas, density ? besideAir(density) : ""].filter(Boolean).join(" · ");
}
