import assert from "node:assert/strict";
import test from "node:test";
import { asStated, figure, heightText, inputUnit, text, timeBetween } from "../../static/js/core/quantity.js";

const metric = { units: "metric", currency: "€" };
const us = { units: "us_customary", currency: "$" };
const quantity = (value, unit) => ({ value, unit, why: 0 });

test("figures carry no false digits", () => {
  assert.equal(text(quantity(249.04, "m"), metric), "249.0\u202fm");
  assert.equal(heightText(2.7, "metric"), "2.70\u202fm");
  assert.equal(text(quantity(17.849, "V"), metric), "17.8\u202fV");
});

test("rates keep three significant digits over all decades", () => {
  assert.equal(text(quantity(0.000290194, "m3/s"), metric), "0.000290\u202fm³/s");
  assert.equal(text(quantity(12.34, "kg/h"), metric), "12.3\u202fkg/h");
});

test("set-points are printed exactly as set", () => {
  assert.equal(text(quantity(19.5, "%vol"), metric), "19.5\u202f%vol");
  assert.equal(text(quantity(20, "%LFL"), metric), "20\u202f%LFL");
  assert.equal(text(quantity(0.1, "ppm"), metric), "0.1\u202fppm");
});

test("thousands are set off from five figures on, and a minus is a minus", () => {
  assert.equal(figure(38240, 0), "38\u202f240");
  assert.equal(figure(9999, 0), "9999");
  assert.equal(figure(-42, 1), "\u221242.0");
  assert.equal(figure(-0.01, 1), "0.0");
});

test("a US customary project reads feet", () => {
  // NIST SP 811, B.9: 1 ft = 0.3048 m exactly.
  assert.equal(text(quantity(3.048, "m"), us), "10.0\u202fft");
  // B.8: 1 ft3 = 0.02831685 m3; 1 psi = 6894.757 Pa; 1 lb = 0.45359237 kg.
  assert.equal(text(quantity(100, "m3/h"), us), "58.9\u202fft³/min");
  assert.equal(text(quantity(2, "bar(g)"), us), "29\u202fpsi(g)");
  assert.equal(text(quantity(10, "kg"), us), "22.0\u202flb");
  assert.equal(text(quantity(38240, "money"), us), "$\u202f38\u202f240");
});

test("a stated figure is shown as it was typed, and typed in the units of the project", () => {
  // NIST SP 811, B.8 and B.9: 1 psi is 6894.757 Pa; 0 °C is 32 °F; 1 ft2 is 0.09290304 m2.
  assert.equal(asStated(quantity(0.25, "mm2"), us), "0.25\u202fmm²");
  assert.equal(asStated(quantity(200, "bar(g)"), metric), "200\u202fbar(g)");
  assert.equal(asStated(quantity(-20, "degC"), us), "\u22124\u202f°F");
  const gauge = inputUnit("bar(g)", "us_customary");
  assert.equal(gauge.symbol, "psi(g)");
  assert.equal(gauge.toBase(100).toFixed(5), "6.89476");
  assert.equal(inputUnit("degC", "us_customary").toBase(68), 20);
  assert.equal(inputUnit("m2", "us_customary").toBase(10).toFixed(5), "0.92903");
  assert.equal(inputUnit("kg", "metric").toBase(12.3456789), 12.3456789);
});

test("what lies between two times is what their words differ by", () => {
  assert.equal(timeBetween(83.6, 75.4), 9);
  assert.equal(timeBetween(75.4, 83.6), -9);
  assert.equal(timeBetween(700.5, 200.25), 500.25);
});
