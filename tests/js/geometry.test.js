import assert from "node:assert/strict";
import test from "node:test";
import * as g from "../../static/js/core/geometry.js";

const square = [
  [0, 0],
  [4, 0],
  [4, 4],
  [0, 4],
];

test("the area of a polygon is that of the shoelace formula, whichever way round", () => {
  // Surveyor's area formula (Meister 1769): L-shape of 4 x 4 less 2 x 2 is 12.
  const shape = [
    [0, 0],
    [4, 0],
    [4, 2],
    [2, 2],
    [2, 4],
    [0, 4],
  ];
  assert.equal(g.area(shape), 12);
  assert.equal(g.area([...shape].reverse()), 12);
});

test("a place in the notch of an L lies outside", () => {
  const shape = [
    [0, 0],
    [4, 0],
    [4, 2],
    [2, 2],
    [2, 4],
    [0, 4],
  ];
  assert.equal(g.contains(shape, [1, 3]), true);
  assert.equal(g.contains(shape, [3, 3]), false);
});

test("the nearest place on a wall is its foot, or its end beyond it", () => {
  assert.deepEqual(g.nearestOnSegment([3, 2], [0, 0], [10, 0]).at, [3, 0]);
  const beyond = g.nearestOnSegment([13, 4], [0, 0], [10, 0]);
  assert.deepEqual(beyond.at, [10, 0]);
  assert.equal(beyond.distance, 5); // 3-4-5 triangle
});

test("a bow tie crosses itself and a square does not", () => {
  assert.equal(
    g.crossesItself([
      [0, 0],
      [4, 4],
      [4, 0],
      [0, 4],
    ]),
    true,
  );
  assert.equal(g.crossesItself(square), false);
});

test("an outline that touches its own corner does not count as crossing", () => {
  assert.equal(
    g.crossesItself([
      [0, 0],
      [2, 0],
      [2, 2],
      [4, 2],
      [4, 4],
      [0, 4],
    ]),
    false,
  );
});

test("what is stored is whole millimetres and never minus nought", () => {
  assert.deepEqual(g.toMillimetres([1.23449, -0.0001]), [1.234, 0]);
  assert.equal(Object.is(g.millimetre(-0.0001), 0), true);
});

test("a typed length goes in the direction of the pointer", () => {
  assert.deepEqual(g.towards([0, 0], [3, 4], 10), [6, 8]);
});

test("the length of a line is the sum of its stretches", () => {
  assert.equal(
    g.lineLength([
      [0, 0],
      [3, 4],
      [3, 10],
    ]),
    11,
  );
});

test("nothing has no bounds", () => {
  assert.equal(g.bounds([]), null);
  assert.deepEqual(g.bounds(square), { x: 0, y: 0, width: 4, height: 4 });
});
