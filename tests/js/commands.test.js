import assert from "node:assert/strict";
import test from "node:test";
import * as items from "../../static/js/commands/items.js";
import * as places from "../../static/js/commands/places.js";
import * as rooms from "../../static/js/commands/rooms.js";
import { difference, preview } from "../../static/js/core/difference.js";
import { nameOf, pitAt } from "../../static/js/core/drawing.js";
import { moved } from "../../static/js/core/transforms.js";
import { markedWords } from "../../static/js/ui/facts_building.js";
import { nextId, nextRoomNumber, nextTag } from "../../static/js/core/ids.js";
import { detector, emptyProject, twoRooms } from "./project.js";

test("a new id is above every id in use, also where one was taken away", () => {
  assert.equal(nextId([]), 1);
  assert.equal(nextId([{ id: 3 }, { id: 7 }, { id: 5 }]), 8);
});

test("tags count on from the highest of their letters", () => {
  const project = {
    ...twoRooms(),
    detectors: [detector(1, "AT-101"), detector(2, "AT-118")],
    devices: [{ id: 1, tag: "XA-201", detectors: [], at: [0, 0] }],
  };
  assert.equal(nextTag(project, "AT-", 101), "AT-119");
  assert.equal(nextTag(project, "XA-", 201), "XA-202");
  assert.equal(nextTag(project, "CP-", 1), "CP-1");
});

test("rooms are numbered by floor", () => {
  assert.equal(nextRoomNumber(twoRooms(), 1), "G.03");
  assert.equal(nextRoomNumber(twoRooms(), 2), "1.01");
});

test("a room is added with what the surveyor does not know left unknown", () => {
  const { edit, select } = rooms.addRoom(twoRooms(), 1, [
    [0, 6],
    [8, 6],
    [8, 12.00049],
    [0, 12],
  ]);
  assert.equal(edit.do, "add");
  assert.deepEqual(edit.item.value.outline[2], [8, 12]);
  assert.equal(edit.item.value.ceiling, null);
  assert.equal(edit.item.value.air_changes, null);
  assert.deepEqual(select, { kind: "room", id: 3 });
});

test("an outline that cannot be a room is refused in words", () => {
  assert.match(
    rooms.wrongWithOutline([
      [0, 0],
      [1, 1],
    ]),
    /three corners/,
  );
  assert.match(
    rooms.wrongWithOutline([
      [0, 0],
      [0.2, 0],
      [0.2, 0.2],
    ]),
    /0.25/,
  );
  assert.match(
    rooms.wrongWithOutline([
      [0, 0],
      [4, 4],
      [4, 0],
      [0, 5],
    ]),
    /crosses itself/,
  );
  assert.equal(
    rooms.wrongWithOutline([
      [0, 0],
      [4, 0],
      [4, 4],
    ]),
    null,
  );
});

test("a door lies on the wall it was drawn beside", () => {
  const { edit } = rooms.addOpening(twoRooms(), 1, [2, 0.2], [3, -0.1], "door");
  assert.deepEqual(
    [edit.item.value.a, edit.item.value.b],
    [
      [2, 0],
      [3, 0],
    ],
  );
});

test("a door does not reach round the corner of its wall", () => {
  const [a, b] = rooms.openingOnWall(twoRooms(), 1, [7.5, 0.1], [9.5, 2]);
  assert.deepEqual(
    [a, b],
    [
      [7.5, 0],
      [8, 0],
    ],
  );
});

test("far from every wall there is no door", () => {
  assert.equal(rooms.addOpening(twoRooms(), 1, [4, 3], [5, 3], "door"), null);
});

test("a door of usual width keeps within its wall", () => {
  assert.deepEqual(rooms.usualOpening(twoRooms(), 1, [0.1, 0.05], "door"), [
    [0, 0],
    [0.9, 0],
  ]);
});

test("a room moves whole and a corner alone", () => {
  const project = twoRooms();
  const key = { kind: "room", id: 1 };
  assert.deepEqual(items.move(project, key, [1, 0.5]).edit.item.value.outline[0], [1, 0.5]);
  const corner = items.moveCorner(project, key, 1, [9, 0]).edit.item.value.outline;
  assert.deepEqual(corner, [
    [0, 0],
    [9, 0],
    [8, 6],
    [0, 6],
  ]);
});

test("corners are added in the middle of a wall and taken out down to three", () => {
  const project = twoRooms();
  const key = { kind: "room", id: 1 };
  const added = items.addCorner(project, key, 3).edit.item.value.outline;
  assert.deepEqual(added[4], [0, 3]);
  const triangle = {
    ...project,
    rooms: [
      {
        ...project.rooms[0],
        outline: [
          [0, 0],
          [4, 0],
          [4, 4],
        ],
      },
    ],
  };
  assert.equal(items.removeCorner(triangle, key, 0), null);
});

test("a height is said as raised or lowered", () => {
  const project = { ...twoRooms(), detectors: [detector(1, "AT-101")] };
  const key = { kind: "detector", id: 1 };
  assert.equal(items.setHeight(project, key, 2.8).label, "AT-101 raised to 2.80\u202fm");
  assert.equal(items.setHeight(project, key, 0.3).label, "AT-101 lowered to 0.30\u202fm");
});

test("a detector placed by hand watches what nobody watches in its room", () => {
  const project = {
    ...twoRooms(),
    sources: [
      { id: 1, floor: 1, name: "a", at: [2, 2], substance: "1333-74-0" },
      { id: 2, floor: 1, name: "b", at: [10, 2], substance: "74-98-6" },
    ],
  };
  const watch = (measures, band, value) => ({
    measures,
    band,
    hazard: "flammable",
    height: { value, unit: "m", why: 0 },
  });
  const results = {
    demands: [],
    sources: {
      1: { room: 1, watches: [watch("1333-74-0", "high", 2.7)] },
      2: { room: 2, watches: [watch("74-98-6", "low", 0.3)] },
    },
  };
  const found = places.likelyWatch(project, results, 1, [9, 3]);
  assert.equal(found.measures, "74-98-6");
  const { edit } = places.addDetector(project, 1, [9, 3], found, {});
  assert.equal(edit.item.value.height, 0.3);
  assert.equal(edit.item.value.origin, "by_hand");
  assert.equal(places.likelyWatch(emptyProject(), { sources: {} }, 1, [0, 0]), null);
});

test("what hangs on a wall stands off it by 0.1 m on its own side", () => {
  const [x, y] = places.onWall(twoRooms(), 1, [4, 0.3], 0.5);
  assert.ok(Math.abs(x - 4) < 1e-9 && Math.abs(y - 0.1) < 1e-9);
  assert.deepEqual(places.onWall(twoRooms(), 1, [4, 3], 0.5), [4, 3]);
});

test("a suggestion is shown as what is added, changed and removed", () => {
  const before = { ...twoRooms(), detectors: [detector(1, "AT-101"), detector(2, "AT-102")] };
  const edit = {
    do: "all",
    label: "suggested",
    edits: [
      { do: "remove", key: { kind: "detector", id: 1 } },
      { do: "change", item: { kind: "detector", value: detector(2, "AT-102", [5, 5]) } },
      { do: "add", item: { kind: "detector", value: detector(3, "AT-103") } },
    ],
  };
  const after = preview(before, edit);
  assert.deepEqual(difference(before, after), {
    added: [{ kind: "detector", id: 3 }],
    changed: [{ kind: "detector", id: 2 }],
    removed: [{ kind: "detector", id: 1 }],
  });
  assert.equal(before.detectors.length, 2);
});

test("a suggested detector that is moved by hand is the designer's from then on", () => {
  const suggested = { id: 1, at: [1, 1], height: 2.7, origin: "suggested" };
  assert.equal(moved("detector", suggested, [0.5, 0]).origin, "by_hand");
  assert.equal(moved("detector", { ...suggested, origin: "existing" }, [0.5, 0]).origin, "existing");
});

test("an air terminal is an extract grille until its kind is chosen, its height and flow unknown", () => {
  const { edit, select } = places.addTerminal(twoRooms(), 1, [3.00049, 0.1]);
  assert.deepEqual(edit.item, {
    kind: "terminal",
    value: { id: 1, floor: 1, kind: "extract", at: [3, 0.1], height: null, flow: null },
  });
  const project = { ...twoRooms(), terminals: [{ ...edit.item.value, kind: "return_air" }] };
  assert.equal(nameOf(project, select), "return grille 1");
  assert.deepEqual(moved("terminal", project.terminals[0], [1, 0]).at, [4, 0.1]);
});

test("a source along a pipe stands halfway, and its corners go with it", () => {
  const hydrogen = { key: "1333-74-0", name: "Hydrogen" };
  const corners = /** @type {any} */ ([
    [0, 0],
    [6, 0],
    [6, 2],
  ]);
  const { edit, select } = places.addExtent(twoRooms(), 1, "line", corners, hydrogen);
  const source = edit.item.value;
  assert.deepEqual([source.name, source.at], ["Hydrogen pipe run", [4, 0]]);
  const project = { ...twoRooms(), sources: [source] };
  const shifted = moved("source", source, [1, 1]);
  assert.deepEqual(shifted.extent.points[2], [7, 3]);
  assert.deepEqual(shifted.at, [5, 1]);
  const longer = items.moveCorner(project, select, 2, [6, 6]).edit.item.value;
  assert.deepEqual([longer.at, longer.extent.points[2]], [[6, 0], [6, 6]]);
  const shorter = items.removeCorner(project, select, 2).edit.item.value;
  assert.deepEqual(shorter.at, [3, 0]);
  const least = { ...project, sources: [shorter] };
  assert.equal(items.removeCorner(least, select, 1), null, "a run keeps two corners");
});

test("an area keeps three corners and stands in its middle", () => {
  const corners = /** @type {any} */ ([
    [0, 0],
    [4, 0],
    [4, 2],
  ]);
  const { edit, select } = places.addExtent(twoRooms(), 1, "area", corners, {
    key: "1333-74-0",
    name: "Hydrogen",
  });
  assert.deepEqual(edit.item.value.at, [2, 1]);
  const project = { ...twoRooms(), sources: [edit.item.value] };
  assert.equal(items.removeCorner(project, select, 0), null);
});

test("a marked area is drawn as a pit, moved and reshaped like a room", () => {
  const { edit, select } = /** @type {any} */ (
    places.addMarked(twoRooms(), 1, [[1, 1], [3, 1], [3, 2.0004], [1, 2]])
  );
  const pit = edit.item.value;
  assert.deepEqual(select, { kind: "marked", id: 1 });
  assert.deepEqual([pit.kind, pit.level, pit.outline[2]], ["pit", null, [3, 2]]);
  assert.deepEqual(moved("marked", pit, [1, 0]).outline[0], [2, 1]);
  const project = { ...twoRooms(), marked: [pit] };
  const key = /** @type {any} */ (select);
  const reshaped = /** @type {any} */ (items.moveCorner(project, key, 0, [0.5, 0.5]).edit);
  assert.deepEqual(reshaped.item.value.outline[0], [0.5, 0.5]);
  const less = /** @type {any} */ (items.removeCorner(project, key, 3));
  assert.equal(less.edit.item.value.outline.length, 3);
  const least = { ...project, marked: [less.edit.item.value] };
  assert.equal(items.removeCorner(least, key, 0), null);
});

test("a detector placed by hand in a pit hangs above its floor", () => {
  const pit = { id: 1, floor: 1, kind: "pit", outline: [[1, 1], [3, 1], [3, 2], [1, 2]], level: 1 };
  const project = /** @type {any} */ ({ ...twoRooms(), marked: [pit] });
  const defaults = { above_floor: 0.3, pit_depth_unknown: 2 };
  const { results } = gasOver(project);
  project.sources = [project.sources[0]];
  const height = (/** @type {any} */ at) => {
    const watch = places.likelyWatch(project, results, 1, at);
    const command = /** @type {any} */ (places.addDetector(project, 1, at, watch, defaults));
    return command.edit.item.value.height;
  };
  results.demands = [ofPit(1, false)];
  assert.equal(height([2, 1.5]), -0.7);
  assert.equal(height([4, 1.5]), 0.3);
  project.marked = [{ ...pit, level: null }];
  assert.equal(height([2, 1.5]), -1.7);
  // Half way down a shallow one.
  project.marked = [{ ...pit, level: 0.4 }];
  assert.equal(height([2, 1.5]), -0.2);
  // Where the basis of design leaves pits out, or it is too shallow, nothing asks for it.
  results.demands = [];
  assert.equal(height([2, 1.5]), 0.3);
});

/** A source of propane and one of methane in the first room, the first of which is watched. */
function gasOver(/** @type {any} */ project) {
  project.sources = [
    { id: 1, floor: 1, name: "a", at: [1, 1], substance: "74-98-6" },
    { id: 2, floor: 1, name: "b", at: [2, 2], substance: "74-82-8" },
  ];
  const watch = (
    /** @type {string} */ measures,
    /** @type {string} */ band,
    /** @type {number} */ value,
  ) => ({ measures, band, hazard: "flammable", height: { value } });
  const results = {
    demands: /** @type {any[]} */ ([]),
    sources: {
      1: { room: 1, watches: [watch("74-98-6", "low", 0.3)] },
      2: { room: 1, watches: [watch("74-82-8", "high", 2.7)] },
    },
  };
  return { project, results };
}

const ofPit = (/** @type {number} */ id, /** @type {boolean} */ met) => ({
  kind: { kind: "pit", id },
  measures: "74-98-6",
  band: "low",
  met,
});

test("in a pit that nobody watches, a detector is for the pit before any source", () => {
  const outline = [[1, 1], [3, 1], [3, 3], [1, 3]];
  const marked = [{ id: 1, floor: 1, kind: "pit", outline, level: 1 }];
  const { project, results } = gasOver({ ...twoRooms(), marked });
  const source = { kind: { kind: "source", id: 2 }, measures: "74-82-8", band: "high", met: false };
  const likely = () => places.likelyWatch(project, results, 1, [2, 2]).measures;
  results.demands = [source, ofPit(1, false)];
  assert.equal(likely(), "74-98-6");
  results.demands = [source, ofPit(1, true)];
  assert.equal(likely(), "74-82-8");
});

test("a sump in the floor of a pit is a pit of its own, and none is outside the rooms", () => {
  const square = (/** @type {number} */ from, /** @type {number} */ to) => [
    [from, from],
    [to, from],
    [to, to],
    [from, to],
  ];
  const pit = { id: 1, floor: 1, kind: "pit", outline: square(-1, 3), level: 1 };
  const sump = { id: 2, floor: 1, kind: "pit", outline: square(1, 2), level: 2 };
  const project = /** @type {any} */ ({ ...twoRooms(), marked: [pit, sump] });
  const at = (/** @type {any} */ point) => pitAt(project, 1, point)?.id;
  assert.equal(at([1.5, 1.5]), 2);
  assert.equal(at([2.5, 1.5]), 1);
  assert.equal(at([-0.5, 1.5]), undefined);
});

test("the facts of a pit say whether it is watched, and why not", () => {
  const pit = { id: 1, kind: "pit" };
  const words = (/** @type {any[]} */ demands, /** @type {any} */ basis = {}) =>
    markedWords(pit, { results: { demands }, basis: { watch_pits: 1 }, project: { basis } });
  assert.match(words([ofPit(1, false)]), /is watched over its whole floor/);
  assert.match(words([ofPit(2, false)]), /^Nothing asks for a detector in it/);
  assert.match(words([], { watch_pits: 0 }), /^Pits are not watched on their own/);
});
