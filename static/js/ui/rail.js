/** The rail: the stages of the job, in its order. */

import { STAGES } from "../stages.js";
import { h, icon } from "./dom.js";

/** @param {HTMLElement} host @param {any} desk @param {string} assets */
export function installRail(host, desk, assets) {
  const buttons = STAGES.map((stage) =>
    h(
      "button",
      {
        type: "button",
        "data-tool": stage.id,
        "aria-pressed": "false",
        onclick: () => desk.use(desk.stage === stage.id ? "select" : stage.variants[0].id),
      },
      icon(stage.icon, assets),
      h("span", {}, stage.word),
    ),
  );
  host.replaceChildren(...buttons);
  const show = () =>
    buttons.forEach((button, idx) =>
      button.setAttribute("aria-pressed", String(STAGES[idx].id === desk.stage)),
    );
  desk.listen((/** @type {string} */ what) => {
    if (what === "tool") show();
  });
  show();
}
