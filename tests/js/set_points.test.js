import assert from "node:assert/strict";
import test from "node:test";
import { blank, stateReason, stateSetPoint, takeBack } from "../../static/js/commands/set_points.js";
import { detector } from "./project.js";

const RULE = [
  { value: 20, unit: "%LFL", rising: true },
  { value: 40, unit: "%LFL", rising: true },
];

test("stating one set-point keeps the others as they are shown", () => {
  const { edit, label } = stateSetPoint(detector(1, "AT-101"), RULE, 0, { ...RULE[0], value: 15 });
  assert.deepEqual(
    edit.item.value.set_points.map(({ value }) => value),
    [15, 40],
  );
  assert.match(label, /AT-101: first set-point 15.%LFL rising/);
});

test("taking back leaves neither set-points nor reason", () => {
  const own = stateReason({ ...detector(1, "AT-101"), set_points: RULE }, "agreed").edit.item.value;
  assert.equal(own.set_points_reason, "agreed");
  const back = takeBack(own).edit.item.value;
  assert.deepEqual(back.set_points, []);
  assert.equal("set_points_reason" in back, false);
});

test("without a rule lack of oxygen starts falling, in per cent by volume", () => {
  const lack = { ...detector(1, "AT-101"), hazard: "oxygen_depletion" };
  assert.deepEqual(blank(lack), { value: 0, unit: "%vol", rising: false });
});
