import assert from "node:assert/strict";
import test from "node:test";
import { labelPlaces } from "../../static/js/view/labels.js";
import { detector, twoRooms } from "./project.js";

/** Six pixels a letter stand in for the browser's own measure. */
const ruler = { measure: (text) => text.length * 6 };

const scene = (detectors, more = {}) => ({
  project: { ...twoRooms(), detectors },
  floor: 1,
  units: "metric",
  selection: null,
  viewport: { scale: 40, x_px: 0, y_px: 0 },
  results: {
    rooms: {},
    detectors: Object.fromEntries(
      detectors.map(({ id, at }) => [id, { substance: "hydrogen", tag_at: at, leader: false }]),
    ),
  },
  ...more,
});

test("tags of detectors that stand close do not lie on each other", () => {
  const close = [1, 2, 3, 4].map((id) => detector(id, `AT-10${id}`, [3 + id * 0.8, 3]));
  const { tags } = labelPlaces(scene(close), ruler);
  assert.equal(tags.size, 4);
  const boxes = [...tags.values()].map(([x, y]) => [x * 40, y * 40]);
  for (const [idx, a] of boxes.entries()) {
    for (const b of boxes.slice(idx + 1)) {
      // A tag is 62 px wide (ten letters and two px) and 26 px high.
      assert.ok(Math.abs(a[0] - b[0]) >= 62 || Math.abs(a[1] - b[1]) >= 26, `${a} and ${b}`);
    }
  }
});

test("a tag never lies under its own ring", () => {
  const { tags } = labelPlaces(scene([detector(1, "AT-101", [3, 3])]), ruler);
  const [x, y] = tags.get(1);
  assert.ok(Math.abs(x - 3) * 40 >= 13 + 31 || Math.abs(y - 3) * 40 >= 13 + 13);
});

test("a tag stays in its detector's room where that has space", () => {
  const { tags } = labelPlaces(scene([detector(1, "AT-101", [7.8, 3])]), ruler);
  assert.ok(tags.get(1)[0] < 8, String(tags.get(1)));
});

test("a name that finds no place is left out, and the number stays", () => {
  const project = twoRooms();
  project.rooms[0].name = "Laboratory with a name far too long for so small a room";
  const small = { ...scene([]), project, viewport: { scale: 10, x_px: 0, y_px: 0 } };
  assert.deepEqual(labelPlaces(small, ruler).rooms.get(1).lines, ["G.01"]);
});
