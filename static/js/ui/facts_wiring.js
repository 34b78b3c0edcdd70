/** Facts of panels, field devices, containment, risers and segments. */

import { setHeight } from "../commands/items.js";
import { partsOf } from "../commands/places.js";
import { find, roomAt, segmentOf } from "../core/drawing.js";
import { lineLength } from "../core/geometry.js";
import * as quantity from "../core/quantity.js";
import { h, link } from "./dom.js";
import { choiceRow, maybeRow, numberRow, row, textRow } from "./fields.js";
import { setter } from "./facts_building.js";

/** Tag, height, part and whether it is there already. @param {any} item @param {any} context */
function commonRows(item, context, /** @type {any} */ key, /** @type {string} */ is) {
  const { desk, system } = context;
  const set = setter(context, key);
  const parts = partsOf(desk.project, is).map((/** @type {any} */ one) => [one.part, one.part]);
  const described = (desk.project.catalogue.items ?? []).find(
    (/** @type {any} */ one) => one.part === item.part,
  )?.description;
  if (!parts.some((/** @type {string[]} */ [part]) => part === item.part))
    parts.push([item.part, item.part || "none"]);
  return [
    textRow({
      label: "tag",
      name: "tag",
      value: item.tag,
      set: (value) => set("tag", value, `tag ${value}`),
    }),
    numberRow({
      label: "height",
      name: "height",
      value: item.height,
      unit: "m",
      decimals: 2,
      units: system.units,
      set: (value) => desk.commit(setHeight(desk.session.project, key, value)),
    }),
    choiceRow({
      label: "part",
      name: "part",
      value: item.part,
      note: described,
      choices: /** @type {[string, string][]} */ (parts),
      set: (value) => set("part", value, `part ${value}`),
    }),
    choiceRow({
      label: "state",
      name: "existing",
      value: item.existing ? "yes" : "no",
      choices: [
        ["no", "to be bought"],
        ["yes", "existing"],
      ],
      set: (value) =>
        set("existing", value === "yes", value === "yes" ? "existing" : "to be bought"),
    }),
  ];
}

/** @param {any} item @param {any} desk */
const place = (item, desk) => {
  const room = roomAt(desk.project, item.floor, item.at);
  return room ? `, in ${[room.number, room.name].filter(Boolean).join(" ")}` : "";
};

/**
 * How many are used of all there are; those kept spare are said, so that the figures agree with the
 * part's description. @param {any} used @param {any} usable @param {number} [all]
 */
export function shareText(used, usable, all) {
  if (!usable) return `${used.value} used; the limit is not known`;
  const spare = (all ?? usable.value) - usable.value;
  return `${used.value} used of ${all ?? usable.value}${spare > 0 ? `, ${spare} kept spare` : ""}`;
}

/** @param {any} panel @param {any} context */
export function panelFacts(panel, context) {
  const { desk, why, offers } = context;
  const found = desk.results.panels?.[panel.id];
  const part = (desk.project.catalogue.items ?? []).find(
    (/** @type {any} */ one) => one.part === panel.part,
  );
  const segments = desk.project.segments.filter(
    (/** @type {any} */ segment) => segment.panel === panel.id,
  );
  return {
    title: panel.tag,
    sub: `control panel${place(panel, desk)}`,
    parts: [
      h(
        "dl",
        { class: "facts-list" },
        commonRows(panel, context, { kind: "panel", id: panel.id }, "panel"),
        found && [
          row(
            "connections",
            shareText(found.connections, found.connection_limit, part?.kind.connections),
            why.opener(found.connections, "connections"),
          ),
          row(
            "points",
            shareText(
              found.measuring_points,
              found.measuring_point_limit,
              part?.kind.measuring_points,
            ),
            why.opener(found.measuring_points, "measuring points"),
          ),
        ],
      ),
      segments.length > 0
        ? [
            h("h3", {}, "Segments"),
            h(
              "ul",
              { class: "list" },
              segments.map((/** @type {any} */ segment) => segmentLine(segment, context)),
            ),
          ]
        : h(
            "p",
            {},
            link("Suggest the wiring", () => offers.wiring(), { "data-offer": "wiring" }),
          ),
    ],
  };
}

/** @param {any} segment @param {any} context */
function segmentLine(segment, { desk, system }) {
  const found = desk.results.segments?.[segment.id];
  return h(
    "li",
    {},
    h(
      "button",
      { type: "button", onclick: () => desk.select({ kind: "segment", id: segment.id }) },
      h("span", {}, h("b", {}, segment.tag), ` ${segment.devices.length} devices`),
      h("span", { class: "num" }, found ? quantity.text(found.length, system) : ""),
    ),
  );
}

/** @type {Record<string, [string, string]>} */
const DEVICE_KINDS = {
  UY: ["I/O unit", "io_unit"],
  XA: ["sounder", "sounder"],
  UI: ["display", "display"],
};

/** @param {any} device @param {any} context */
export function deviceFacts(device, context) {
  const { desk } = context;
  const item = (desk.project.catalogue.items ?? []).find(
    (/** @type {any} */ one) => one.part === device.part,
  );
  const is = item?.kind.is ?? DEVICE_KINDS[device.tag.split("-")[0]]?.[1] ?? "detector_device";
  const word = Object.values(DEVICE_KINDS).find(([, kind]) => kind === is)?.[0] ?? "field device";
  const segment = segmentOf(desk.project, device.id);
  return {
    title: device.tag,
    sub: `${word}${place(device, desk)}`,
    parts: h(
      "dl",
      { class: "facts-list" },
      commonRows(device, context, { kind: "device", id: device.id }, is),
      row(
        "segment",
        segment
          ? link(segment.tag, () => desk.select({ kind: "segment", id: segment.id }))
          : h("span", { class: "quiet" }, "none yet"),
      ),
    ),
  };
}

/** @param {any} item @param {any} context */
export function containmentFacts(item, context) {
  const set = setter(context, { kind: "containment", id: item.id });
  const { units } = context.system;
  return {
    title: "Containment",
    sub: "cables prefer it",
    parts: h(
      "dl",
      { class: "facts-list" },
      choiceRow({
        label: "kind",
        name: "kind",
        value: item.kind,
        choices: [
          ["tray", "tray"],
          ["trunking", "trunking"],
          ["conduit", "conduit"],
        ],
        set: (value) => set("kind", value, value),
      }),
      row("length", quantity.lengthText(lineLength(item.line), units, 1)),
      maybeRow({
        label: "height",
        name: "height",
        value: item.height,
        unit: "m",
        decimals: 2,
        units,
        assumed: "Taken as the basis of design's cable height.",
        set: (value) =>
          set(
            "height",
            value,
            value === null ? "height not known" : `at ${quantity.heightText(value, units)}`,
          ),
      }),
    ),
  };
}

/** @param {any} riser @param {any} context */
export function riserFacts(riser, context) {
  const set = setter(context, { kind: "riser", id: riser.id });
  const floors = [...context.desk.project.floors]
    .sort((a, b) => a.elevation - b.elevation)
    .map(({ id, name }) => /** @type {[string, string]} */ ([String(id), name]));
  return {
    title: riser.name,
    sub: "vertical way for cables",
    parts: h(
      "dl",
      { class: "facts-list" },
      textRow({
        label: "name",
        name: "name",
        value: riser.name,
        set: (value) => set("name", value, `named ${value}`),
      }),
      choiceRow({
        label: "from",
        name: "lowest",
        value: String(riser.lowest),
        choices: floors,
        set: (value) => set("lowest", Number(value), "lowest floor changed"),
      }),
      choiceRow({
        label: "to",
        name: "highest",
        value: String(riser.highest),
        choices: floors,
        set: (value) => set("highest", Number(value), "highest floor changed"),
      }),
    ),
  };
}

/** @param {any} segment @param {any} context */
export function segmentFacts(segment, context) {
  const { desk, why, system } = context;
  const found = desk.results.segments?.[segment.id];
  const panel = find(desk.project, { kind: "panel", id: segment.panel });
  const set = setter(context, { kind: "segment", id: segment.id });
  const cables = partsOf(desk.project, "cable").map((/** @type {any} */ one) => [
    one.part,
    one.part,
  ]);
  const described = (desk.project.catalogue.items ?? []).find(
    (/** @type {any} */ one) => one.part === segment.cable,
  )?.description;
  if (!cables.some((/** @type {string[]} */ [part]) => part === segment.cable))
    cables.push([segment.cable, segment.cable]);
  const figure = (/** @type {string} */ label, /** @type {any} */ value, limit = null) =>
    row(
      label,
      limit
        ? `${quantity.text(value, system)} of ${quantity.text(limit, system)} usable`
        : value
          ? quantity.text(value, system)
          : "–",
      why.opener(value, label),
    );
  return {
    title: `Segment ${segment.tag}`,
    sub: `from ${panel?.tag ?? "no panel"}, connection ${segment.connection}`,
    parts: [
      h(
        "dl",
        { class: "facts-list" },
        choiceRow({
          label: "cable",
          name: "cable",
          value: segment.cable,
          note: described,
          choices: /** @type {[string, string][]} */ (cables),
          set: (value) => set("cable", value, `cable ${value}`),
        }),
        found && [
          figure("length", found.length, found.length_limit),
          figure("current", found.current, found.current_limit),
          figure("devices", found.n_devices, found.device_limit),
          figure("supply", found.supply),
        ],
      ),
      h("h3", {}, "What it carries"),
      devices(segment, found, context),
    ],
  };
}

/**
 * The devices in the order of the cable, with their volts.
 * @param {any} segment
 * @param {any} found
 */
function devices(segment, found, /** @type {any} */ { desk, why, system }) {
  const volts = new Map(
    (found?.volts ?? []).map((/** @type {any} */ one) => [one.device, one.volts]),
  );
  return h(
    "ul",
    { class: "list" },
    segment.devices.map((/** @type {number} */ id) => {
      const device = find(desk.project, { kind: "device", id });
      const detector = find(desk.project, { kind: "detector", id: device?.detectors[0] });
      const key = detector ? { kind: "detector", id: detector.id } : { kind: "device", id };
      const what = detector ? (desk.results.detectors?.[detector.id]?.substance ?? "") : "";
      const volt = volts.get(id);
      return h(
        "li",
        {},
        h(
          "span",
          {},
          link(detector?.tag ?? device?.tag ?? `device ${id}`, () => {
            desk.select(key);
            desk.show(key);
          }),
          ` ${what}`,
        ),
        h("span", { class: "num" }, volt ? quantity.text(volt, system) : ""),
        why.cell(volt, "volts"),
      );
    }),
  );
}
