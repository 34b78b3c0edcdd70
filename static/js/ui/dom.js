/** Small tools for building page elements. */

/**
 * An element. Attributes that are `null`, `undefined` or `false` are left out; one that starts with
 * "on" is a listener; `value` and `checked` are set as properties.
 * @param {string} tag @param {Record<string, any>} [attributes]
 * @param {...any} children
 * @returns {any}
 */
export function h(tag, attributes = {}, ...children) {
  const element = /** @type {any} */ (document.createElement(tag));
  for (const [name, value] of Object.entries(attributes)) {
    if (value === null || value === undefined || value === false) continue;
    if (name.startsWith("on")) element.addEventListener(name.slice(2), value);
    else if (name === "value" || name === "checked" || name === "disabled") element[name] = value;
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  element.append(
    ...children
      .flat(Infinity)
      .filter((child) => child !== null && child !== undefined && child !== false && child !== ""),
  );
  if ("value" in attributes && tag === "select") element.value = attributes.value;
  return element;
}

/** @param {string} name @param {string} assets */
export function icon(name, assets) {
  const svg = document.createElementNS("http://www.w3.org/2000/svg", "svg");
  svg.setAttribute("class", "icon");
  svg.setAttribute("aria-hidden", "true");
  const use = document.createElementNS("http://www.w3.org/2000/svg", "use");
  use.setAttribute("href", `${assets}/img/icons.svg#${name}`);
  svg.append(use);
  return svg;
}

/** A word that does something. @param {string} text @param {() => void} act */
export const link = (text, act, attributes = {}) =>
  h("button", { type: "button", class: "link", onclick: act, ...attributes }, text);

/** @param {string} text @param {() => void} act */
export const button = (text, act, kind = "alt", attributes = {}) =>
  h("button", { type: "button", class: kind, onclick: act, ...attributes }, text);

/** Whether parts are being replaced: what a field says while it is taken away is not meant. */
let filling = false;

export const isFilling = () => filling;

/**
 * Replaces what a host holds and keeps the focus where it was, by `data-field`, with what has been
 * typed there and not yet been taken.
 * @param {HTMLElement} host @param {any[]} children
 */
export function fill(host, ...children) {
  const focused = /** @type {any} */ (document.activeElement);
  const field = host.contains(focused) ? focused.dataset.field : null;
  const marks =
    field && "selectionStart" in focused
      ? { start: focused.selectionStart, end: focused.selectionEnd }
      : null;
  const typed = marks && "taken" in focused && focused.value !== focused.taken ? focused.value : null;
  filling = true;
  host.replaceChildren(...children.flat(Infinity).filter(Boolean));
  filling = false;
  if (!field) return;
  const again = /** @type {any} */ (host.querySelector(`[data-field="${CSS.escape(field)}"]`));
  again?.focus();
  if (typed !== null && again && "taken" in again) again.value = typed;
  if (again && marks && marks.start !== null && again.type === "text") {
    again.setSelectionRange(marks.start, marks.end);
  }
}

/** Puts the cursor into a field, once it stands there. @param {string} field */
export const focusField = (field) =>
  /** @type {?HTMLElement} */ (
    document.querySelector(`[data-field="${CSS.escape(field)}"]`)
  )?.focus();
