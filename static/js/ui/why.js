/**
 * "why": opens the reason behind a figure in a dialog.
 */

import { ApiError } from "../server/api.js";
import { h } from "./dom.js";

/**
 * @param {{projectId: string, session: any}} place
 */
export function makeWhy({ projectId, session }) {
  const dialog = h("dialog", { class: "why" });
  document.body.append(dialog);
  document.addEventListener("click", (event) => {
    const opener = /** @type {any} */ (event.target).closest?.("a.why");
    if (!opener || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    open(opener.getAttribute("href"));
  });

  /** @param {string} address */
  async function open(address) {
    let body;
    try {
      body = await session.api.fragment(address);
    } catch (error) {
      if (!(error instanceof ApiError)) throw error;
      body = "";
      session.onMessage(error.message, "wrong");
      return;
    }
    const page = new DOMParser().parseFromString(body, "text/html");
    const own = page.querySelector("main") ?? page.body;
    const close = h(
      "button",
      { type: "button", class: "link close", onclick: () => dialog.close() },
      "close",
    );
    dialog.replaceChildren(close, ...own.childNodes);
    if (!dialog.open) dialog.showModal();
  }

  /** The opener beside a quantity. @param {?{why: number}} quantity @param {string} what */
  const opener = (quantity, what) =>
    quantity
      ? h(
          "a",
          {
            class: "why why-link",
            "aria-label": `why: ${what}`,
            href: `/projects/${projectId}/why/${quantity.why}?v=${session.state.version}`,
          },
          "why",
        )
      : null;
  /**
   * The same at the end of a row of a list.
   * @param {?{why: number}} quantity
   * @param {string} what
   */
  const cell = (quantity, what) => h("span", { class: "why-cell" }, opener(quantity, what));
  return { opener, cell };
}
