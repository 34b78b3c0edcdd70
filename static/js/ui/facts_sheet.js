/** Facts of the plan sheet: file and page, scale, turn, fade. */

import * as commands from "../commands/sheet.js";
import { metresPerPx } from "../core/sheet.js";
import { parseNumber } from "../core/length.js";
import { distance } from "../core/geometry.js";
import { lengthText } from "../core/quantity.js";
import { button, h, link } from "./dom.js";
import { numberRow, row } from "./fields.js";

/** @param {any} context */
export function sheetFacts({ desk, system }) {
  const floor = desk.floorItem;
  const sheet = floor?.sheet ?? null;
  return [
    h(
      "div",
      { class: "facts-head" },
      h("h1", {}, "Plan sheet"),
      h(
        "p",
        { class: "sub" },
        sheet ? sheet.name : `${floor?.name ?? "This floor"} has none yet`,
      ),
    ),
    uploadForm(desk, sheet),
    sheet &&
      h(
        "dl",
        { class: "facts-list" },
        pageRow(desk, sheet),
        row(
          "scale",
          scaleText(sheet, system),
          link(sheet.scale ? "set again" : "set it", () => desk.use("scale"), {
            "data-act": "scale",
          }),
        ),
        turnRow(desk, sheet),
        fadeRow(desk, sheet),
      ),
    sheet &&
      h(
        "div",
        { class: "acts" },
        button(
          "Take the sheet away",
          () => desk.commit(commands.removeSheet(desk.session.project, desk.floor)),
          "alt small",
        ),
      ),
    !sheet &&
      h(
        "p",
        { class: "quiet" },
        "A PNG, JPEG, WebP, TIFF or a page of a PDF. It lies faded under " +
          "your drawing. Without a plan you can draw the rooms by typed lengths.",
      ),
  ];
}

/** @param {any} sheet @param {any} system */
function scaleText(sheet, system) {
  if (!sheet.scale) return h("b", {}, "not set: lengths are a guess");
  const { a, b, length } = sheet.scale;
  return (
    `${lengthText(length, system.units, 2)} over ${Math.round(distance(a, b))}\u202fpx ` +
    `(${(metresPerPx(sheet) * 1000).toFixed(1)}\u202fmm a pixel)`
  );
}

/** The file chosen last, by floor: another page of it can be asked for. @type {Map<number, File>} */
const chosen = new Map();

/** Choosing a file lays it; there is nothing else to press. @param {any} desk @param {any} sheet */
function uploadForm(desk, sheet) {
  const file = h("input", {
    type: "file",
    hidden: true,
    "aria-label": "Plan file",
    "data-field": "plan-file",
    accept: ".png,.jpg,.jpeg,.webp,.tif,.tiff,.pdf,.svg,.dxf,image/*,application/pdf",
    onchange: () => {
      if (file.files?.[0]) lay(desk, file.files[0], 1);
    },
  });
  const words = sheet ? "Choose another plan" : "Choose the plan file";
  return h(
    "div",
    { class: "upload" },
    h(
      "p",
      {},
      button(words, () => file.click(), sheet ? "alt small" : "do", {
        "data-act": "upload",
        "data-field": "plan-button",
      }),
      file,
    ),
  );
}

/** Reads a page of a plan file and lays it under the floor. @param {any} desk */
async function lay(desk, /** @type {File} */ file, /** @type {number} */ page) {
  desk.say("Reading the plan…");
  const taken = await desk.session.upload(desk.floor, file, page);
  if (!taken) return;
  desk.hush();
  chosen.set(desk.floor, file);
  // One of the same size keeps its scale and place.
  if (desk.floorItem?.sheet?.scale) desk.redraw();
  else {
    desk.fit();
    desk.use("scale");
  }
}

/** A PDF or a TIFF may have several. @param {any} desk @param {any} sheet */
function pageRow(desk, sheet) {
  const file = chosen.get(desk.floor);
  if (!file || !/\.(pdf|tiff?)$/i.test(file.name)) {
    return sheet.page > 1 ? row("page", String(sheet.page)) : null;
  }
  return numberRow({
    label: "page",
    name: "plan-page",
    value: sheet.page,
    unit: "",
    decimals: 0,
    set: (page) => lay(desk, file, Math.max(1, Math.round(page))),
  });
}

/** @param {any} desk @param {any} sheet */
function turnRow(desk, sheet) {
  const turn = (/** @type {number} */ degrees) =>
    desk.commit(commands.rotateSheet(desk.session.project, desk.floor, degrees));
  const input = h("input", {
    class: "in-place",
    type: "text",
    inputmode: "decimal",
    size: 5,
    value: String(Math.round(sheet.rotation * 100) / 100),
    "aria-label": "Turned by, degrees",
    "data-field": "turn",
  });
  input.addEventListener("change", () => {
    const degrees = parseNumber(input.value);
    if (degrees === null) desk.say("Type the turn in degrees, such as 1.5.", "wrong");
    else turn(degrees);
  });
  return row("turned by", [
    input,
    "\u202f°, ",
    link("90° left", () => turn(sheet.rotation - 90)),
    ", ",
    link("90° right", () => turn(sheet.rotation + 90)),
  ]);
}

/** @param {any} desk @param {any} sheet */
function fadeRow(desk, sheet) {
  const slider = h("input", {
    type: "range",
    min: 0,
    max: 100,
    step: 5,
    value: String(Math.round(sheet.fade * 100)),
    "aria-label": "How far the plan is faded",
    "data-field": "fade",
  });
  slider.addEventListener("input", () => {
    desk.fade = Number(slider.value) / 100;
    desk.redraw();
  });
  slider.addEventListener("change", async () => {
    await desk.commit(
      commands.fadeSheet(desk.session.project, desk.floor, Number(slider.value) / 100),
    );
    desk.fade = null;
    desk.redraw();
  });
  return row("faded", slider);
}
