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
  "cm3/mol": ["cm³/mol", 0],
  eV: ["eV", 2],
  "kg/m3": ["kg/m³", 2],
  "mg/m3": ["mg/m³", 1],
  "%vol": ["%vol", 1],
  "%LFL": ["%LFL", 0],
  ppm: ["ppm", 0],
  "%": ["%", 0],
  "1/h": ["/h", 1],
  s: ["s", 0],
  h: ["h", 1],
  min: ["min", 1],
  mm: ["mm", 0],
  cm2: ["cm²", 1],
  L: ["L", 0],
  kg: ["kg", 2],
  "m3/s": ["m³/s", 4],
  "m3/h": ["m³/h", 2],
  "kg/s": ["kg/s", 4],
  "kg/h": ["kg/h", 2],
  "L/d": ["L/d", 0],
  "m/s": ["m/s", 2],
  "m4/s3": ["m⁴/s³", 4],
  "J/(mol K)": ["J/(mol·K)", 2],
  "J/mol": ["J/mol", 0],
  "bar(g)": ["bar(g)", 1],
  "mbar(g)": ["mbar(g)", 0],
  kW: ["kW", 1],
  "MJ/m3": ["MJ/m³", 1],
  "kJ/kg": ["kJ/kg", 0],
  "kJ/mol": ["kJ/mol", 1],
  "kJ/(kg K)": ["kJ/(kg·K)", 2],
  "mA/Ah": ["mA/Ah", 1],
  money: ["", 0],
  "money/h": ["/h", 2],
};

/** Figures that range over many decades are printed with three significant digits. */
const SIGNIFICANT = ["m3/s", "m3/h", "kg/s", "kg/h", "kg", "cm2", "kJ/(kg K)", "m4/s3",
  "J/(mol K)"];

/** @type {Record<string, [string, number, number]>} US customary: symbol, factor, decimals more */
const US = {
  m2: ["ft²", 1 / 0.3048 ** 2, -1],
  m3: ["ft³", 1 / 0.3048 ** 3, -1],
  mm: ["in", 1 / 25.4, 2],
  cm2: ["in²", 100 / 25.4 ** 2, 0],
  L: ["gal", 1 / 3.785411784, 1],
  "L/d": ["gal/d", 1 / 3.785411784, 1],
  kg: ["lb", 1 / 0.45359237, 0],
  "kg/s": ["lb/s", 1 / 0.45359237, 0],
  "kg/h": ["lb/h", 1 / 0.45359237, 0],
  "kg/m3": ["lb/ft³", 0.3048 ** 3 / 0.45359237, 1],
  "m3/s": ["ft³/s", 1 / 0.3048 ** 3, 0],
  "m3/h": ["ft³/min", 1 / 0.3048 ** 3 / 60, 0],
  "m/s": ["ft/s", 1 / 0.3048, -1],
  "bar(g)": ["psi(g)", 1e5 / 6894.757293, -1],
  "mbar(g)": ["inH₂O(g)", 100 / 249.08891, 1],
  kW: ["kBtu/h", 3.6 / 1.055055853, 0],
  "MJ/m3": ["Btu/ft³", (1e3 / 1.055055853) * 0.3048 ** 3, -1],
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

/** Height of a front: a layer thinner than the digits show is not said to be nothing. */
export function frontText(/** @type {number} */ metres, /** @type {string} */ units) {
  const least = units === "us_customary" ? 0.01 * 0.3048 : 0.01;
  const thin = metres > 0 && heightText(metres, units) === heightText(0, units);
  return thin ? `below ${heightText(least, units)}` : heightText(metres, units);
}

/** A surface, m2. @param {number} square_metres @param {string} units */
export const areaText = (square_metres, units) =>
  units === "us_customary"
    ? concentration(square_metres / 0.3048 ** 2, "ft²")
    : concentration(square_metres, "m²");

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
  if (quantity.unit === "s") return timeText(quantity.value);
  if (quantity.unit === "money") return money(quantity.value, currency);
  const [metric, places] = UNITS[quantity.unit] ?? [quantity.unit, 1];
  const us = units === "us_customary" ? US[quantity.unit] : undefined;
  const [symbol, factor, more] = us ?? [metric, 1, 0];
  const value = quantity.value * factor;
  const decimals = SIGNIFICANT.includes(quantity.unit) ? threeDigits(value) : places + more;
  const exact = isAsSet(quantity.unit) ? plainDecimals(value, decimals) : decimals;
  const digits = figure(value, exact);
  return symbol ? `${digits}${NARROW}${symbol}` : digits;
}

/**
 * A calculated concentration: two digits that count, and its unit.
 * @param {number} value @param {string} unit
 */
export function concentration(value, unit) {
  const symbol = (UNITS[unit] ?? [unit])[0];
  const shown = Number(value.toPrecision(2));
  const decimals = shown === 0 ? 0 : Math.max(0, 1 - Math.floor(Math.log10(Math.abs(shown))));
  const digits = figure(shown, decimals);
  return symbol ? `${digits}${NARROW}${symbol}` : digits;
}

/**
 * A time as one says it: seconds up to 120, then minutes up to 120, then hours. `units::time_text`
 * says it alike on paper and in findings (`tests/data/release/time_cases.json`).
 * @param {number} seconds
 */
export function timeText(seconds) {
  const minutes = seconds / 60;
  if (Math.round(seconds) <= 120) return `${figure(Math.max(0, seconds), 0)}${NARROW}s`;
  if (minutes < 9.95) return `${figure(minutes, 1)}${NARROW}min`;
  if (minutes < 119.5) return `${figure(minutes, 0)}${NARROW}min`;
  return `${figure(minutes / 60, 1)}${NARROW}h`;
}

/**
 * From a sooner time to a later one, s, so that it is what their words differ by
 * (`units::time_between`).
 */
export function timeBetween(/** @type {number} */ later, /** @type {number} */ sooner) {
  const read = (/** @type {number} */ seconds) =>
    Math.round(seconds) <= 120 ? Math.round(seconds) : seconds;
  return read(later) - read(sooner);
}

/** The symbol a unit prints. @param {string} unit */
export const symbolOf = (unit) => (UNITS[unit] ?? [unit])[0];

/**
 * A quantity exactly as somebody stated it, to six digits.
 * @param {Quantity} quantity @param {{units: string}} system
 */
export function asStated({ value, unit }, { units }) {
  const { symbol, toShown } = inputUnit(unit, units);
  const digits = sixDigits(toShown(value)).replace("-", "\u2212");
  return symbol ? `${digits}${NARROW}${symbol}` : digits;
}

/**
 * The unit a figure is typed in, with the ways to and from the engine's.
 * @param {string} unit @param {string} units
 * @returns {{symbol: string, toShown: (value: number) => number,
 *   toBase: (value: number) => number}}
 */
export function inputUnit(unit, units) {
  const us = units === "us_customary";
  if (us && unit === "degC") {
    return {
      symbol: "°F",
      toShown: (value) => (value * 9) / 5 + 32,
      toBase: (value) => ((value - 32) * 5) / 9,
    };
  }
  const [symbol, factor] = (us && US[unit]) || [UNITS[unit]?.[0] ?? unit, 1];
  return {
    symbol,
    toShown: (value) => value * factor,
    toBase: (value) => (factor === 1 ? value : Number(sixDigits(value / factor))),
  };
}

/** Six significant digits without zeros at the end. @param {number} value */
export const sixDigits = (value) => String(Number(value.toPrecision(6)));

/** @param {number} value @param {string} currency */
export const money = (value, currency) =>
  currency ? `${currency}${NARROW}${figure(value, 0)}` : figure(value, 0);

/** Set-points and shares are printed exactly as set. @param {string} unit */
const isAsSet = (unit) => ["%LFL", "ppm", "%vol", "mg/m3", "%", ""].includes(unit);

/** Decimals that leave three significant digits. @param {number} value */
const threeDigits = (value) =>
  value === 0 ? 0 : Math.max(0, 2 - Math.floor(Math.log10(Math.abs(value))));

/** @param {number} value @param {number} least */
function plainDecimals(value, least) {
  for (let decimals = 0; decimals <= 3; decimals += 1) {
    if (Math.abs(value - Number(value.toFixed(decimals))) < 1e-9) return decimals;
  }
  return Math.max(least, 2);
}
