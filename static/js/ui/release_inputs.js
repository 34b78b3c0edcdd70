/**
 * What can come out of a release source: choose what it is, then two to four figures in place, each
 * of which may be unknown. The shapes are those of `model::Release`.
 * @import {Source} from "../core/types.js"
 */

import * as quantity from "../core/quantity.js";
import { focusField } from "./dom.js";
import { askedRow, choiceRow, maybeRow } from "./fields.js";

/** @type {[string, string][]} */
const KINDS = [
  ["", "not known"],
  ["flow", "a known flow"],
  ["leak", "leak of a pipe or vessel"],
  ["low_pressure", "low-pressure gas pipe or appliance"],
  ["cylinder", "cylinder or manifold"],
  ["dewar", "dewar or cryogenic vessel"],
  ["spill", "liquid spilt"],
  ["battery", "battery on charge"],
  ["charge", "refrigerant charge"],
];

/** @type {[string, string][]} */
const JOINTS = [
  ["", "a hole of known size"],
  ["small_bore", "small-bore joint"],
  ["fibre_gasket", "flange, fibre gasket"],
  ["spiral_wound_gasket", "flange, spiral-wound gasket"],
  ["ring_joint", "ring joint"],
  ["valve_stem", "valve stem"],
  ["shaft_seal", "shaft seal of a pump or compressor"],
  ["open_end", "open or torn end"],
];

/** Assumption that suggests the hole of a joint. @type {Record<string, string>} */
const HOLES = {
  small_bore: "hole_small_bore",
  fibre_gasket: "hole_fibre_gasket",
  spiral_wound_gasket: "hole_spiral_wound",
  ring_joint: "hole_ring_joint",
  valve_stem: "hole_valve_stem",
  shaft_seal: "hole_shaft_seal",
};

/** What holds a refrigerant. @type {[string, string][]} */
const EQUIPMENT = [
  ["", "not known: plant"],
  ["household", "household refrigerator or freezer"],
  ["cabinet", "refrigerated cabinet"],
  ["room_unit", "split air conditioner or heat pump"],
  ["plant", "cold room, chiller, plant"],
];

/** Assumption about what it holds. @type {Record<string, string>} */
const CHARGES = {
  household: "charge_household",
  cabinet: "charge_cabinet",
  room_unit: "charge_room_unit",
};

/** A release of this kind of which nothing is known yet. @type {Record<string, any>} */
const BLANK = {
  flow: { rate: null, per: "cubic_metres_per_hour" },
  leak: { hole: null, joint: "small_bore", bore: null, pressure: null, temperature: null },
  low_pressure: { rating: null, bore: null, pressure: null },
  cylinder: {
    litres: null,
    pressure: null,
    contents: null,
    number: null,
    outlet: "hole",
    hole: null,
  },
  dewar: { litres: null, loss: "full", boil_off: null },
  spill: { litres: null, area: null, air_speed: null, temperature: null },
  battery: { cells: null, capacity: null, cell: null, charge: null },
  charge: { equipment: null, mass: null, minutes: null },
};

/**
 * The rows of a source's release, for its facts list.
 * @param {Source} source @param {any} context
 * @param {(field: string, value: any, words: string) => void} set
 */
export function releaseRows(source, context, set) {
  const release = /** @type {any} */ (source.release ?? null);
  const kind = release?.kind ?? "";
  const rows = new Rows(source, context, set);
  return [
    choiceRow({
      label: "what comes out",
      name: "release",
      value: kind,
      choices: KINDS,
      set: (value) => {
        set("release", value ? { kind: value, ...BLANK[value] } : null, wordOf(KINDS, value));
        // A flow that is known wants its number at once.
        if (value === "flow") focusField("release-rate");
      },
      note: kind ? "" : "A cautious release is assumed, and asked of the client.",
    }),
    release && FIELDS[kind](rows, release),
  ];
}

/** @param {[string, string][]} choices @param {string} value */
const wordOf = (choices, value) => choices.find(([key]) => key === value)?.[1] ?? value;

/** Rows that each change one figure of the release. */
class Rows {
  /** @param {Source} source @param {any} context @param {any} set */
  constructor(source, { desk, system }, set) {
    this.source = source;
    this.system = system;
    this.set = set;
    /** @type {Record<string, number>} */
    this.basis = { ...desk.basis, ...desk.project.basis };
  }

  /** Changes fields of the release. @param {object} fields @param {string} words */
  change(fields, words) {
    this.set("release", { .../** @type {any} */ (this.source.release), ...fields }, words);
  }

  /**
   * A figure that may be unknown. `assumed`: the key of the assumption, or a sentence.
   * @param {string} label @param {string} field @param {string} unit @param {string} assumed
   * @param {typeof maybeRow} [line] `askedRow` where it is said to be known
   */
  figure(label, field, unit, assumed, line = maybeRow) {
    const value = /** @type {any} */ (this.source.release)[field] ?? null;
    const words = (/** @type {number} */ number) =>
      quantity.asStated({ value: number, unit, why: 0 }, this.system);
    const taken = assumed in this.basis ? `Taken as ${words(this.basis[assumed])}.` : assumed;
    return line({
      label,
      name: `release-${field}`,
      value,
      unit,
      decimals: null,
      units: this.system.units,
      assumed: taken,
      set: (typed) => {
        // What has no unit is a count.
        const number = typed !== null && unit === "" ? Math.round(typed) : typed;
        const said = number === null ? `${label} not known` : `${label} ${words(number)}`;
        this.change({ [field]: number }, said);
      },
    });
  }

  /**
   * A choice. @param {string} label @param {string} field @param {[string, string][]} choices
   * @param {{fields?: object, note?: string}} [more] `fields`: what else changes with it
   */
  choice(label, field, choices, { fields = {}, note = "" } = {}) {
    const value = /** @type {any} */ (this.source.release)[field] ?? "";
    return choiceRow({
      label,
      name: `release-${field}`,
      value,
      choices,
      note,
      set: (chosen) =>
        this.change({ ...fields, [field]: chosen || null }, `${label}: ${wordOf(choices, chosen)}`),
    });
  }
}

/** The rows of each kind. @type {Record<string, (rows: Rows, release: any) => any[]>} */
const FIELDS = {
  flow: (rows, { per }) => [
    rows.figure(
      "flow",
      "rate",
      per === "kilograms_per_hour" ? "kg/h" : "m3/h",
      "Until it is typed, a cautious release is assumed.",
      askedRow,
    ),
    rows.choice(
      "stated in",
      "per",
      [
        ["cubic_metres_per_hour", "cubic metres an hour"],
        ["kilograms_per_hour", "kilograms an hour"],
      ],
      { fields: { rate: null } },
    ),
  ],
  leak: (rows, { joint }) => [
    rows.choice("leaks at", "joint", JOINTS, {
      fields: { hole: null, bore: null },
      note: suggestion(rows, joint),
    }),
    joint === null && rows.figure("hole", "hole", "mm2", "hole_small_bore"),
    joint === "open_end" &&
      rows.figure("bore", "bore", "mm", "Taken as the hole of a small-bore joint."),
    rows.figure("pressure", "pressure", "bar(g)", pressureAssumed(rows)),
    rows.figure("temperature", "temperature", "degC", "room_temperature"),
  ],
  low_pressure: (rows, { rating, bore }) => [
    rows.figure(
      "rated output",
      "rating",
      "kW",
      bore === null ? "rating_unknown" : "The torn pipe decides.",
    ),
    rows.figure(
      "bore, torn off",
      "bore",
      "mm",
      rating === null ? "The appliance at full flow decides." : "Only the appliance is counted.",
    ),
    rows.figure("pressure", "pressure", "mbar(g)", "low_pressure_unknown"),
  ],
  cylinder: (rows, { outlet }) => {
    const liquefied = rows.source.holding === "liquefied_gas";
    return [
      rows.figure("water volume, each", "litres", "L", "cylinder_litres_unknown"),
      liquefied
        ? rows.figure("contents, each", "contents", "kg", "Taken as full of liquid.")
        : rows.figure("filled to", "pressure", "bar(g)", "cylinder_pressure_unknown"),
      rows.figure("cylinders together", "number", "", "Taken as one."),
      rows.choice("gets out by", "outlet", [
        ["hole", "a leak"],
        ["valve_opened", "the valve, opened"],
      ]),
      outlet === "hole" && rows.figure("hole", "hole", "mm2", "hole_small_bore"),
    ];
  },
  dewar: (rows, { loss }) => [
    rows.figure("liquid when full", "litres", "L", "dewar_litres_unknown"),
    rows.choice("loses it by", "loss", [
      ["full", "bursting or a spill"],
      ["boil_off", "boiling off"],
    ]),
    loss === "boil_off" &&
      rows.figure(
        "boil-off",
        "boil_off",
        "L/d",
        `Taken as ${rows.basis.boil_off_unknown} % of the liquid a day.`,
      ),
  ],
  spill: (rows, { area }) => [
    rows.figure(
      "liquid spilt",
      "litres",
      "L",
      area === null ? "spill_litres_unknown" : "Taken from the surface and the depth of a pool.",
    ),
    rows.figure("surface", "area", "m2", `Taken as a pool ${rows.basis.pool_depth} mm deep.`),
    rows.figure("air over it", "air_speed", "m/s", "air_speed_unknown"),
    rows.figure("temperature", "temperature", "degC", "room_temperature"),
  ],
  battery: (rows) => [
    rows.figure("cells", "cells", "", "cells_unknown"),
    rows.figure("capacity", "capacity", "Ah", "capacity_unknown"),
    rows.choice("kind of cell", "cell", [
      ["", "not known: vented lead"],
      ["vented_lead", "vented lead"],
      ["valve_regulated_lead", "valve-regulated lead"],
      ["nickel_cadmium", "nickel-cadmium"],
    ]),
    rows.choice("charge", "charge", [
      ["", "not known: boost"],
      ["float", "float"],
      ["boost", "boost"],
    ]),
  ],
  charge: (rows, { equipment }) => [
    rows.choice("held by", "equipment", EQUIPMENT),
    rows.figure(
      "charge, by its nameplate",
      "mass",
      "kg",
      CHARGES[equipment] ?? "charge_unknown",
    ),
    rows.figure("lost in", "minutes", "min", "charge_loss_time"),
  ],
};

/** The hole suggested for a joint, in words. @param {Rows} rows @param {?string} joint */
function suggestion(rows, joint) {
  const key = joint && HOLES[joint];
  if (!key) return "";
  const hole = { value: rows.basis[key], unit: "mm2", why: 0 };
  return `hole ${quantity.asStated(hole, rows.system)}, suggested`;
}

/** @param {Rows} rows */
const pressureAssumed = (rows) =>
  rows.source.holding === "liquefied_gas" ? "Taken as its vapour pressure." : "pressure_unknown";
