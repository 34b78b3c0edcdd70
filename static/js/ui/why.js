/**
 * "why" beside a figure: the opener; the dialog is the one of every page.
 */

import { installWhy } from "../pages/why.js";
import { h } from "./dom.js";

/** @param {{projectId: string, session: any}} place */
export function makeWhy({ projectId, session }) {
  installWhy();

  /** @param {?{why: number}} quantity @param {string} what */
  const opener = (quantity, what) => {
    if (!quantity) return null;
    const href = `/projects/${projectId}/why/${quantity.why}?v=${session.state.version}`;
    return h("a", { class: "why why-link", "aria-label": `why: ${what}`, href }, "why");
  };

  /**
   * The same at the end of a row of a list.
   * @param {?{why: number}} quantity
   * @param {string} what
   */
  const cell = (quantity, what) => h("span", { class: "why-cell" }, opener(quantity, what));
  return { opener, cell };
}
