import assert from "node:assert/strict";
import test from "node:test";
import { jobSteps } from "../../static/js/core/job_steps.js";
import { detector, emptyProject, twoRooms } from "./project.js";

const next = (project, results = { demands: [] }) =>
  jobSteps(project, results, 1).find(({ done }) => !done)?.id ?? "none";

test("an empty floor starts with the plan sheet", () => {
  assert.equal(next(emptyProject()), "sheet");
});

test("a sheet without a scale waits for it", () => {
  const project = emptyProject();
  project.floors[0].sheet = { scale: null };
  assert.equal(next(project), "scale");
});

test("rooms drawn by lengths need no sheet", () => {
  assert.equal(next(twoRooms()), "sources");
});

test("an unmet demand asks for detectors, a loose detector for wiring", () => {
  const project = { ...twoRooms(), sources: [{ id: 1, floor: 1 }] };
  const demand = { floor: 1, met: false };
  assert.equal(next(project, { demands: [demand] }), "detectors");
  const placed = { ...project, detectors: [detector(1, "AT-101")] };
  assert.equal(next(placed, { demands: [{ ...demand, met: true }] }), "panel");
  const panel = { ...placed, panels: [{ id: 1 }] };
  assert.equal(next(panel), "wiring");
  const wired = {
    ...panel,
    devices: [{ id: 1, detectors: [1] }],
    segments: [{ id: 1, devices: [1] }],
  };
  assert.equal(next(wired), "none");
});
