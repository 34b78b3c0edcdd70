/**
 * Facts of a release source: what gets out and how it is held, where it goes, and who watches it.
 */

import { setHeight } from "../commands/items.js";
import { nameOf, roomAt } from "../core/drawing.js";
import { area, lineLength } from "../core/geometry.js";
import * as quantity from "../core/quantity.js";
import { h, link } from "./dom.js";
import { setter } from "./facts_building.js";
import { releaseParts } from "./facts_release.js";
import { choiceRow, maybeRow, row, textRow } from "./fields.js";
import { releaseRows } from "./release_inputs.js";
import { substancePicker } from "./substances.js";

/** @type {[string, string][]} */
const HOLDINGS = [
  ["", "not known"],
  ["gas", "gas in a pipe or cylinder"],
  ["cryogenic_liquid", "cryogenic liquid"],
  ["liquefied_gas", "gas liquefied under pressure"],
  ["liquid", "liquid"],
  ["flue_gas", "flue gas, warm"],
];

/** @param {any} source @param {any} context */
export function sourceFacts(source, context) {
  const { desk, system } = context;
  const key = { kind: "source", id: source.id };
  const set = setter(context, key);
  const found = desk.results.sources?.[source.id];
  const room = roomAt(desk.project, desk.floor, source.at);
  const assumed = { ...desk.basis, ...desk.project.basis }.source_height_unknown;
  return {
    title: source.name,
    sub: `release source${room ? ` in ${[room.number, room.name].filter(Boolean).join(" ")}` : ""}`,
    parts: [
      h(
        "dl",
        { class: "facts-list" },
        textRow({
          label: "name",
          name: "name",
          value: source.name,
          set: (value) => set("name", value, `named ${value}`),
        }),
        row("substance", [
          sourcePicker(source, found, desk),
          found?.composition && h("span", { class: "quiet noted" }, found.composition),
        ]),
        maybeRow({
          label: "height",
          name: "height",
          value: source.height,
          unit: "m",
          decimals: 2,
          units: system.units,
          assumed: `Taken as ${quantity.heightText(assumed, system.units)} (basis of design).`,
          set: (value) =>
            desk.commit(
              value === null
                ? {
                    edit: {
                      do: "change",
                      item: {
                        kind: "source",
                        value: { ...source, height: null },
                      },
                    },
                    label: `${source.name}: height not known`,
                  }
                : setHeight(desk.session.project, /** @type {any} */ (key), value),
            ),
        }),
        extentRow(source, context),
        choiceRow({
          label: "how held",
          name: "holding",
          value: source.holding ?? "",
          choices: HOLDINGS,
          set: (value) =>
            set("holding", value || null, HOLDINGS.find(([one]) => one === value)?.[1] ?? ""),
        }),
        releaseRows(source, context, set),
      ),
      found && h("p", {}, found.sentence),
      releaseParts(source, context),
      (found?.watches ?? []).map((/** @type {any} */ watch) => watchPart(source, watch, context)),
    ],
  };
}

/** How far it goes, with the way back to one place. @param {any} source @param {any} context */
function extentRow(source, { desk, system }) {
  if (!source.extent) return null;
  const { kind, points } = source.extent;
  const size =
    kind === "area"
      ? `area of ${quantity.areaText(area(points), system.units)}`
      : `pipe run of ${quantity.lengthText(lineLength(points), system.units, 1)}`;
  const { extent, ...alone } = source;
  const command = {
    edit: { do: "change", item: { kind: "source", value: alone } },
    label: `${source.name}: at one place`,
  };
  return row("extent", [size, ". ", link("At one place only", () => desk.commit(command))]);
}

/** Of another substance, by the name that it was chosen by. @param {any} source @param {any} one */
function withSubstance({ called, ...source }, one) {
  // What was taken for a refrigerating system is so no longer.
  const forgets = called && !one.called ? { holding: null, release: null } : {};
  return { ...source, ...forgets, substance: one.key, ...(one.called ? { called: one.called } : {}) };
}

/** @param {any} source @param {any} found @param {any} desk */
function sourcePicker(source, found, desk) {
  return substancePicker({
    session: desk.session,
    name: "source-substance",
    label: "Substance",
    value: found?.substance ?? source.substance,
    set: (one) => {
      desk.chooseSubstance(one);
      // A source that goes by what comes out of it goes by the new one.
      const goesBy = source.name.toLowerCase() === (found?.substance ?? "").toLowerCase();
      const renamed = goesBy ? { ...source, name: one.name } : source;
      desk.commit({
        edit: { do: "change", item: { kind: "source", value: withSubstance(renamed, one) } },
        label: `${source.name}: ${one.name}`,
      });
    },
  });
}

/** @param {any} source @param {any} watch @param {any} context */
function watchPart(source, watch, context) {
  const { why, system } = context;
  const letter = watch.band[0].toUpperCase();
  return [
    h(
      "h3",
      {},
      `${watch.hazard.replace("_", " ")}, band `,
      h("span", { class: `band ${watch.band}` }, letter),
    ),
    h(
      "dl",
      { class: "facts-list" },
      row(
        "watch at",
        quantity.heightText(watch.height.value, system.units),
        why.opener(watch.height, "height"),
      ),
      watch.relative_density &&
        row(
          "density",
          `${quantity.figure(watch.relative_density.value, 2)} × air`,
          why.opener(watch.relative_density, "relative density"),
        ),
      watchedByRow(source, watch, context),
    ),
    h("p", {}, watch.reason),
  ];
}

/** Who has it in reach, nearest first, and of how many that must. @param {any} source @param {any} watch */
function watchedByRow(source, watch, /** @type {any} */ { desk, why, system }) {
  const demand = desk.results.demands.find(
    (/** @type {any} */ { kind, measures, hazard, band }) =>
      kind.kind === "source" &&
      kind.id === source.id &&
      measures === watch.measures &&
      hazard === watch.hazard &&
      band === watch.band,
  );
  if (!demand) return null;
  const by = demand.met_by.map((/** @type {any} */ { detector, figure }, /** @type {number} */ idx) => {
    const key = /** @type {const} */ ({ kind: "detector", id: detector });
    const tag = link(nameOf(desk.project, key), () => desk.select(key));
    const at = source.extent ? "up to" : "at";
    return [idx > 0 && ", ", tag, ` ${at} ${quantity.text(figure, system)}`];
  });
  const wanted = demand.need.value;
  const share = demand.size && [
    `; ${quantity.text(demand.watched, system)} of ${quantity.text(demand.size, system)}`,
  ];
  const count = wanted > 1 ? `${demand.watching} of ${wanted}: ` : "";
  return row(
    "watched by",
    by.length > 0 ? [count, ...by, share] : `${count}no detector yet`,
    why.opener(demand.watched ?? demand.met_by[0]?.figure ?? demand.reach, "watched by"),
  );
}
