/** Reads a length somebody types, and prints one. Metres inside. */

/** International foot and inch, m (1959 agreement: exactly 0.3048 m to the foot). */
const FOOT_M = 0.3048;
const INCH_M = 0.0254;

/** @type {Record<string, number>} */
const UNITS_M = {
  "": 1,
  m: 1,
  cm: 0.01,
  mm: 0.001,
  ft: FOOT_M,
  "'": FOOT_M,
  in: INCH_M,
  '"': INCH_M,
};

/**
 * A length in metres; `null` where the text is none. A number alone is metres, or feet in a
 * project with US customary units. Takes a comma or a point, "4200 mm", `13' 9"`, "13 ft 9 in".
 * @param {string} text @param {"metric"|"us_customary"} [units]
 * @returns {?number}
 */
export function parseLength(text, units = "metric") {
  const plain = text
    .trim()
    .toLowerCase()
    .replace(/,/g, ".")
    .replace(/[′’]/g, "'")
    .replace(/[″”]/g, '"');
  const both = /^(\d+(?:\.\d*)?)\s*(?:'|ft)\s*(\d+(?:\.\d*)?)\s*(?:"|in)?$/.exec(plain);
  if (both) return Number(both[1]) * FOOT_M + Number(both[2]) * INCH_M;
  const one = /^(\d+\.?\d*|\.\d+)\s*(m|cm|mm|ft|in|'|"|)$/.exec(plain);
  if (!one) return null;
  const bare = one[2] === "" && units === "us_customary" ? FOOT_M : UNITS_M[one[2]];
  return Number(one[1]) * bare;
}

/**
 * Two lengths with an x or a star between them, such as "4.2 x 3.1"; `null` where it is not that.
 * @param {string} text @param {"metric"|"us_customary"} [units]
 * @returns {?[number, number]}
 */
export function parseTwoLengths(text, units = "metric") {
  const parts = text.split(/[x×*]/i);
  if (parts.length !== 2) return null;
  const [a, b] = parts.map((part) => parseLength(part, units));
  return a === null || b === null ? null : [a, b];
}

/** Whether a key goes into a length being typed. @param {string} key */
export const isLengthKey = (key) => /^[0-9.,'"x×*]$/.test(key);

/**
 * A number somebody types, with a comma or a point; `null` where the text is none.
 * @param {string} text
 */
export function parseNumber(text) {
  const plain = text.trim().replace(",", ".").replace("\u2212", "-");
  return /^-?(\d+\.?\d*|\.\d+)$/.test(plain) ? Number(plain) : null;
}
