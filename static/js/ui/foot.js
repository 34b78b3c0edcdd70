/** The line at the foot: the last edit with undo and redo. And the line of messages by the hint. */

import { h, link } from "./dom.js";

/** @param {HTMLElement} host @param {any} desk */
export function installFoot(host, desk) {
  const show = () => {
    const { state, waiting } = desk.session;
    const said = state.last_edit
      ? `Last edit: ${state.last_edit.replace(/\.$/, "")}.`
      : "No edits yet.";
    host.replaceChildren(
      h("span", { class: "last-edit" }, waiting.length > 0 ? "Calculating…" : said),
      ...[
        state.undo &&
          link("undo", () => desk.session.step("undo"), {
            "data-act": "undo",
            title: `${state.undo} (Ctrl+Z)`,
          }),
        state.redo &&
          link("redo", () => desk.session.step("redo"), {
            "data-act": "redo",
            title: `${state.redo} (Ctrl+Shift+Z)`,
          }),
      ].filter(Boolean),
    );
  };
  desk.listen((/** @type {string} */ what) => {
    if (what === "state") show();
  });
  show();
}

/** How long a plain remark stays, ms; what is wrong stays until the next edit. */
const SAID_MS = 6000;

/** @param {HTMLElement} host @param {any} desk */
export function installMessages(host, desk) {
  let timer = 0;
  const clear = () => {
    clearTimeout(timer);
    host.replaceChildren();
  };
  /** @param {string} text @param {"wrong"|"said"} kind */
  const say = (text, kind = "said") => {
    clearTimeout(timer);
    host.replaceChildren(
      h(
        "div",
        { class: `message ${kind}`, "data-message": kind },
        h("p", { class: kind === "wrong" ? "wrong-text" : "" }, text),
        link("close", clear),
      ),
    );
    if (kind === "said") timer = setTimeout(clear, SAID_MS);
  };
  desk.say = say;
  desk.hush = clear;
  desk.session.onMessage = say;
  desk.listen((/** @type {string} */ what) => {
    if (what === "edit" || what === "tool") clear();
  });
}
