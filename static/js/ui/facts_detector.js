/**
 * Facts of a detector: height with its reason, set-points, what it watches, what is lost without.
 */

import { setHeight } from "../commands/items.js";
import { partsFor } from "../commands/places.js";
import { withoutOwn } from "../commands/set_points.js";
import { changeTag } from "../commands/tags.js";
import { deviceOf, roomAt, segmentOf } from "../core/drawing.js";
import * as quantity from "../core/quantity.js";
import { h, link } from "./dom.js";
import { choiceRow, numberRow, row, textRow } from "./fields.js";
import { setter } from "./facts_building.js";
import { alarmRows } from "./facts_release.js";
import { setPointFacts } from "./set_points.js";

const ORIGINS = /** @type {[string, string][]} */ ([
  ["suggested", "suggested"],
  ["by_hand", "by hand"],
  ["existing", "existing"],
]);

/** @param {any} detector @param {any} context */
export function detectorFacts(detector, context) {
  const { desk, why, system } = context;
  const key = { kind: "detector", id: detector.id };
  const set = setter(context, key);
  const found = desk.results.detectors?.[detector.id];
  const room = roomAt(desk.project, detector.floor, detector.at);
  const letter = detector.band[0].toUpperCase();
  const band = [", band ", h("span", { class: `band ${detector.band}` }, letter)];
  return {
    title: `${detector.tag} ${found?.substance ?? ""}`,
    sub: room ? [room.number, room.name].filter(Boolean).join(" ") : "in no room",
    parts: [
      h(
        "dl",
        { class: "facts-list" },
        textRow({
          label: "tag",
          name: "tag",
          value: detector.tag,
          set: (value) => set("tag", value, `tag ${value}`),
        }),
        numberRow({
          label: "height",
          name: "height",
          value: detector.height,
          unit: "m",
          decimals: 2,
          units: system.units,
          after: band,
          why: why.opener(found?.height, "height"),
          set: (value) =>
            desk.commit(setHeight(desk.session.project, /** @type {any} */ (key), value)),
        }),
        substanceRow(detector, context),
        choiceRow({
          label: "band",
          name: "band",
          value: detector.band,
          choices: [
            ["high", "high"],
            ["breathing", "breathing"],
            ["low", "low"],
          ],
          set: (value) => set("band", value, `band ${value}`),
        }),
        partRow(detector, context, set),
        found?.range &&
          row("range", rangeText(found, system), why.opener(found.range.high, "range")),
        ...alarmRows(detector, context),
        found && reachRow(detector, found, context),
        deviceRow(detector, context),
        choiceRow({
          label: "state",
          name: "origin",
          value: detector.origin,
          choices: ORIGINS,
          set: (value) => set("origin", value, ORIGINS.find(([one]) => one === value)?.[1] ?? ""),
        }),
        tagRow(detector, context),
      ),
      setPointFacts(detector, context),
      found && [
        h("h3", {}, `Why at ${quantity.heightText(found.height.value, system.units)}`),
        h("p", {}, found.height_reason),
      ],
      watches(detector, found, context),
    ],
  };
}

/** How far it reaches, and on demand how far it is to everywhere. @param {any} detector */
function reachRow(detector, /** @type {any} */ found, /** @type {any} */ { desk, why, system }) {
  const says = desk.distancesShown ? "hide the distances" : "show distances";
  const toggle = link(says, () => desk.toggleDistances(detector.id), { "data-field": "distances" });
  const reach = quantity.text(found.reach, system);
  return row("reach", [`${reach}, `, toggle], why.opener(found.reach, "reach"));
}

/** Where its tag stands, and who put it there. @param {any} detector @param {any} context */
function tagRow(detector, { desk }) {
  const byHand = Boolean(detector.tag_offset);
  return row("tag stands", [
    byHand ? "where it was put, " : "where the program put it, ",
    link("move it with the arrow keys", () => {
      desk.use("tag");
      /** @type {HTMLElement} */ (document.activeElement)?.blur();
    }),
    byHand && [
      ", ",
      link("let the program place it", () => desk.commit(changeTag(detector, null)), {
        "data-field": "tag-free",
      }),
    ],
  ]);
}

/** What it measures is one of what the sources around need. @param {any} detector */
function substanceRow(detector, /** @type {any} */ { desk }) {
  const offers = new Map();
  const label = desk.results.detectors?.[detector.id]?.substance ?? detector.watches;
  offers.set(`${detector.watches}|${detector.hazard}`, `${label}, ${words(detector.hazard)}`);
  for (const source of desk.project.sources) {
    const result = desk.results.sources?.[source.id];
    if (source.floor !== detector.floor || !result) continue;
    for (const watch of result.watches) {
      const key = `${watch.measures}|${watch.hazard}`;
      const name = watch.measures === source.substance ? result.substance : "oxygen";
      if (!offers.has(key)) offers.set(key, `${name}, ${words(watch.hazard)}`);
    }
  }
  return choiceRow({
    label: "measures",
    name: "measures",
    choices: [...offers],
    value: `${detector.watches}|${detector.hazard}`,
    set: (value) => {
      const [watches, hazard] = value.split("|");
      const part = partsFor(desk.project, watches)[0]?.part ?? detector.part;
      desk.commit({
        edit: {
          do: "change",
          item: {
            kind: "detector",
            value: { ...withoutOwn(detector), watches, hazard, part },
          },
        },
        label: `${detector.tag} measures ${offers.get(value)}`,
      });
    },
  });
}

/** @param {string} hazard */
const words = (hazard) => hazard.replace("_", " ");

/** @param {any} detector @param {any} context @param {any} set */
function partRow(detector, { desk }, set) {
  const parts = partsFor(desk.project, detector.watches).map((/** @type {any} */ item) => [
    item.part,
    item.part,
  ]);
  const choices = [["", "none in the catalogue"], ...parts];
  if (detector.part && !parts.some((/** @type {string[]} */ [part]) => part === detector.part)) {
    choices.push([detector.part, detector.part]);
  }
  const described = (desk.project.catalogue.items ?? []).find(
    (/** @type {any} */ item) => item.part === detector.part,
  )?.description;
  return choiceRow({
    label: "part",
    name: "part",
    value: detector.part ?? "",
    note: described,
    choices: /** @type {[string, string][]} */ (choices),
    set: (value) => set("part", value || null, `part ${value || "none"}`),
  });
}

/** @param {any} found @param {any} system */
const rangeText = ({ range, principle }, system) =>
  `${principle ? `${words(principle)}, ` : ""}${quantity.figure(range.low.value, 0)} to ` +
  quantity.text(range.high, system);

/** @param {any} detector @param {any} context */
function deviceRow(detector, { desk, why, system }) {
  const device = deviceOf(desk.project, detector.id);
  if (!device) return row("field device", h("span", { class: "quiet" }, "none yet"));
  const segment = segmentOf(desk.project, device.id);
  if (!segment) return row("field device", `${device.tag}, on no segment`);
  const volts = desk.results.segments?.[segment.id]?.volts.find(
    (/** @type {any} */ one) => one.device === device.id,
  )?.volts;
  const open = link(segment.tag, () => desk.select({ kind: "segment", id: segment.id }));
  return row(
    "field device",
    [`${device.tag} on `, open, volts ? `, ${quantity.text(volts, system)}` : ""],
    why.opener(volts, "volts"),
  );
}

/** @param {any} detector @param {any} found @param {any} context */
function watches(detector, found, { desk, why, system }) {
  if (!found) return null;
  const met = desk.results.demands.filter((/** @type {any} */ demand) =>
    demand.met_by.some((/** @type {any} */ one) => one.detector === detector.id),
  );
  const items = met.map((/** @type {any} */ demand) => {
    const { figure } = demand.met_by.find((/** @type {any} */ one) => one.detector === detector.id);
    const of = demand.kind.kind === "area" ? demand.size : demand.reach;
    return h(
      "li",
      {},
      h("span", {}, demand.title),
      h(
        "span",
        { class: "num" },
        `${quantity.text(figure, system)}${of ? ` of ${quantity.figure(of.value, 1)}` : ""}`,
      ),
      why.cell(figure, demand.title),
    );
  });
  return [
    h("h3", {}, "What it watches"),
    items.length > 0
      ? h("ul", { class: "list" }, items)
      : h("p", {}, "Nothing that must be watched lies in its reach."),
    found.without && h("p", {}, found.without),
  ];
}
