/**
 * Every tool by its name in {@link STAGES}.
 */

import * as places from "../commands/places.js";
import { addBarrier, addRoom, wrongWithOutline } from "../commands/rooms.js";
import { LineTool } from "./lines.js";
import { OpeningTool } from "./opening.js";
import { PlaceTool } from "./place.js";
import { RectangleTool } from "./rectangle.js";
import { ScaleTool } from "./scale.js";
import { SelectTool } from "./select.js";
import { ASKS, SourceTool } from "./source.js";
import { TagTool } from "./tag.js";

/** What hangs on a wall is drawn to one that is this near, px. */
const WALL_PX = 16;

/** @param {import("../desk.js").Desk} desk */
export function makeTools(desk) {
  const project = () => desk.session.project;
  return {
    select: new SelectTool(desk),
    sheet: new SelectTool(desk),
    tag: new TagTool(desk),
    scale: new ScaleTool(desk),
    rectangle: new RectangleTool(desk),
    polygon: new LineTool(desk, {
      closed: true,
      finish: (points) => {
        const wrong = wrongWithOutline(points);
        if (!wrong) desk.commit(addRoom(project(), desk.floor, points));
        return wrong;
      },
    }),
    barrier: new LineTool(desk, {
      finish: (points) => {
        desk.commit(addBarrier(project(), desk.floor, points));
        return null;
      },
    }),
    containment: new LineTool(desk, {
      finish: (points) => {
        desk.commit(places.addContainment(project(), desk.floor, points));
        return null;
      },
    }),
    marked: new LineTool(desk, {
      closed: true,
      finish: (points) => {
        const wrong = wrongWithOutline(points);
        if (!wrong) desk.commit(places.addMarked(project(), desk.floor, points));
        return wrong;
      },
    }),
    run: new LineTool(desk, { finish: (points) => goes(desk, "line", points) }),
    rack: new LineTool(desk, { closed: true, finish: (points) => goes(desk, "area", points) }),
    measure: new LineTool(desk, { measure: true, finish: () => null }),
    door: new OpeningTool(desk, "door"),
    window: new OpeningTool(desk, "window"),
    open_way: new OpeningTool(desk, "open_way"),
    ...placingTools(desk),
  };
}

/**
 * Draws a source that goes farther than one place, or says what is wrong.
 * @param {import("../desk.js").Desk} desk @param {"line"|"area"} kind
 * @param {import("../core/types.js").Point[]} points
 */
function goes(desk, kind, points) {
  if (!desk.substance) {
    desk.tell("substance");
    return ASKS;
  }
  const wrong = kind === "area" ? wrongWithOutline(points) : null;
  if (!wrong) {
    desk.commit(places.addExtent(desk.session.project, desk.floor, kind, points, desk.substance));
  }
  return wrong;
}

/** @param {import("../desk.js").Desk} desk */
function placingTools(desk) {
  const project = () => desk.session.project;
  const onWall = (/** @type {any} */ event) =>
    event.shift ? event.at : places.onWall(project(), desk.floor, event.at, desk.metres(WALL_PX));
  const device = (/** @type {"io_unit"|"sounder"|"display"} */ is, /** @type {string} */ letters) =>
    new PlaceTool(desk, {
      kind: "device",
      place: onWall,
      symbol: (at) => ({ kind: "device", at, text: letters }),
      command: (at) =>
        places.addDevice(project(), desk.floor, at, is) ??
        "The catalogue has no such part; add one on the project page.",
    });
  return {
    source: new SourceTool(desk),
    detector: new PlaceTool(desk, {
      kind: "detector",
      place: onWall,
      symbol: (at) => ({
        kind: "device",
        at,
        text: "AT",
        band: places.likelyWatch(project(), desk.results, desk.floor, at)?.band,
      }),
      command: (at) => {
        const watch = places.likelyWatch(project(), desk.results, desk.floor, at);
        return watch
          ? places.addDetector(project(), desk.floor, at, watch, desk.basis)
          : "Place a release source first: it says what a detector here would watch.";
      },
    }),
    terminal: new PlaceTool(desk, {
      kind: "terminal",
      place: onWall,
      symbol: (at) => ({ kind: "terminal", at, text: "extract" }),
      command: (at) => places.addTerminal(project(), desk.floor, at),
    }),
    panel: new PlaceTool(desk, {
      kind: "panel",
      place: onWall,
      symbol: (at) => ({ kind: "panel", at, text: "CP" }),
      command: (at) => places.addPanel(project(), desk.floor, at),
    }),
    riser: new PlaceTool(desk, {
      kind: "riser",
      symbol: (at) => ({ kind: "panel", at, text: "riser" }),
      command: (at) => places.addRiser(project(), at),
    }),
    io_unit: device("io_unit", "UY"),
    sounder: device("sounder", "XA"),
    display: device("display", "UI"),
  };
}
