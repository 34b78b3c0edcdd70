/**
 * Small tools for building SVG, and layers whose parts are kept by id: a part is built again only
 * when what it shows has changed.
 * @import {Point} from "../core/types.js"
 */

const NAMESPACE = "http://www.w3.org/2000/svg";

/**
 * An SVG element. Attributes that are `null`, `undefined` or `false` are left out.
 * @param {string} tag @param {Record<string, any>} [attributes]
 * @param {...(Node|string|null|undefined|false)} children
 * @returns {SVGElement}
 */
export function svg(tag, attributes = {}, ...children) {
  const element = document.createElementNS(NAMESPACE, tag);
  setAll(element, attributes);
  element.append(
    ...children
      .filter((child) => child !== null && child !== undefined && child !== false && child !== "")
      .map((child) => /** @type {Node|string} */ (child)),
  );
  return /** @type {SVGElement} */ (element);
}

/** @param {Element} element @param {Record<string, any>} attributes */
export function setAll(element, attributes) {
  for (const [name, value] of Object.entries(attributes)) {
    if (name === "style") setStyle(element, value);
    else if (value === null || value === undefined || value === false)
      element.removeAttribute(name);
    else {
      const text = value === true ? "" : String(value);
      if (element.getAttribute(name) !== text) element.setAttribute(name, text);
    }
  }
}

/**
 * Set as a property: the page's content policy refuses style attributes.
 * @param {any} element @param {?string} value
 */
function setStyle(element, value) {
  if (element.heldStyle === value) return;
  element.heldStyle = value;
  element.style.cssText = value ?? "";
}

/** Path data of a closed outline or an open line. @param {Point[]} points */
export function pathData(points, closed = false) {
  if (points.length === 0) return "";
  return `M${points.map(([x, y]) => `${short(x)} ${short(y)}`).join("L")}${closed ? "Z" : ""}`;
}

/** @param {number} value */
export const short = (value) => String(Math.round(value * 1000) / 1000);

/**
 * Parts by key inside one group.
 * @typedef {{key: string, shows: any, attributes?: Record<string, any>,
 *   build: () => (Node|null|undefined|false|"")[], after?: (node: SVGElement) => void}} Part
 *   `shows` is all that `build` reads; `attributes` go on the part's own group; `after` sets what
 *   changes at every repaint
 */
export class Layer {
  /** @param {SVGElement} parent @param {string} name */
  constructor(parent, name) {
    this.group = svg("g", { class: name });
    parent.append(this.group);
    /** @type {Map<string, {node: SVGElement, shows: string}>} */
    this.parts = new Map();
  }

  /** Shows exactly these parts, in this order. @param {Part[]} parts */
  show(parts) {
    const wanted = new Set(parts.map(({ key }) => key));
    for (const [key, { node }] of this.parts) {
      if (!wanted.has(key)) {
        node.remove();
        this.parts.delete(key);
      }
    }
    let before = /** @type {?Element} */ (null);
    for (const part of parts) {
      const node = this.put(part);
      const next = before ? before.nextElementSibling : this.group.firstElementChild;
      if (next !== node) this.group.insertBefore(node, next);
      before = node;
    }
  }

  /** Builds one part again if what it shows has changed. @param {Part} part */
  put({ key, shows, attributes = {}, build, after }) {
    const text = JSON.stringify(shows);
    let held = this.parts.get(key);
    if (!held) {
      held = { node: svg("g"), shows: "" };
      this.parts.set(key, held);
      this.group.append(held.node);
    }
    setAll(held.node, attributes);
    if (held.shows !== text) {
      held.node.replaceChildren(.../** @type {Node[]} */ (build().filter(Boolean)));
      held.shows = text;
    }
    after?.(held.node);
    return held.node;
  }
}

/**
 * Attributes of a thing that can be pointed at, focused and selected.
 * @param {string} kind @param {number} id @param {string} name @param {boolean} selected
 */
export const itemAttributes = (kind, id, name, selected) => ({
  "data-kind": kind,
  "data-id": id,
  tabindex: 0,
  role: "button",
  "aria-label": name,
  "aria-pressed": selected ? "true" : "false",
  "aria-selected": selected ? "true" : null,
});

/** Puts a group at a place in metres and keeps its size on the screen. @param {Point} at */
export const fixedAt = (at) => ({
  style: `transform: translate(${short(at[0])}px, ${short(at[1])}px) scale(var(--metre))`,
});

/** The same for a symbol, which is small in an overview. @param {Point} at */
export const symbolAt = (at) => ({
  style:
    `transform: translate(${short(at[0])}px, ${short(at[1])}px) ` +
    "scale(calc(var(--metre) * var(--symbol, 1)))",
});
