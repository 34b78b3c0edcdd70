/**
 * Prints quantities: unit after a narrow space, no false digits, tabular. It calculates nothing
 * but the change of unit for a US customary project.
 * @import {Quantity} from "./types.js"
 */

/** @type {Record<string, [string, number]>} symbol and decimals, as `Unit` of the Rust side */
const UNITS = {
  "": ["", 0],
  m: ["m", 1],
  m2: ["m²", 1],
  m3: ["m³", 1],
  mm2: ["mm²", 2],
  V: ["V", 1],
  A: ["A", 3],
  ohm: ["Ω", 2],
  "ohm/km": ["Ω/km", 2],
  Ah: ["Ah", 1],
  degC: ["°C", 0],
  K: ["K", 0],
  Pa: ["Pa", 0],
  "g/mol": ["g/mol", 2],
  "kg/m3": ["kg/m³", 2],
  "mg/m3": ["mg/m³", 1],
  "%vol": ["%vol", 1],
  "%LFL": ["%LFL", 0],
  ppm: ["ppm", 0],
  "%": ["%", 0],
  "1/h": ["/h", 1],
  s: ["s", 0],
  h: ["h", 1],
  money: ["", 0],
  "money/h": ["/h", 2],
};

const NARROW = "\u202f";

/** @param {number} value @param {number} decimals */
export function figure(value, decimals) {
  const sign = value < 0 && Number(value.toFixed(decimals)) !== 0 ? "\u2212" : "";
  const [whole, part] = Math.abs(value).toFixed(decimals).split(".");
  const grouped = whole.length > 4 ? whole.replace(/\B(?=(\d{3})+$)/g, NARROW) : whole;
  return sign + grouped + (part ? `.${part}` : "");
}

/**
 * A height or a short length: centimetres are shown.
 * @param {number} metres
 * @param {string} units
 */
export function heightText(metres, units) {
  if (units === "us_customary") return `${figure(metres / 0.3048, 2)}${NARROW}ft`;
  return `${figure(metres, 2)}${NARROW}m`;
}

/** A distance on the plan. @param {number} metres @param {string} units */
export function lengthText(metres, units, decimals = 1) {
  if (units === "us_customary") return `${figure(metres / 0.3048, decimals)}${NARROW}ft`;
  return `${figure(metres, decimals)}${NARROW}m`;
}

/**
 * A quantity as text.
 * @param {Quantity} quantity
 * @param {{units: string, currency: string}} system
 */
export function text(quantity, { units, currency }) {
  if (quantity.unit === "m") return lengthText(quantity.value, units);
  if (quantity.unit === "m2" && units === "us_customary") {
    return `${figure(quantity.value / 0.3048 ** 2, 0)}${NARROW}ft²`;
  }
  if (quantity.unit === "money") return money(quantity.value, currency);
  const [symbol, decimals] = UNITS[quantity.unit] ?? [quantity.unit, 1];
  const exact = isAsSet(quantity.unit) ? plainDecimals(quantity.value, decimals) : decimals;
  const digits = figure(quantity.value, exact);
  return symbol ? `${digits}${NARROW}${symbol}` : digits;
}

/** @param {number} value @param {string} currency */
export const money = (value, currency) =>
  currency ? `${currency}${NARROW}${figure(value, 0)}` : figure(value, 0);

/** Set-points and shares are printed exactly as set. @param {string} unit */
const isAsSet = (unit) => ["%LFL", "ppm", "%vol", "mg/m3", "%", ""].includes(unit);

/** @param {number} value @param {number} least */
function plainDecimals(value, least) {
  for (let decimals = 0; decimals <= 3; decimals += 1) {
    if (Math.abs(value - Number(value.toFixed(decimals))) < 1e-9) return decimals;
  }
  return Math.max(least, 2);
}
