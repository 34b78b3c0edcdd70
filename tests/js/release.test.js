/** What the strip reads off a release; the expected figures are worked out by hand beside them. */

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import {
  axisOf,
  gasAt,
  heldAgainst,
  horizonOf,
  marksOf,
  reading,
  releaseInHand,
  sameReading,
  ticksOf,
  valueAt,
} from "../../static/js/core/release.js";
import { concentration, text, timeText } from "../../static/js/core/quantity.js";

const near = (a, b) => assert.ok(Math.abs(a - b) < 1e-9, `${a} is not ${b}`);
const q = (value, unit = "m") => ({ value, unit, why: 0 });

/** A gas that rises from 1 m in a room of 3 m. */
const rising = {
  motion: "rises",
  from: q(1),
  times: [0, 10, 30],
  front: [3, 2.5, 1.5],
  layer: [0, 2, 4],
  occupied: [0, 0, 0.8],
  mixed: [0, 0.5, 1.5],
  alarms: [],
  harms: [],
};
const release = {
  rate: q(0.01, "m3/s"),
  total: null,
  cases: [rising],
  sentences: [],
};

test("between samples a value goes straight, beyond them the ends hold", () => {
  near(valueAt([0, 10, 30], [0, 2, 4], 5), 1);
  near(valueAt([0, 10, 30], [0, 2, 4], 20), 3);
  near(valueAt([0, 10, 30], [0, 2, 4], 99), 4);
  near(valueAt([0, 10, 30], [0, 2, 4], -1), 0);
  assert.equal(valueAt([], [], 5), 0);
});

test("the cases that screen and paper share are read off alike", () => {
  const path = new URL("../data/release/section_cases.json", import.meta.url);
  for (const one of JSON.parse(readFileSync(path, "utf8")).cases) {
    const { course, from, ceiling, entrainment, seconds, ends, expect } = one;
    const shown = { ...course, from: q(from) };
    const whole = { ...release, ends: ends ? q(ends, "s") : null };
    const gas = gasAt(whole, shown, seconds, { ceiling, entrainment });
    for (const part of ["layer", "cone"]) {
      if (expect[part] === null) assert.equal(gas[part], null, one.name);
      else for (const key of Object.keys(expect[part])) near(gas[part][key], expect[part][key]);
    }
  }
});

test("a reading follows its scale, and oxygen falls", () => {
  const oxygen = { unit: "%vol", at_zero: 20.9, per_percent: -0.209 };
  near(reading(oxygen, 10), 18.81);
  const percent = { unit: "%vol", at_zero: 0, per_percent: 1 };
  const lfl = { unit: "%LFL", at_zero: 0, per_percent: 25 };
  near(sameReading(lfl, percent, 4), 100);
  const { low, high } = axisOf(oxygen, [19.5, 18], 5);
  near(high, 20.9);
  near(low, 20.9 - 1.2 * 2.9);
});

test("the chart goes past alarm and harm, but never so far that the first is lost", () => {
  const day = { ...rising, times: [0, 14400], mixed: [0, 1] };
  assert.equal(horizonOf(day, [{ seconds: 48 }, { seconds: 260 }]), 600);
  assert.equal(horizonOf(day, [{ seconds: 48 }, { seconds: 7000 }]), 60);
  assert.equal(horizonOf(day, []), 14400);
  const soon_out = { ...rising, times: [0, 500, 14400], mixed: [0, 2, 0] };
  assert.equal(horizonOf(soon_out, []), 1800);
  assert.equal(horizonOf({ ...rising }, [{ seconds: 28 }]), 30);
});

test("ticks are round and stay inside", () => {
  assert.deepEqual(ticksOf({ low: 0, high: 120 }), [0, 50, 100]);
  assert.deepEqual(ticksOf({ low: 17.4, high: 20.9 }), [18, 19, 20]);
});

test("a time is said as on paper and in findings", () => {
  const path = new URL("../data/release/time_cases.json", import.meta.url);
  const { cases } = JSON.parse(readFileSync(path, "utf8"));
  assert.ok(cases.length > 10);
  for (const { seconds, words } of cases) {
    assert.equal(timeText(seconds).replace("\u202f", " "), words, `${seconds} s`);
  }
  assert.equal(text(q(1536, "s"), { units: "metric", currency: "" }), "26\u202fmin");
});

test("an alarm is held against the harm of the picture that decides, never across", () => {
  const alarm = {
    picture: "mixed",
    alarm_layered: q(10, "s"),
    alarm_mixed: q(300, "s"),
  };
  const harm = { harm_layered: q(400, "s"), harm_mixed: q(500, "s") };
  const both = { picture: "mixed", alarm: q(300, "s"), harm: q(500, "s"), margin: 200 };
  assert.deepEqual(heldAgainst(alarm, harm), both);
  const layered = heldAgainst({ ...alarm, picture: "layered" }, harm);
  assert.deepEqual(layered, { picture: "layered", alarm: q(10, "s"), harm: q(400, "s"), margin: 390 });
  assert.equal(heldAgainst(alarm, { ...harm, harm_mixed: null }).margin, null);
  assert.equal(heldAgainst(alarm, null).harm, null);
  assert.deepEqual(marksOf(alarm, { ...harm, harm_mixed: null }), [
    { name: "alarm", seconds: 10, picture: "layered" },
    { name: "harm", seconds: 400, picture: "layered" },
    { name: "alarm", seconds: 300, picture: "mixed" },
  ]);
});

test("concentrations have no false digits", () => {
  assert.equal(concentration(0.01234, "%vol"), "0.012\u202f%vol");
  assert.equal(concentration(1234, "ppm"), "1200\u202fppm");
  assert.equal(concentration(99.6, "ppm"), "100\u202fppm");
  assert.equal(concentration(0, "ppm"), "0\u202fppm");
});

test("without a release there is a sentence, never nothing", () => {
  const room = { number: "G.02", enclosure: "enclosed" };
  const source = { id: 7, name: "regulator" };
  const project = { detectors: [{ id: 3, tag: "AT-103" }] };
  const hand = (selection, releases, at = room) =>
    releaseInHand({ project, results: { releases }, selection }, at, [source]);
  assert.match(hand(null, {}).sentence, /Select the release source/);
  assert.match(hand({ kind: "source", id: 7 }, {}).sentence, /regulator is not known/);
  assert.match(hand({ kind: "detector", id: 3 }, {}).sentence, /not known/);
  const open = { ...release, cases: [] };
  const yard = { number: "G.14", enclosure: "outdoor" };
  assert.match(hand({ kind: "source", id: 7 }, { 7: open }, yard).sentence, /in the open/);
  assert.match(hand({ kind: "detector", id: 3 }, { 7: release }).sentence, /AT-103 is not/);
  const alarm = { detector: 3, alarm: q(48, "s") };
  const seen = { ...release, cases: [{ ...rising, alarms: [alarm] }] };
  assert.equal(hand({ kind: "detector", id: 3 }, { 7: seen }).release, seen);
  assert.equal(hand({ kind: "source", id: 7 }, { 7: release }).release, release);
});
