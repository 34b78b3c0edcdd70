import assert from "node:assert/strict";
import test from "node:test";
import { setScale, rotateSheet } from "../../static/js/commands/sheet.js";
import { extent, metresPerPx, toFloor, toPicture } from "../../static/js/core/sheet.js";
import { emptyProject } from "./project.js";

const sheet = (more = {}) => ({
  image: "f",
  name: "plan.png",
  page: 1,
  width_px: 1000,
  height_px: 500,
  scale: null,
  rotation: 0,
  origin: [0, 0],
  fade: 0.5,
  ...more,
});

const near = (a, b, by = 1e-9) => a.every((value, idx) => Math.abs(value - b[idx]) < by);

test("a sheet without a scale is shown 40 m long, as the model says", () => {
  assert.equal(metresPerPx(sheet()), 0.04);
  assert.deepEqual(extent(sheet()), { width: 40, height: 20 });
});

test("a quarter turn changes width and height and keeps the corner", () => {
  const turned = sheet({ rotation: 90, origin: [3, 4] });
  const { width, height } = extent(turned);
  assert.ok(near([width, height], [20, 40]));
  // Clockwise: the picture's upper left corner comes to the upper right.
  assert.ok(near(toFloor(turned, [0, 0]), [23, 4]));
});

test("there and back is the same place, at any turn", () => {
  for (const rotation of [0, 17.5, 90, 181, 300]) {
    const one = sheet({ rotation, origin: [-2, 7] });
    assert.ok(near(toPicture(one, toFloor(one, [123, 321])), [123, 321], 1e-6), String(rotation));
  }
});

test("the scale is taken on the picture: two points 250 px apart said to be 10 m", () => {
  const project = emptyProject();
  project.floors[0].sheet = sheet();
  const command = setScale(project, 1, [4, 4], [14, 4], 10);
  const after = command.edit.item.value.sheet;
  assert.deepEqual(after.scale, { a: [100, 100], b: [350, 100], length: 10 });
  assert.equal(metresPerPx(after), 0.04);
});

test("two points in one place give no scale, and neither does a length of nought", () => {
  const project = emptyProject();
  project.floors[0].sheet = sheet();
  assert.equal(setScale(project, 1, [4, 4], [4.02, 4], 10), null);
  assert.equal(setScale(project, 1, [4, 4], [14, 4], 0), null);
});

test("a turn beyond a whole one comes round", () => {
  const project = emptyProject();
  project.floors[0].sheet = sheet();
  assert.equal(rotateSheet(project, 1, -90).edit.item.value.sheet.rotation, 270);
  assert.equal(rotateSheet(project, 1, 450).edit.item.value.sheet.rotation, 90);
});
