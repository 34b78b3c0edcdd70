import assert from "node:assert/strict";
import test from "node:test";
import { jobSteps, nextOf } from "../../static/js/core/job_steps.js";
import { detector, emptyProject, twoRooms } from "./project.js";

const next = (project, results = { demands: [] }, settled = []) =>
  nextOf(jobSteps(project, results, 1, settled))?.id ?? "none";

const stepOf = (project, id, settled = []) =>
  jobSteps(project, { demands: [] }, 1, settled).find((step) => step.id === id);

/** In the wall between the two rooms. */
const between = { id: 1, floor: 1, a: [8, 2], b: [8, 3], form: "door", head: null };
const source = (id, at) => ({ id, floor: 1, at, name: "gas" });

test("an empty floor starts with the plan sheet", () => {
  assert.equal(next(emptyProject()), "sheet");
});

test("a sheet without a scale waits for it", () => {
  const project = emptyProject();
  project.floors[0].sheet = { scale: null };
  assert.equal(next(project), "scale");
});

test("rooms drawn by lengths need no sheet; openings are offered and never asked for", () => {
  assert.equal(next(twoRooms()), "sources");
  const bare = stepOf(twoRooms(), "openings");
  assert.deepEqual([bare.done, bare.state, bare.optional], [false, "none", true]);
  const [first] = twoRooms().rooms;
  const door = { ...between, a: first.outline[0], b: first.outline[0] };
  const one = stepOf({ ...twoRooms(), openings: [door] }, "openings");
  assert.deepEqual([one.done, one.state], [false, "1 of 2 rooms"]);
  assert.equal(stepOf({ ...twoRooms(), openings: [between] }, "openings").done, true);
});

test("a step asked of every room says in how many and stays open until somebody says none", () => {
  const project = { ...twoRooms(), openings: [between], sources: [source(1, [2, 2])] };
  const open = stepOf(project, "sources");
  assert.deepEqual([open.done, open.state, open.rooms], [false, "1 of 2 rooms", [2]]);
  assert.equal(open.none, "G.02 has none");
  assert.equal(next(project), "sources");
  const said = stepOf(project, "sources", ["sources:2"]);
  assert.deepEqual([said.done, said.state], [true, "1 of 2 rooms"]);
  const both = { ...project, sources: [source(1, [2, 2]), source(2, [10, 2])] };
  assert.deepEqual([stepOf(both, "sources").done, stepOf(both, "sources").state], [true, "2 of 2 rooms"]);
});

test("a room drawn after somebody said none is asked for again", () => {
  const [first] = twoRooms().rooms;
  const one = { ...twoRooms(), rooms: [first] };
  assert.equal(stepOf(one, "sources", ["sources:1"]).done, true);
  assert.equal(stepOf(twoRooms(), "sources", ["sources:1"]).done, false);
});

test("who has gone on to detectors is not sent back, and nothing is called done", () => {
  const project = {
    ...twoRooms(),
    openings: [between],
    sources: [source(1, [2, 2])],
    detectors: [detector(1, "AT-101")],
  };
  assert.equal(next(project), "panel");
  assert.equal(stepOf(project, "sources").done, false);
});

test("an unmet demand asks for detectors, a loose detector for wiring", () => {
  const openings = [between];
  const sources = [source(1, [2, 2]), source(2, [10, 2])];
  const project = { ...twoRooms(), openings, sources };
  const demand = { floor: 1, met: false };
  assert.equal(next(project, { demands: [demand] }), "detectors");
  const placed = { ...project, detectors: [detector(1, "AT-101")] };
  assert.equal(next(placed, { demands: [{ ...demand, met: true }] }), "panel");
  const panel = { ...placed, panels: [{ id: 1 }] };
  assert.equal(next(panel), "sounders");
  assert.equal(next(panel, undefined, ["sounders"]), "wiring");
  const wired = {
    ...panel,
    devices: [
      { id: 1, floor: 1, detectors: [1], tag: "FD-01", part: "" },
      { id: 2, floor: 1, detectors: [], tag: "XA-01", part: "" },
    ],
    segments: [{ id: 1, devices: [1] }],
  };
  assert.equal(next(wired), "none");
});
