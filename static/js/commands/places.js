/**
 * Drawing intent for sources, air terminals, marked areas, detectors, panels, field devices,
 * containment and risers -> edits.
 * @import {Command, Point, Project} from "../core/types.js"
 */

import { pitAt, roomAt, walls } from "../core/drawing.js";
import { millimetre, nearestOnSegment, toMillimetres } from "../core/geometry.js";
import { nextId, nextTag } from "../core/ids.js";
import { standsAt } from "../core/transforms.js";

const REFRIGERATING = {
  holding: "liquefied_gas",
  release: { kind: "charge", equipment: null, mass: null, minutes: null },
};

/**
 * @param {Project} project @param {number} floor @param {Point} at
 * @param {{key: string, name: string, called?: ?string}} substance `called`: the refrigerant number
 *   it was chosen by
 * @returns {Command}
 */
export function addSource(project, floor, at, substance) {
  const id = nextId(project.sources);
  const value = {
    id,
    floor,
    name: substance.name,
    at: toMillimetres(at),
    height: null,
    substance: substance.key,
    ...(substance.called ? { called: substance.called } : {}),
    // Who asks for it by its refrigerant number has a refrigerating system in mind.
    ...(substance.called ? REFRIGERATING : { holding: null, release: null }),
  };
  return {
    edit: { do: "add", item: { kind: "source", value } },
    label: `${substance.name} source placed`,
    select: { kind: "source", id },
  };
}

/**
 * A source that goes along a pipe or over an area.
 * @param {Project} project @param {number} floor @param {"line"|"area"} kind @param {Point[]} points
 * @param {{key: string, name: string, called?: ?string}} substance
 * @returns {Command}
 */
export function addExtent(project, floor, kind, points, substance) {
  const extent = { kind, points: points.map(toMillimetres) };
  const command = addSource(project, floor, standsAt(extent), substance);
  const { item } = /** @type {any} */ (command.edit);
  const value = { ...item.value, name: `${substance.name} ${EXTENT_WORDS[kind]}`, extent };
  return {
    ...command,
    edit: { do: "add", item: { kind: "source", value } },
    label: `${value.name} drawn`,
  };
}

const EXTENT_WORDS = { line: "pipe run", area: "area" };

/**
 * What a detector placed here would most likely be for: a pit here that too few watch, else the
 * watch of a source in the same room that fewest detectors meet, or else of the nearest source.
 * `null` without any source on the floor; `pit` is the pit it would be in.
 * @param {Project} project @param {any} results @param {number} floor @param {Point} at
 */
export function likelyWatch(project, results, floor, at) {
  const room = roomAt(project, floor, at);
  const pit = pitAt(project, floor, at);
  const demands = (
    /** @type {string} */ kind,
    /** @type {number|undefined} */ id,
    /** @type {any} */ watch,
  ) =>
    (results.demands ?? []).filter(
      (/** @type {any} */ demand) =>
        demand.kind.kind === kind &&
        demand.kind.id === id &&
        demand.measures === watch.measures &&
        demand.band === watch.band,
    );
  const unmet = (/** @type {any[]} */ found) => found.some(({ met }) => !met);
  const offers = project.sources
    .filter((source) => source.floor === floor)
    .flatMap((source) =>
      (results.sources?.[source.id]?.watches ?? []).map((/** @type {any} */ watch) => {
        const ofPit = demands("pit", pit?.id, watch);
        return {
          watch: { ...watch, pit: ofPit.length > 0 ? pit : null },
          ranks: [
            unmet(ofPit),
            room !== null && results.sources[source.id].room === room.id,
            unmet(demands("source", source.id, watch)),
          ].map(Number),
          far: Math.hypot(source.at[0] - at[0], source.at[1] - at[1]),
        };
      }),
    );
  offers.sort(
    ({ ranks: a, far }, { ranks: b, far: other }) =>
      b[0] - a[0] || b[1] - a[1] || b[2] - a[2] || far - other,
  );
  return offers[0]?.watch ?? null;
}

/**
 * A detector placed by hand, drawn to a wall that is near.
 * @param {Project} project @param {number} floor @param {Point} at
 * @param {any} watch of {@link likelyWatch} @param {any} defaults of the basis of design
 * @returns {Command}
 */
export function addDetector(project, floor, at, watch, defaults) {
  const id = nextId(project.detectors);
  const tag = nextTag(project, "AT-", 101);
  const value = {
    id,
    tag,
    floor,
    at: toMillimetres(at),
    height: millimetre(heightFor(project, watch, defaults)),
    watches: watch.measures,
    hazard: watch.hazard,
    band: watch.band,
    part: partFor(project, watch.measures),
    origin: "by_hand",
    set_points: [],
    tag_offset: null,
  };
  return {
    edit: { do: "add", item: { kind: "detector", value } },
    label: `${tag} placed`,
    select: { kind: "detector", id },
  };
}

/**
 * Above the floor of the pit where it is for one, as the server has it.
 * @param {Project} project @param {any} watch @param {any} defaults
 */
function heightFor(project, watch, defaults) {
  const { pit } = watch;
  if (!pit) return watch.height.value;
  const basis = { ...defaults, ...project.basis };
  const depth = pit.level ?? basis.pit_depth_unknown;
  return Math.min(basis.above_floor, depth / 2) - depth;
}

/** Cheapest field device of the catalogue that measures a substance. @param {Project} project */
export function partFor(project, /** @type {string} */ measures) {
  const fits = partsFor(project, measures);
  return (
    fits.sort(
      (/** @type {any} */ a, /** @type {any} */ b) =>
        a.price - b.price || (a.part < b.part ? -1 : 1),
    )[0]?.part ?? null
  );
}

/** Field devices of the catalogue that measure a substance. @param {Project} project */
export const partsFor = (project, /** @type {string} */ measures) =>
  (project.catalogue.items ?? []).filter(
    (/** @type {any} */ item) =>
      item.kind.is === "detector_device" && item.kind.measures.includes(measures),
  );

/** Parts of the catalogue of one kind. @param {Project} project @param {string} is */
export const partsOf = (project, is) =>
  (project.catalogue.items ?? []).filter((/** @type {any} */ item) => item.kind.is === is);

/**
 * Height a panel, an I/O unit or a display is fixed at; a sounder hangs higher. Common practice.
 */
const PANEL_HEIGHT_M = 1.5;
const SOUNDER_HEIGHT_M = 2.3;

/** @param {Project} project @param {number} floor @param {Point} at @returns {Command} */
export function addPanel(project, floor, at) {
  const id = nextId(project.panels);
  const tag = nextTag(project, "CP-", 1);
  const value = {
    id,
    tag,
    floor,
    at: toMillimetres(at),
    height: PANEL_HEIGHT_M,
    part: partsOf(project, "panel")[0]?.part ?? "",
    existing: false,
  };
  return {
    edit: { do: "add", item: { kind: "panel", value } },
    label: `${tag} placed`,
    select: { kind: "panel", id },
  };
}

/** Tag prefix, first number and digits of the field devices without detectors. */
/** @type {Record<string, [string, number, number]>} */
const DEVICE_TAGS = {
  io_unit: ["UY-", 1, 1],
  sounder: ["XA-", 201, 1],
  display: ["UI-", 1, 1],
};

/**
 * @param {Project} project @param {number} floor @param {Point} at
 * @param {"io_unit"|"sounder"|"display"} is
 * @returns {?Command} `null` where the catalogue has no such part
 */
export function addDevice(project, floor, at, is) {
  const part = partsOf(project, is)[0]?.part;
  if (!part) return null;
  const id = nextId(project.devices);
  const tag = nextTag(project, ...DEVICE_TAGS[is]);
  const height = is === "sounder" ? SOUNDER_HEIGHT_M : PANEL_HEIGHT_M;
  const value = {
    id,
    tag,
    floor,
    at: toMillimetres(at),
    height,
    part,
    detectors: [],
    existing: false,
  };
  return {
    edit: { do: "add", item: { kind: "device", value } },
    label: `${tag} placed`,
    select: { kind: "device", id },
  };
}

/** @param {Project} project @param {number} floor @param {Point[]} line @returns {Command} */
export function addContainment(project, floor, line) {
  const id = nextId(project.containments);
  const value = { id, floor, kind: "tray", line: line.map(toMillimetres), height: null };
  return {
    edit: { do: "add", item: { kind: "containment", value } },
    label: "Tray drawn",
    select: { kind: "containment", id },
  };
}

/**
 * An extract grille; the facts say what else it may be.
 * @param {Project} project @param {number} floor @param {Point} at @returns {Command}
 */
export function addTerminal(project, floor, at) {
  const id = nextId(project.terminals);
  const value = {
    id,
    floor,
    kind: "extract",
    at: toMillimetres(at),
    height: null,
    flow: null,
  };
  return {
    edit: { do: "add", item: { kind: "terminal", value } },
    label: "Air terminal placed",
    select: { kind: "terminal", id },
  };
}

/**
 * A pit; the facts say what else it may be.
 * @param {Project} project @param {number} floor @param {Point[]} points @returns {Command}
 */
export function addMarked(project, floor, points) {
  const id = nextId(project.marked);
  const value = { id, floor, kind: "pit", outline: points.map(toMillimetres), level: null };
  return {
    edit: { do: "add", item: { kind: "marked", value } },
    label: "Pit drawn",
    select: { kind: "marked", id },
  };
}

/** A riser through all floors. @param {Project} project @param {Point} at @returns {Command} */
export function addRiser(project, at) {
  const id = nextId(project.risers);
  const floors = [...project.floors].sort((a, b) => a.elevation - b.elevation);
  const value = {
    id,
    name: `Riser ${id}`,
    at: toMillimetres(at),
    lowest: floors[0].id,
    highest: floors[floors.length - 1].id,
  };
  return {
    edit: { do: "add", item: { kind: "riser", value } },
    label: `Riser ${id} placed`,
    select: { kind: "riser", id },
  };
}

/** What stands on the wall is drawn to it: within `near` of one. @param {Project} project */
export function onWall(
  project,
  /** @type {number} */ floor,
  /** @type {Point} */ at,
  /** @type {number} */ near,
  offset = 0.1,
) {
  let best = null;
  for (const [a, b] of walls(project, floor)) {
    const found = nearestOnSegment(at, a, b);
    if (found.distance <= near && (!best || found.distance < best.distance)) best = found;
  }
  if (!best) return at;
  const away =
    best.distance < 1e-6
      ? null
      : [(at[0] - best.at[0]) / best.distance, (at[1] - best.at[1]) / best.distance];
  return away
    ? /** @type {Point} */ ([best.at[0] + away[0] * offset, best.at[1] + away[1] * offset])
    : best.at;
}
