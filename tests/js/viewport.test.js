import assert from "node:assert/strict";
import test from "node:test";
import {
  denominator,
  fitted,
  fittedForPaper,
  holding,
  toMetres,
  toPx,
  zoomed,
} from "../../static/js/view/viewport.js";

const room = { x: 16, y: 16, width: 800, height: 400 };
const box = { x: 0, y: 0, width: 40, height: 10 };

test("there and back is the same place", () => {
  const v = { scale: 23, x_px: -40, y_px: 17 };
  const [x, y] = toMetres(v, toPx(v, [3.25, -1.5]));
  assert.ok(Math.abs(x - 3.25) < 1e-12 && Math.abs(y + 1.5) < 1e-12);
});

test("zooming keeps what lies under the pointer", () => {
  const v = { scale: 20, x_px: 10, y_px: 10 };
  const before = toMetres(v, [300, 200]);
  const after = toMetres(zoomed(v, [300, 200], 1.7), [300, 200]);
  assert.ok(Math.abs(before[0] - after[0]) < 1e-9);
});

test("fitting shows the whole box in the middle", () => {
  const v = fitted(box, room, 0);
  assert.deepEqual(toPx(v, [0, 5]), [16, 216]);
  assert.deepEqual(toPx(v, [40, 5]), [816, 216]);
});

test("on paper the scale is one that ISO 5455 recommends and the box still fits", () => {
  const v = fittedForPaper(box, room);
  const n = Math.round(96 / 0.0254 / v.scale);
  assert.equal(n, 200);
  assert.equal(denominator(v), 200);
  assert.ok(box.width * v.scale <= room.width);
});

test("what would be covered is held in view by the least pan, at the same scale", () => {
  const v = { scale: 20, x_px: 16, y_px: 16 };
  const low = { x: 10, y: 18, width: 1, height: 1 };
  const held = holding(v, low, room, 20);
  assert.equal(held.scale, v.scale);
  assert.equal(held.x_px, v.x_px);
  const [, foot] = toPx(held, [low.x, low.y + low.height]);
  assert.equal(foot, room.y + room.height - 20);
  assert.deepEqual(holding(v, { x: 10, y: 5, width: 1, height: 1 }, room, 20), v);
});

test("what is larger than the room shows its upper left corner", () => {
  const v = { scale: 20, x_px: -500, y_px: 300 };
  const held = holding(v, { x: 0, y: 0, width: 100, height: 100 }, room, 20);
  assert.deepEqual(toPx(held, [0, 0]), [room.x + 20, room.y + 20]);
});
