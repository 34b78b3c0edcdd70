import assert from "node:assert/strict";
import test from "node:test";
import { jobSteps } from "../../static/js/core/job_steps.js";
import { detector, emptyProject, twoRooms } from "./project.js";

const next = (project, results = { demands: [] }, settled = []) =>
  jobSteps(project, results, 1, settled).find(({ done }) => !done)?.id ?? "none";

test("an empty floor starts with the plan sheet", () => {
  assert.equal(next(emptyProject()), "sheet");
});

test("a sheet without a scale waits for it", () => {
  const project = emptyProject();
  project.floors[0].sheet = { scale: null };
  assert.equal(next(project), "scale");
});

test("rooms drawn by lengths need no sheet; openings are asked for unless there are none", () => {
  assert.equal(next(twoRooms()), "openings");
  const ways = { ...twoRooms(), openings: [{ id: 1, floor: 1 }] };
  assert.equal(next(ways), "sources");
  assert.equal(next(twoRooms(), undefined, ["openings"]), "sources");
});

test("an unmet demand asks for detectors, a loose detector for wiring", () => {
  const openings = [{ id: 1, floor: 1 }];
  const project = { ...twoRooms(), openings, sources: [{ id: 1, floor: 1 }] };
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
