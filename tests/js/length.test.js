import assert from "node:assert/strict";
import test from "node:test";
import {
  isLengthKey,
  parseLength,
  parseNumber,
  parseTwoLengths,
} from "../../static/js/core/length.js";

/** A length within a tenth of a micrometre: binary fractions of feet. */
const check = (text, metres, units = "metric") =>
  assert.ok(
    Math.abs(parseLength(text, units) - metres) < 1e-7,
    `${text}: ${parseLength(text, units)}`,
  );

test("a number alone is metres, with a point or a comma", () => {
  check("4.2", 4.2);
  check("4,2", 4.2);
  check(" 12 ", 12);
  check(".5", 0.5);
});

test("units may follow", () => {
  check("420 cm", 4.2);
  check("4200mm", 4.2);
  check("4.2 m", 4.2);
});

test("feet and inches are those of the 1959 agreement", () => {
  // NIST SP 811, B.9: 1 ft = 0.3048 m, 1 in = 0.0254 m, exactly.
  check("13' 9\"", 13 * 0.3048 + 9 * 0.0254);
  check("13 ft 9 in", 4.191);
  check("10ft", 3.048);
  check("18 in", 0.4572);
});

test("in a US customary project a number alone is feet", () => {
  check("10", 3.048, "us_customary");
  check("10 m", 10, "us_customary");
});

test("what is no length is refused", () => {
  for (const text of ["", "abc", "4.2.1", "-3", "4 parsecs", "x"]) {
    assert.equal(parseLength(text), null, text);
  }
});

test("two lengths give a rectangle", () => {
  assert.deepEqual(parseTwoLengths("4.2 x 3.1"), [4.2, 3.1]);
  assert.deepEqual(parseTwoLengths("4,2*3"), [4.2, 3]);
  assert.equal(parseTwoLengths("4.2"), null);
  assert.equal(parseTwoLengths("4.2 x"), null);
});

test("letters that are tools do not go into a length", () => {
  assert.equal(isLengthKey("4"), true);
  assert.equal(isLengthKey("r"), false);
  assert.equal(isLengthKey("Enter"), false);
});

test("a typed minus may be the typographic one", () => {
  assert.equal(parseNumber("\u22121.5"), -1.5);
  assert.equal(parseNumber("1,5"), 1.5);
  assert.equal(parseNumber("one"), null);
});
