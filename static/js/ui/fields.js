/**
 * Facts that are edited where they stand: rows of a facts list. A change is made as soon as the
 * field is left or Enter is pressed; a value that cannot be read is said beside the field.
 */

import { parseLength, parseNumber } from "../core/length.js";
import { figure, inputUnit, sixDigits } from "../core/quantity.js";
import { h, isFilling } from "./dom.js";

/** A choice with words longer than this stands under its label: they are never cut. */
const MOST_BESIDE = 24;

/** Letters typed into a choice belong together when they follow within this, ms. */
const TYPING = 800;

let counter = 0;

const nextId = () => {
  counter += 1;
  return `field-${counter}`;
};

/**
 * One row: label, value, why.
 * @param {string} label @param {any} value @param {any} [why] @param {?string} [id]
 */
export const row = (label, value, why = null, id = null) =>
  h(
    "div",
    {},
    h("dt", {}, id ? h("label", { for: id }, label) : label),
    h("dd", {}, value),
    h("dd", { class: "why" }, why),
  );

/**
 * A line of text.
 * @param {{label: string, name: string, value: string, set: (value: string) => void,
 *   placeholder?: string}} options
 */
export function textRow({ label, name, value, set, placeholder = "" }) {
  const id = nextId();
  const input = h("input", {
    class: "in-place long",
    id,
    type: "text",
    value,
    placeholder,
    "data-field": name,
    autocomplete: "off",
  });
  onLeave(input, () => {
    if (input.value.trim() !== value) set(input.value.trim());
  });
  return row(label, input, null, id);
}

/**
 * A choice. @param {{label: string, name: string, value: string, why?: any,
 *   choices: [string, string][], set: (value: string) => void, note?: string}} options `note`: what
 *   the choice stands for
 */
export function choiceRow({ label, name, value, choices, set, why = null, note = "" }) {
  const id = nextId();
  const select = h(
    "select",
    { class: "in-place", id, "data-field": name, value },
    choices.map(([key, text]) => h("option", { value: key }, text)),
  );
  select.value = value;
  onChosen(select, () => set(select.value));
  const line = row(label, [select, note && h("span", { class: "quiet noted" }, note)], why, id);
  if (choices.some(([, text]) => text.length > MOST_BESIDE)) line.classList.add("wide");
  return line;
}

/**
 * A number with its unit. @param {{label: string, name: string, value: number, unit: string,
 *   decimals: number, set: (value: number) => void, why?: any, after?: any,
 *   units?: string}} options
 */
export function numberRow(options) {
  const id = nextId();
  const { input, wrong } = numberInput({ ...options, id, value: options.value });
  const unit = h("span", { class: "unit" }, shownUnit(options));
  return row(
    options.label,
    [input, "\u202f", unit, options.after ?? null, wrong],
    options.why ?? null,
    id,
  );
}

/**
 * A number that may be unknown. @param {{label: string, name: string, value: ?number, unit: string,
 *   decimals: ?number, assumed: string, set: (value: ?number) => void, why?: any, units?: string,
 *   blank?: string}} options `decimals` null: as it was stated, `unit` then by its code
 */
export function maybeRow(options) {
  const id = nextId();
  const unknown = options.value === null;
  const { input, wrong } = numberInput({ ...options, id });
  input.placeholder = "?";
  const box = h("input", {
    type: "checkbox",
    checked: unknown,
    "data-field": `${options.name}-none`,
    onchange: () => {
      if (box.checked) options.set(null);
      else input.focus();
    },
  });
  input.addEventListener("blur", () => {
    if (unknown && input.value.trim() === "") box.checked = true;
  });
  const value = h(
    "span",
    { class: "maybe" },
    input,
    h("span", { class: "unit" }, shownUnit(options)),
    h("label", {}, box, options.blank ?? "not known"),
    h("span", { class: "assumed" }, options.assumed),
    wrong,
  );
  return row(options.label, value, options.why ?? null, id);
}

/**
 * A number that is asked for: empty until it is typed. The same options as of {@link maybeRow};
 * `assumed` is said while it is empty.
 * @param {Parameters<typeof maybeRow>[0]} options
 */
export function askedRow(options) {
  const id = nextId();
  const { input, wrong } = numberInput({ ...options, id });
  if (options.value === null) input.classList.add("asked");
  const value = [
    input,
    "\u202f",
    h("span", { class: "unit" }, shownUnit(options)),
    options.value === null && h("span", { class: "quiet noted" }, options.assumed),
    wrong,
  ];
  return row(options.label, value, options.why ?? null, id);
}

/** @param {any} options */
const shownUnit = ({ unit, units, decimals }) => {
  if (decimals === null) return inputUnit(unit, units).symbol;
  return unit === "m" && units === "us_customary" ? "ft" : unit;
};

/** The input of a number and the words for what cannot be read. @param {any} options */
export function numberInput({ id, name, value, unit, decimals, set, units = "metric" }) {
  const feet = unit === "m" && units === "us_customary";
  const stated = decimals === null ? inputUnit(unit, units) : null;
  const shown = (/** @type {number} */ one) =>
    stated ? sixDigits(stated.toShown(one)) : figure(feet ? one / 0.3048 : one, decimals);
  const text = value === null ? "" : shown(value);
  const wrong = h("span", { class: "wrong-text", hidden: true, id: `${id}-wrong`, role: "alert" });
  const input = h("input", {
    class: "in-place",
    id,
    type: "text",
    inputmode: "decimal",
    value: text,
    "data-field": name,
    autocomplete: "off",
    size: Math.max(4, text.length),
  });
  onLeave(input, () => {
    if (input.value === text) return;
    const number =
      unit === "m" && !input.value.trim().startsWith("-")
        ? parseLength(input.value, units)
        : parseNumber(input.value);
    wrong.hidden = number !== null;
    input.setAttribute("aria-invalid", String(number === null));
    input.setAttribute("aria-describedby", `${id}-wrong`);
    if (number === null) wrong.textContent = "Type a number, such as 2.70.";
    else if (stated) set(stated.toBase(number));
    else set(unit === "m" ? Math.round(number * 1000) / 1000 : number);
  });
  return { input, wrong };
}

/** A choice counts at once, one that is being typed when the typing stops. */
function onChosen(/** @type {any} */ select, /** @type {() => void} */ change) {
  let taken = select.value;
  let typing = 0;
  const take = () => {
    clearTimeout(typing);
    typing = 0;
    if (isFilling() || select.value === taken) return;
    taken = select.value;
    change();
  };
  const wait = () => {
    clearTimeout(typing);
    typing = window.setTimeout(take, TYPING);
  };
  select.addEventListener("keydown", (/** @type {KeyboardEvent} */ { key }) => {
    if (key.length === 1) wait();
    else if (key === "Enter") take();
  });
  select.addEventListener("change", () => {
    if (typing) wait();
    else take();
  });
  select.addEventListener("blur", take);
}

/** Enter and leaving make the change; Escape takes it back. */
function onLeave(/** @type {any} */ input, /** @type {() => void} */ change) {
  const first = input.value;
  // What was taken last: a redraw carries over what has been typed since.
  input.taken = first;
  const once = () => {
    if (isFilling() || input.value === input.taken) return;
    input.taken = input.value;
    change();
  };
  input.addEventListener("change", once);
  input.addEventListener("blur", once);
  input.addEventListener("keydown", (/** @type {KeyboardEvent} */ event) => {
    if (event.key === "Enter") {
      once();
      event.preventDefault();
    }
    if (event.key === "Escape") {
      input.value = first;
      input.taken = first;
      input.blur();
      event.stopPropagation();
    }
  });
}
