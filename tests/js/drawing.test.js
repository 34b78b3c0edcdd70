import assert from "node:assert/strict";
import test from "node:test";
import { blockerParts, wrapped } from "../../static/js/view/blockers.js";
import { ghostCableParts } from "../../static/js/view/draft.js";
import { hazardWords } from "../../static/js/view/symbols.js";
import { twoRooms } from "./project.js";

const ruler = { measure: (text) => text.length * 6 };

test("a suggested cable is drawn along its route, not straight from stop to stop", () => {
  const project = twoRooms();
  const value = { id: 4, tag: "S1", panel: 1, devices: [1] };
  const edit = { do: "add", item: { kind: "segment", value } };
  const corner = (x, y, floor = 1) => ({ floor, at: [x, y], height: 2.5 });
  const path = [corner(0, 0), corner(5, 0), corner(5, 3), corner(5, 3, 2), corner(6, 3, 2)];
  const ghost = { edit, routes: { 4: [{ path, crossings: [] }] } };
  const on = (floor) => ghostCableParts({ project, floor, ghost }).map(({ shows }) => shows);
  assert.deepEqual(on(1), [[[[0, 0], [5, 0], [5, 3]]]]);
  assert.deepEqual(on(2), [[[[5, 3], [6, 3]]]]);
  assert.deepEqual(ghostCableParts({ project, floor: 1, ghost: null }), []);
});

test("a blocker says what is the matter; one that is solved is not marked", () => {
  const mark = { about: { kind: "room", id: 1 }, home: [1, 1], by: [4, 4], half: 5, findings: ["a"] };
  const finding = { id: "a", severity: "blocker", message: "Nobody watches the boiler." };
  const scene = {
    project: twoRooms(),
    results: { findings: [finding] },
    labels: { blockers: [mark, { ...mark, findings: ["solved"] }] },
    viewport: { scale: 10, x_px: 0, y_px: 0 },
    size: { width: 800, height: 600 },
    ruler,
  };
  const parts = blockerParts(scene);
  assert.equal(parts.length, 1);
  assert.equal(parts[0].attributes?.["aria-label"], "Blocker: Nobody watches the boiler.");
});

test("what is the matter is set in lines that fit", () => {
  const lines = wrapped("one two three ".repeat(20).trim(), ruler);
  assert.ok(lines.length > 1 && lines.every((line) => ruler.measure(line) <= 250));
  assert.equal(lines.join(" "), "one two three ".repeat(20).trim());
});

test("the legend names the hazards that are there, by the letters of the paper", () => {
  assert.equal(hazardWords(["toxic", "oxygen_depletion", "toxic"]), "T toxic, D oxygen depletion");
});
