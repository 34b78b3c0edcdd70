import assert from "node:assert/strict";
import { test } from "node:test";

import { lostText } from "../../static/js/ui/comparison.js";

const SYSTEM = { units: "metric", currency: "€" };
const percent = (/** @type {number} */ value) => ({ value, unit: "%", why: 1 });
const LOST = {
  title: "floor of G.01",
  area: { value: 12.3, unit: "m2", why: 2 },
  share: percent(6.8),
  watching: 0,
  wanted: 1,
};

test("a layout that loses nothing claims no more than is asked for", () => {
  assert.equal(lostText({ lost: [], bound: null }, SYSTEM), "Watches everything.");
  const part = lostText({ lost: [], bound: null, asked: percent(95) }, SYSTEM);
  assert.match(part, /^Watches what is asked for: at least 95.* of each floor\.$/);
});

test("what is lost of a floor stands beside what is asked for", () => {
  const whole = lostText({ lost: [LOST], bound: null }, SYSTEM);
  assert.match(whole, /^Unwatched: .* of the floor of G\.01\.$/);
  const part = lostText({ lost: [LOST], bound: null, asked: percent(95) }, SYSTEM);
  assert.match(part, /floor of G\.01\. Asked for: at least 95.* of each floor\.$/);
});
