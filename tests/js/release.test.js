/** What the strip reads off a release; the expected figures are worked out by hand beside them. */

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { test } from "node:test";
import {
  axisOf,
  courseAt,
  courseOfAlarm,
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

test("the gas at a detector jumps when the front passes it", () => {
  // The front falls 1 m in 20 s from 2.5 m: it passes 2 m at 20 s, when the layer holds 3 %vol.
  assert.deepEqual(courseAt(rising, 2), [
    [0, 0],
    [10, 0],
    [20, 0],
    [20, 3],
    [30, 4],
  ]);
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

test("the gas at a detector is at its set-point when its alarm says", () => {
  // In the layer from 20 s on, at 3 %vol; the current along the ceiling comes at 26 s.
  const late = { height: q(2), gas_layered: q(26, "s"), set_point_gas: q(2, "%vol") };
  assert.deepEqual(courseOfAlarm(rising, late), [
    [0, 0],
    [10, 0],
    [20, 0],
    [20, 0],
    [26, 0],
    [26, 3.6],
    [30, 4],
  ]);
  const strength = { ...late, gas_layered: q(25, "s"), set_point_gas: q(3.5, "%vol") };
  assert.deepEqual(courseOfAlarm(rising, strength), courseAt(rising, 2));
  const never = { ...late, gas_layered: null };
  assert.deepEqual(courseOfAlarm(rising, never), courseAt(rising, 2));
});

test("an alarm is held against the harm of its own picture, never across", () => {
  const times = (layered, mixed) => ({
    alarm: { alarm_layered: layered && q(layered[0], "s"), alarm_mixed: mixed && q(mixed[0], "s") },
    harm: {
      harm_layered: layered?.[1] ? q(layered[1], "s") : null,
      harm_mixed: mixed?.[1] ? q(mixed[1], "s") : null,
    },
  });
  const held = (layered, mixed, one = rising) => {
    const { alarm, harm } = times(layered, mixed);
    return heldAgainst(one, alarm, harm);
  };
  // Across them it would be 400 - 300 = 100 s; within, 390 s and 200 s.
  const both = held([10, 400], [300, 500]);
  assert.deepEqual(both, { picture: "mixed", alarm: 300, harm: 500, margin: 200 });
  assert.deepEqual(held([140, 20], [77, 30]), {
    picture: "layered",
    alarm: 140,
    harm: 20,
    margin: -120,
  });
  assert.equal(held([10, 0], [300, 0]).picture, "mixed", "without harm the later alarm counts");
  const mute = { ...times([10, 400], [300, 500]).alarm, alarm_mixed: null };
  const unseen = heldAgainst(rising, mute, times([10, 400], [300, 500]).harm);
  assert.deepEqual(unseen, { picture: "mixed", alarm: null, harm: 500, margin: null });
  assert.equal(held(null, [300, 500], { ...rising, motion: "mixes" }).picture, "mixed");
  const { alarm, harm } = times([10, 400], [300, 0]);
  assert.deepEqual(marksOf(alarm, harm), [
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
