import assert from "node:assert/strict";
import test from "node:test";
import { snap } from "../../static/js/core/snap.js";

const targets = {
  corners: [
    [0, 0],
    [8, 0],
    [8, 6],
    [0, 6],
  ],
  lines: [
    [
      [0, 0],
      [8, 0],
    ],
    [
      [8, 0],
      [8, 6],
    ],
    [
      [8, 6],
      [0, 6],
    ],
    [
      [0, 6],
      [0, 0],
    ],
  ],
};

test("a corner comes before the wall it ends", () => {
  const found = snap([7.9, 0.1], targets, { near: 0.3 });
  assert.equal(found.kind, "corner");
  assert.deepEqual(found.at, [8, 0]);
});

test("near a wall the place is taken to it", () => {
  const found = snap([3, 0.2], targets, { near: 0.3 });
  assert.equal(found.kind, "line");
  assert.deepEqual(found.at, [3, 0]);
});

test("from a corner the pointer is held at a right angle, and the guide shows it", () => {
  const found = snap([14, 3.1], targets, { near: 0.3, from: [10, 3] });
  assert.equal(found.kind, "angle");
  assert.deepEqual(found.at, [14, 3]);
  assert.deepEqual(found.guides[0][0], [10, 3]);
});

test("square to a slanting stretch is a right angle too", () => {
  const found = snap(
    [6.05, 12],
    { corners: [], lines: [] },
    { near: 0.3, from: [8, 14], before: [6, 16] },
  );
  assert.equal(found.kind, "angle");
  const [x, y] = found.at;
  // On the line through (8, 14) square to the stretch from (6, 16): x - y is constant.
  assert.ok(Math.abs(x - y - (8 - 14)) < 1e-9);
});

test("on a right angle it stops across from a corner", () => {
  const found = snap([7.9, 10.05], targets, { near: 0.3, from: [2, 10] });
  assert.deepEqual(found.at, [8, 10]);
  assert.equal(found.guides.length, 2);
});

test("free is free", () => {
  const found = snap([7.9, 0.1], targets, { near: 0.3, free: true });
  assert.deepEqual(found, { at: [7.9, 0.1], kind: "free", guides: [] });
});

test("far from everything nothing is taken", () => {
  assert.equal(snap([4, 3], targets, { near: 0.3, from: [2, 2] }).kind, "free");
});
