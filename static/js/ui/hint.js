/**
 * The line above the sheet: what the tool in hand wants, its variants, and how to look closer.
 */

import { stageOf } from "../stages.js";
import { fill, h, icon, link } from "./dom.js";
import { substancePicker } from "./substances.js";

/**
 * @param {HTMLElement} host @param {any} desk
 * @param {{assets: string, offers: any}} parts
 */
export function installHint(host, desk, { assets, offers }) {
  const tools = viewTools(desk, assets);
  const show = () => {
    const stage = stageOf(desk.toolName);
    const free = desk.toolName === "tag" ? tagHint() : selectHint();
    fill(host, stage ? stageHint(desk, stage, offers) : free, tools);
    focusField(host, "scale");
    if (desk.stage === "sources" && !desk.substance) focusField(host, "substance");
  };
  desk.listen((/** @type {string} */ what) => {
    if (what === "tool" || what === "scale") show();
    if (what === "substance") focusField(host, "substance");
    if (what === "selection" && desk.stage === "detectors") show();
  });
  show();
}

const esc = () => h("span", { class: "by-key" }, h("kbd", {}, "Esc"), " steps back.");

const selectHint = () =>
  h(
    "p",
    {},
    h("b", {}, "Select."),
    " Click a thing for its facts, drag it " + "to move it; choose a step on the rail to draw.",
  );

const tagHint = () =>
  h(
    "p",
    {},
    h("b", {}, "Tag."),
    " Arrow keys move it, Shift farther; Enter leaves it there; Delete lets the program place it. ",
    esc(),
  );

/** @param {any} desk @param {any} stage @param {any} offers */
function stageHint(desk, stage, offers) {
  const variant = stage.variants.find((/** @type {any} */ one) => one.id === desk.toolName);
  const parts = [h("b", {}, `${stage.word}.`), " "];
  if (stage.variants.length > 1) parts.push(variants(desk, stage), " ");
  if (stage.id === "sources") {
    parts.push("What can get out: ", sourcePicker(desk), `. ${variant.hint} `, esc());
  } else if (stage.id === "detectors") {
    parts.push(`${variant.hint} `, ...detectorOffers(desk, offers), ". ", esc());
  } else if (desk.toolName === "scale" && desk.tool.points?.length === 2) {
    parts.push(scaleForm(desk));
  } else parts.push(`${variant.hint} `, stage.variants.length < 3 ? esc() : "");
  if (stage.id === "cables") {
    parts.push(
      " Or ",
      link("suggest wiring", () => offers.wiring(), { "data-offer": "wiring" }),
      ".",
    );
  }
  return h("p", {}, parts);
}

/** @param {any} desk @param {any} stage */
const variants = (desk, stage) =>
  h(
    "span",
    { class: "variants", role: "group", "aria-label": `Tools of ${stage.word}` },
    stage.variants.map((/** @type {any} */ one) =>
      h(
        "button",
        {
          type: "button",
          "data-variant": one.id,
          "data-field": `variant-${one.id}`,
          "aria-pressed": String(one.id === desk.toolName),
          onclick: () => desk.use(one.id),
        },
        one.word,
      ),
    ),
  );

/** @param {any} desk @param {any} offers */
function detectorOffers(desk, offers) {
  const room = offers.roomInHand();
  const offer = (
    /** @type {string} */ text,
    /** @type {any} */ scope,
    /** @type {string} */ name,
  ) => link(text, () => offers.detectors(scope), { "data-offer": name });
  return [
    room && [
      offer(`for ${room.number || "this room"}`, { floor: null, room: room.id }, "room"),
      ", ",
    ],
    offer("for this floor", { floor: desk.floor, room: null }, "floor"),
    ", ",
    offer("for the project", { floor: null, room: null }, "project"),
  ].filter(Boolean);
}

/** @param {any} desk */
function sourcePicker(desk) {
  return substancePicker({
    session: desk.session,
    value: desk.substance?.name ?? "",
    name: "substance",
    label: "Substance",
    placeholder: "which substance?",
    set: (found) => {
      if (desk.toolName === "source") return desk.tools.source.choose(found);
      desk.chooseSubstance(found);
      if (desk.tool.refused) desk.tool.end();
      return desk.hush();
    },
  });
}

/** Also for those who have no keys: the length between the two points. @param {any} desk */
function scaleForm(desk) {
  const input = h("input", {
    type: "text",
    inputmode: "decimal",
    size: 8,
    "data-field": "scale",
    "aria-label": "Length between the two points",
    value: desk.tool.typed,
    autocomplete: "off",
  });
  const set = () => desk.tool.set(input.value);
  input.addEventListener("keydown", (/** @type {KeyboardEvent} */ event) => {
    if (event.key === "Enter") {
      event.preventDefault();
      set();
    }
  });
  return h(
    "span",
    { class: "scale-form" },
    "Length between the two points ",
    input,
    " ",
    desk.units === "us_customary" ? "ft" : "m",
    " ",
    h("button", { type: "button", class: "do small", onclick: set }, "Set the scale"),
  );
}

/**
 * At once, so that no key typed after the second click is lost; and again once a finger's own mouse
 * events are over, which take the focus back to the sheet.
 * @param {HTMLElement} host @param {string} name
 */
function focusField(host, name) {
  const input = /** @type {HTMLElement | null} */ (host.querySelector(`[data-field=${name}]`));
  input?.focus();
  if (input) setTimeout(() => input.focus());
}

/** @param {any} desk @param {string} assets */
const viewTools = (desk, assets) =>
  h(
    "div",
    { class: "tools", role: "toolbar", "aria-label": "View" },
    h(
      "button",
      {
        type: "button",
        "aria-label": "Zoom out",
        title: "Zoom out (-)",
        onclick: () => desk.zoom(0.8),
      },
      icon("zoom-out", assets),
    ),
    h(
      "button",
      {
        type: "button",
        "aria-label": "Zoom in",
        title: "Zoom in (+)",
        onclick: () => desk.zoom(1.25),
      },
      icon("zoom-in", assets),
    ),
    h(
      "button",
      { type: "button", title: "Show the whole floor (0)", onclick: () => desk.fit() },
      icon("fit", assets),
      h("span", {}, "Fit"),
    ),
  );
