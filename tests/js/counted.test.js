import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import test from "node:test";
import { areaOf, countedFloor, counting, placesOf } from "../../static/js/core/counted.js";

const square = (x, y, side) => [
  [x, y],
  [x + side, y],
  [x + side, y + side],
  [x, y + side],
];
const reaching = (x, y, side) => ({
  at: [x + side / 2, y + side / 2],
  rings: [square(x, y, side)],
});

test("detectors are counted as the engine counts them", () => {
  const path = new URL("../data/coverage/counting_cases.json", import.meta.url);
  const cases = JSON.parse(readFileSync(path, "utf8"));
  assert.ok(cases.length >= 10);
  for (const { what, places, apart, counts } of cases) {
    assert.equal(counting(places, apart), counts, what);
    assert.equal(counting([...places].reverse(), apart), counts, `${what}, the other way round`);
  }
});

const how = { apart: 0.5, step: 0.05 };

test("the floor is parted by how many have it in reach", () => {
  const three = [reaching(0, 0, 4), reaching(2, 0, 4), reaching(3, 0, 4)];
  const counted = countedFloor(three, how);
  const area = (count) => areaOf(counted, count);
  assert.ok(Math.abs(area(1) - 12) < 1e-6, `${area(1)}`);
  assert.ok(Math.abs(area(2) - 12) < 1e-6, `${area(2)}`);
  assert.ok(Math.abs(area(3) - 4) < 1e-6, `${area(3)}`);
});

test("two that stand too close count as one, but each alone reaches on", () => {
  const counted = countedFloor([reaching(0, 0, 4), reaching(0.3, 0, 4)], how);
  assert.equal(areaOf(counted, 2), 0);
  assert.ok(Math.abs(areaOf(counted, 1) - 4.3 * 4) < 1e-6);
});

test("a hole in a reach is not in reach", () => {
  const holed = { at: [1, 1], rings: [square(0, 0, 4), square(1, 1, 2)] };
  assert.ok(Math.abs(areaOf(countedFloor([holed], how), 1) - 12) < 1e-6);
});

test("each piece gets its number, clear of symbols; a sliver gets none", () => {
  const counted = countedFloor([reaching(0, 0, 4), reaching(10, 0, 4), reaching(20, 0, 0.3)], how);
  const clear = [{ at: [2, 2], half: [0.6, 0.6] }];
  const places = placesOf(counted, { least: 0.3, clear });
  assert.deepEqual(places.map(({ count }) => count), [1, 1]);
  const [first, second] = places.map(({ at }) => at).sort((a, b) => a[0] - b[0]);
  assert.ok(Math.hypot(first[0] - 2, first[1] - 2) > 0.9, `${first}`);
  assert.ok(Math.hypot(second[0] - 12, second[1] - 2) < 0.1, `${second}`);
});

test("nothing is counted where nobody stands", () => {
  assert.deepEqual(countedFloor([], how).runs, []);
});
