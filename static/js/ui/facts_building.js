/** Facts of rooms, barriers, openings, air terminals and marked areas. */

import { setField } from "../commands/items.js";
import { lineLength, distance } from "../core/geometry.js";
import * as quantity from "../core/quantity.js";
import { MARKED_NAMES, TERMINAL_NAMES, nameOf, roomAt } from "../core/drawing.js";
import { comparisonLink, comparisonPart } from "./comparison.js";
import { h, link } from "./dom.js";
import { choiceRow, maybeRow, row, textRow } from "./fields.js";
import { roomForm } from "./facts_room_form.js";

/** @type {[string, string][]} */
const USES = [
  ["laboratory", "laboratory"],
  ["boiler_room", "boiler room"],
  ["plant_room", "plant room"],
  ["store", "store, cold store"],
  ["corridor", "corridor"],
  ["office", "office"],
  ["workshop", "workshop"],
  ["car_park", "car park"],
  ["refrigeration_room", "machinery room of refrigeration"],
  ["stair", "stair"],
  ["outdoor", "outdoor"],
  ["other", "other"],
];

const WHOLE_FLOOR = "Its whole floor is watched, unless the basis of design says otherwise.";

/** What a use changes. @type {Record<string, string>} */
const USE_SAYS = {
  laboratory: WHOLE_FLOOR,
  boiler_room: WHOLE_FLOOR,
  plant_room: WHOLE_FLOOR,
  store: WHOLE_FLOOR,
  refrigeration_room:
    "For plant only, entered by those who tend it: it may hold more refrigerant than other rooms.",
};

/** @type {[string, string][]} */
const ENCLOSURES = [
  ["enclosed", "enclosed"],
  ["open_sided", "open-sided"],
  ["outdoor", "outdoor area"],
];

/** A way to change one field of the thing selected. @param {any} context */
export const setter =
  ({ desk }, /** @type {any} */ key) =>
  (/** @type {string} */ field, /** @type {any} */ value, /** @type {string} */ words) =>
    desk.commit(setField(desk.session.project, key, field, value, words));

/** @param {any} room @param {any} context */
export function roomFacts(room, context) {
  const { desk, why, system } = context;
  const key = { kind: "room", id: room.id };
  const set = setter(context, key);
  const found = desk.results.rooms?.[room.id];
  return {
    title: [room.number, room.name].filter(Boolean).join(" "),
    sub: found
      ? ["room, ", quantity.text(found.area, system), " ", why.opener(found.area, "area")]
      : "room",
    parts: [
      h(
        "dl",
        { class: "facts-list" },
        textRow({
          label: "number",
          name: "number",
          value: room.number,
          set: (value) => set("number", value, `number ${value}`),
        }),
        textRow({
          label: "name",
          name: "name",
          value: room.name,
          placeholder: "name it",
          set: (value) => set("name", value, `named ${value}`),
        }),
        choiceRow({
          label: "use",
          name: "use",
          value: room.room_use,
          choices: USES,
          note: USE_SAYS[room.room_use] ?? "",
          set: (value) => set("room_use", value, `use: ${value.replace("_", " ")}`),
        }),
        choiceRow({
          label: "enclosure",
          name: "enclosure",
          value: room.enclosure,
          choices: ENCLOSURES,
          set: (value) => set("enclosure", value, value.replace("_", " ")),
        }),
        unknowns(room, context, set),
        roomForm(room, context, set),
      ),
      covers(found, context, room),
    ],
  };
}

/** What the surveyor may not know. @param {any} room @param {any} context @param {any} set */
function unknowns(room, { desk, why, system }, set) {
  const found = desk.results.rooms?.[room.id];
  const basis = { ...desk.basis, ...desk.project.basis };
  const ceiling = basis.ceiling_unknown;
  const changes = basis.air_changes_unknown;
  return [
    maybeRow({
      label: "ceiling",
      name: "ceiling",
      value: room.ceiling,
      unit: "m",
      decimals: 2,
      units: system.units,
      assumed: `Taken as ${quantity.heightText(ceiling, system.units)} (basis of design).`,
      set: (value) =>
        set(
          "ceiling",
          value,
          value === null
            ? "ceiling not known"
            : `ceiling ${quantity.heightText(value, system.units)}`,
        ),
      why: why.opener(found?.ceiling, "ceiling"),
    }),
    maybeRow({
      label: "air changes",
      name: "air-changes",
      value: room.air_changes,
      unit: "per hour",
      decimals: 1,
      assumed: `Taken as ${changes} per hour (basis of design).`,
      set: (value) =>
        set(
          "air_changes",
          value,
          value === null ? "air changes not known" : `${value} air changes an hour`,
        ),
      why: why.opener(found?.air_changes, "air changes"),
    }),
  ];
}

/** What the search knows of the fewest: that, or between what and what it lies. */
function fewest(/** @type {any} */ { fewest: { value }, bound, proven }) {
  if (proven) return `fewest ${value}`;
  return bound.value < value
    ? `fewest not proven: ${bound.value} to ${value}`
    : `fewest ${value}, not proven`;
}

/** How many must have each thing in reach. @param {any} cover */
const votes = ({ name, band, need }) =>
  `${name}, ${band}: ${need.value} in reach of everything that is watched. `;

/** What is watched here, with how many detectors and the fewest. @param {any} found */
function covers(found, /** @type {any} */ { desk, why, offers, system }, /** @type {any} */ room) {
  const list = found?.covers ?? [];
  const suggest = h(
    "p",
    {},
    link(
      "Suggest detectors for this room",
      () => offers.detectors({ floor: null, room: room.id }),
      { "data-offer": "this-room" },
    ),
  );
  if (list.length === 0) return h("p", { class: "quiet" }, "No release source is in this room.");
  return [
    h("h3", {}, "What is watched"),
    h(
      "ul",
      { class: "list" },
      list.map((/** @type {any} */ cover) => [
        h(
          "li",
          {},
          h(
            "span",
            {},
            cover.name,
            " ",
            h("span", { class: `band ${cover.band}` }, cover.band[0].toUpperCase()),
          ),
          h("span", { class: "num" }, `${cover.detectors.length}, ${fewest(cover)}`),
          why.cell(cover.fewest, "fewest detectors"),
          h("span", { class: "why-cell" }, comparisonLink(cover, { desk, room })),
        ),
        comparisonPart(cover, { desk, room, system }),
      ]),
    ),
    list.some((/** @type {any} */ cover) => cover.need.value > 1) &&
      h("p", {}, list.filter((/** @type {any} */ cover) => cover.need.value > 1).map(votes)),
    list.some((/** @type {any} */ cover) => cover.proven) &&
      h(
        "p",
        { class: "quiet" },
        `Fewest, proven for ${list.find((/** @type {any} */ cover) => cover.proven).holds_for}.`,
      ),
    scenarioRows(found.scenario, { why, system }),
    desk.suggestion ? null : suggest,
  ];
}

/** How well the room is watched as a whole. @param {any} scenario @param {any} context */
function scenarioRows(scenario, { why, system }) {
  if (!scenario) return null;
  const { sources, met, share, floor, floor_asked, alarm, silent } = scenario;
  return h(
    "dl",
    { class: "facts-list" },
    row(
      "sources met",
      `${met.value} of ${sources.value}, ${quantity.text(share, system)}`,
      why.opener(share, "share of sources met"),
    ),
    floor &&
      row(
        "floor watched",
        [
          quantity.text(floor, system),
          floor_asked && `, ${quantity.text(floor_asked, system)} asked for`,
        ],
        why.opener(floor, "share of floor area watched"),
      ),
    (alarm || silent.length > 0) &&
      row(
        "latest alarm",
        [alarm && quantity.text(alarm, system), silent.length > 0 && `${silent.length} without`]
          .filter(Boolean)
          .join("; "),
        why.opener(alarm, "latest alarm"),
      ),
  );
}

/** @param {any} barrier @param {any} context */
export function barrierFacts(barrier, context) {
  const set = setter(context, { kind: "barrier", id: barrier.id });
  const { units } = context.system;
  return {
    title: "Barrier",
    sub: "gas must go round it",
    parts: h(
      "dl",
      { class: "facts-list" },
      row("length", quantity.lengthText(lineLength(barrier.line), units, 2)),
      maybeRow({
        label: "top",
        name: "height",
        value: barrier.height,
        unit: "m",
        decimals: 2,
        units,
        assumed: "Taken up to the ceiling.",
        set: (value) =>
          set(
            "height",
            value,
            value === null ? "up to the ceiling" : `top at ${quantity.heightText(value, units)}`,
          ),
      }),
      maybeRow({
        label: "underside",
        name: "underside",
        value: barrier.underside ?? null,
        unit: "m",
        decimals: 2,
        units,
        blank: "on the floor",
        assumed: "It stands on the floor; a beam hangs.",
        set: (value) =>
          set(
            "underside",
            value,
            value === null
              ? "stands on the floor"
              : `beam, underside at ${quantity.heightText(value, units)}`,
          ),
      }),
    ),
  };
}

/** @type {Record<string, string>} */
const OPENING_TITLES = { door: "Door", window: "Window", open_way: "Open way" };

/** @param {any} opening @param {any} context */
export function openingFacts(opening, context) {
  const set = setter(context, { kind: "opening", id: opening.id });
  const { units } = context.system;
  return {
    title: OPENING_TITLES[opening.form],
    sub: "opening in a wall",
    parts: h(
      "dl",
      { class: "facts-list" },
      choiceRow({
        label: "form",
        name: "form",
        value: opening.form,
        choices: [
          ["door", "door"],
          ["window", "window"],
          ["open_way", "open way"],
        ],
        set: (value) => set("form", value, value.replace("_", " ")),
      }),
      row("width", quantity.lengthText(distance(opening.a, opening.b), units, 2)),
      maybeRow({
        label: "head",
        name: "head",
        value: opening.head,
        unit: "m",
        decimals: 2,
        units,
        assumed: opening.form === "open_way" ? "Taken up to the ceiling." : "Taken as 2.10 m.",
        set: (value) =>
          set(
            "head",
            value,
            value === null ? "head not known" : `head at ${quantity.heightText(value, units)}`,
          ),
      }),
    ),
  };
}

/** @param {any} terminal @param {any} context */
export function terminalFacts(terminal, context) {
  const { desk, system } = context;
  const key = /** @type {any} */ ({ kind: "terminal", id: terminal.id });
  const set = setter(context, key);
  const room = roomAt(desk.project, desk.floor, terminal.at);
  const { units } = system;
  const name = nameOf(desk.project, key);
  return {
    title: name[0].toUpperCase() + name.slice(1),
    sub: `air terminal${room ? ` in ${[room.number, room.name].filter(Boolean).join(" ")}` : ""}`,
    parts: [
      h(
        "dl",
        { class: "facts-list" },
        choiceRow({
          label: "kind",
          name: "kind",
          value: terminal.kind,
          choices: Object.entries(TERMINAL_NAMES),
          set: (value) => set("kind", value, TERMINAL_NAMES[value]),
        }),
        maybeRow({
          label: "height",
          name: "height",
          value: terminal.height,
          unit: "m",
          decimals: 2,
          units,
          blank: "not known",
          assumed: "Nothing is reckoned from it yet.",
          set: (value) =>
            set(
              "height",
              value,
              value === null ? "height not known" : `at ${quantity.heightText(value, units)}`,
            ),
        }),
        maybeRow({
          label: "flow",
          name: "flow",
          value: terminal.flow,
          unit: "m3/h",
          decimals: null,
          units,
          blank: "not known",
          assumed: "The air changes of the room are what counts.",
          set: (value) =>
            set(
              "flow",
              value,
              value === null
                ? "flow not known"
                : quantity.asStated({ value, unit: "m3/h", why: 0 }, system),
            ),
        }),
      ),
      h("p", {}, TERMINAL_WORDS[terminal.kind]),
    ],
  };
}

/** What the kind means for detectors. @type {Record<string, string>} */
const TERMINAL_WORDS = {
  extract: "Where ventilation is strong, gas of the room is watched here as well.",
  return_air: "Where ventilation is strong, gas of the room is watched here as well.",
  supply: "Suggested detectors keep clear of it: its air thins the gas.",
  intake: "What is released near it in the open is watched here as well.",
  cupboard: "What is released in the cupboard is watched here, in its extract.",
};

/** What the level of a marked area is. @type {Record<string, [string, string, string]>} */
const LEVELS = {
  pit: ["depth", "pit_depth_unknown", "deep"],
  platform: ["height", "platform_height_unknown", "up"],
};

/** @param {any} area @param {any} context */
export function markedFacts(area, context) {
  const { desk, system } = context;
  const key = /** @type {any} */ ({ kind: "marked", id: area.id });
  const set = setter(context, key);
  const { units } = system;
  const name = nameOf(desk.project, key);
  const [label, unknown, word] = LEVELS[area.kind] ?? [];
  const assumed = unknown && { ...desk.basis, ...desk.project.basis }[unknown];
  return {
    title: name[0].toUpperCase() + name.slice(1),
    sub: "marked area of the floor",
    parts: [
      h(
        "dl",
        { class: "facts-list" },
        choiceRow({
          label: "kind",
          name: "kind",
          value: area.kind,
          choices: Object.entries(MARKED_CHOICES),
          set: (value) => set("kind", value, MARKED_NAMES[value]),
        }),
        label &&
          maybeRow({
            label,
            name: "level",
            value: area.level,
            unit: "m",
            decimals: 2,
            units,
            blank: "not known",
            assumed: `Taken as ${quantity.heightText(assumed, units)} (basis of design).`,
            set: (value) =>
              set(
                "level",
                value,
                value === null
                  ? `${label} not known`
                  : `${quantity.heightText(value, units)} ${word}`,
              ),
          }),
      ),
      h("p", {}, markedWords(area, desk)),
    ],
  };
}

/**
 * What an area means for detectors; of a pit whether it is watched.
 * @param {any} area @param {{results: any, basis: any, project: any}} desk
 */
export function markedWords(area, { results, basis, project }) {
  if (area.kind !== "pit") return MARKED_WORDS[area.kind];
  const asked = (results.demands ?? []).some(
    (/** @type {any} */ { kind }) => kind.kind === "pit" && kind.id === area.id,
  );
  if (asked) return MARKED_WORDS.pit;
  return { ...basis, ...project.basis }.watch_pits === 0
    ? "Pits are not watched on their own, as the basis of design says."
    : "Nothing asks for a detector in it: no gas that sinks is released in its air, or it is too " +
        "shallow to hold any.";
}

/** @type {Record<string, string>} */
const MARKED_CHOICES = {
  pit: "pit, sump or channel",
  heat: "heat: no detector",
  water: "water: no detector",
  keep_out: "no detector here",
  obstructed: "bench or plant in the way, low",
  platform: "platform or walkway",
};

/** What the kind means for detectors. @type {Record<string, string>} */
const MARKED_WORDS = {
  pit: "What sinks gathers in it: it is watched over its whole floor, by detectors in the pit.",
  heat: "Suggested detectors keep clear of it: heat ages and misleads a sensor.",
  water: "Suggested detectors keep clear of it: water blinds a sensor.",
  keep_out: "Suggested detectors keep out of it, for whatever reason.",
  obstructed: "A detector near the floor is hidden here: the place costs more when others serve.",
  platform: "A detector above it is reached from it, so that its height costs nothing more.",
};
