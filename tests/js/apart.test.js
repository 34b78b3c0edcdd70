import assert from "node:assert/strict";
import test from "node:test";
import { apartAlong } from "../../static/js/core/apart.js";

const box = (x, y) => ({ x, y, half: /** @type {[number, number]} */ ([10, 10]) });

test("what covers nothing stays", () => {
  assert.deepEqual(apartAlong([box(0, 0), box(23, 0), box(0, 23)], { from: 0, to: 99 }), [0, 23, 0]);
});

test("the one farther from the ends gives way, by the shorter way that is free", () => {
  const within = { from: 0, to: 99 };
  assert.deepEqual(apartAlong([box(40, 0), box(44, 5)], within), [40, 62]);
  assert.deepEqual(apartAlong([box(44, 0), box(40, 5)], within), [62, 40]);
  assert.deepEqual(apartAlong([box(46, 0), box(44, 5)], within), [66, 44]);
});

test("what hangs on a wall stays there, and none leaves the room, unless it stood outside", () => {
  assert.deepEqual(apartAlong([box(94, 0), box(99, 5)], { from: 0, to: 99 }), [76, 99]);
  assert.deepEqual(apartAlong([box(-30, 0)], { from: 0, to: 99 }), [-30]);
});

test("where no place is free it stays", () => {
  assert.deepEqual(apartAlong([box(5, 0), box(6, 0)], { from: 0, to: 11 }), [5, 6]);
});
