/**
 * The chart beside the section: readings against time with their limits, or the density of a cold
 * release against its share. Pixels of its own drawing.
 * @import {Point} from "../core/types.js"
 */

import { ticksOf } from "../core/release.js";
import { figure, symbolOf, timeText } from "../core/quantity.js";
import { pathData, short, svg } from "./svg.js";

/** Round the plot: figures at the left, times below. */
export const PLOT_PX = { left: 44, right: 12, top: 20, bottom: 18 };

/** Height of a label on its line, px. */
const LABEL_PX = 13;

/** Width of a letter over the plot, about, px. */
const LETTER_PX = 5.8;

/**
 * @typedef {{size: {width: number, height: number}, horizon: number, unit: string,
 *   axis: {low: number, high: number}, lines: {name: string, points: Point[]}[],
 *   limits: {name: string, value: number}[], lanes: Lane[],
 *   dots: {seconds: number, value: number, name: string}[],
 *   hue: string, seconds: number}} Chart  the figures of lines and limits are readings
 */

/**
 * @typedef {{name: string, picture: string, marks: {name: string, seconds: number}[]}} Lane  a row of
 *   words over the plot: alarm and harm of one picture of the room
 */

/** @param {Chart} chart */
export function chartMarks(chart) {
  const plot = plotOf(chart.size, LABEL_PX * Math.max(0, chart.lanes.length - 1));
  const toX = (/** @type {number} */ s) => plot.x1 + (s / chart.horizon) * (plot.x2 - plot.x1);
  const toY = yScale(plot, chart.axis);
  return [
    clip(plot),
    frame(plot),
    ...readings(plot, chart.axis, toY, symbolOf(chart.unit)),
    ...times(plot, chart.horizon, toX),
    svg(
      "g",
      { "clip-path": "url(#plot)" },
      ...chart.lines.map(({ name, points }) =>
        svg("path", {
          class: `chart-line ${name} ${chart.hue}`,
          "data-line": name,
          d: pathData(points.map(([s, value]) => [toX(s), toY(value)])),
        }),
      ),
    ),
    ...chart.lanes.flatMap((lane, row) =>
      laneMarks(lane, LABEL_PX * (chart.lanes.length - 1 - row), chart.horizon, plot, toX),
    ),
    ...chart.dots
      .filter(({ seconds }) => seconds <= chart.horizon)
      .map(({ seconds, value, name }) =>
        svg("circle", {
          class: `curve-dot ${name} ${chart.hue}`,
          "data-dot": name,
          cx: short(toX(seconds)),
          cy: short(toY(value)),
          r: 3,
        }),
      ),
    ...limitMarks(chart.limits, plot, toY),
    svg("path", {
      class: "time-cursor",
      "data-cursor": short(chart.seconds),
      d: `M${short(toX(Math.min(chart.seconds, chart.horizon)))} ${plot.y1}V${plot.y2}`,
    }),
  ];
}

/** @param {{width: number, height: number}} size @param {number} more px over the plot */
const plotOf = ({ width, height }, more = 0) => ({
  x1: PLOT_PX.left,
  x2: Math.max(PLOT_PX.left + 40, width - PLOT_PX.right),
  y1: PLOT_PX.top + more,
  y2: Math.max(PLOT_PX.top + more + 30, height - PLOT_PX.bottom),
});

const yScale =
  (/** @type {any} */ { y1, y2 }, /** @type {{low: number, high: number}} */ { low, high }) =>
  (/** @type {number} */ value) =>
    y2 - ((value - low) / (high - low)) * (y2 - y1);

/** @param {any} plot */
const clip = ({ x1, x2, y1, y2 }) =>
  svg(
    "defs",
    {},
    svg(
      "clipPath",
      { id: "plot" },
      svg("rect", { x: x1, y: y1 - 1, width: x2 - x1, height: y2 - y1 + 2 }),
    ),
  );

/** @param {any} plot */
const frame = ({ x1, x2, y1, y2 }) =>
  svg("path", { class: "chart-axis", d: `M${x1} ${y1}H${x2}V${y2}H${x1}Z` });

function readings(
  /** @type {any} */ { x1, y1, y2 },
  /** @type {{low: number, high: number}} */ axis,
  /** @type {(value: number) => number} */ toY,
  /** @type {string} */ unit,
) {
  const ticks = ticksOf(axis, y2 - y1 > 90 ? 4 : 2).filter((value) => toY(value) > y1 + 4);
  const places = Math.max(0, ...ticks.map((value) => (String(value).split(".")[1] ?? "").length));
  return [
    svg("text", { class: "chart-text", x: x1 - 5, y: y1 - 7, "text-anchor": "end" }, unit),
    ...ticks.flatMap((value) => [
      svg("path", { class: "chart-axis", d: `M${x1 - 4} ${short(toY(value))}h4` }),
      svg(
        "text",
        { class: "chart-text", x: x1 - 7, y: short(toY(value) + 4), "text-anchor": "end" },
        figure(value, places),
      ),
    ]),
  ];
}

function times(
  /** @type {any} */ { y2 },
  /** @type {number} */ horizon,
  /** @type {(seconds: number) => number} */ toX,
) {
  const parts = [0, 0.25, 0.5, 0.75, 1];
  return parts.flatMap((part) => [
    svg("path", { class: "chart-axis", d: `M${short(toX(part * horizon))} ${y2}v4` }),
    [0, 0.5, 1].includes(part) &&
      svg(
        "text",
        {
          class: "chart-text",
          x: short(toX(part * horizon)),
          y: y2 + 15,
          "text-anchor": part === 0 ? "start" : part === 1 ? "end" : "middle",
        },
        part === 0 ? "0" : timeText(part * horizon),
      ),
  ]);
}

/**
 * Broken lines, each with its words above it at the right; crowded words give way upwards.
 * @param {{name: string, value: number}[]} limits @param {any} plot
 */
function limitMarks(limits, { x1, x2, y1 }, /** @type {(value: number) => number} */ toY) {
  const from_foot = [...limits].sort((a, b) => toY(b.value) - toY(a.value));
  let free = Infinity;
  return from_foot.flatMap(({ name, value }) => {
    const y = toY(value);
    const at = Math.max(y1 + LABEL_PX - 2, Math.min(y - 4, free));
    free = at - LABEL_PX;
    return [
      svg("path", { class: "set-point", d: `M${x1} ${short(y)}H${x2}` }),
      svg(
        "text",
        { class: "chart-text limit", x: x2 - 5, y: short(at), "text-anchor": "end" },
        name,
      ),
    ];
  });
}

/** When alarm and harm of a picture come, over the plot; beyond the chart an arrow says so. */
function laneMarks(
  /** @type {Lane} */ { name: title, picture, marks },
  /** @type {number} */ up,
  /** @type {number} */ horizon,
  /** @type {any} */ { x1, x2, y1, y2 },
  /** @type {(seconds: number) => number} */ toX,
) {
  const base = y1 - 7 - up;
  const words = (/** @type {string} */ kind, /** @type {number} */ x, /** @type {string} */ said) =>
    svg("text", { class: `chart-text ${kind}`, x: short(x), y: base }, said);
  let taken = title ? x1 + title.length * LETTER_PX + 4 : -Infinity;
  const placed = [...marks]
    .sort((a, b) => a.seconds - b.seconds)
    .map(({ name, seconds }) => {
      const beyond = seconds > horizon;
      const x = beyond ? x2 : toX(seconds);
      const said = `${name} ${timeText(seconds)}${beyond ? " \u2192" : ""}`;
      const wide = said.length * LETTER_PX;
      const left = Math.max(taken, Math.min(x2 - wide, Math.max(x1, x - wide / 2)));
      taken = left + wide + 8;
      return { name, beyond, x, said, wide, left };
    });
  // What was pushed out at the right pushes back.
  let free = x2;
  for (const one of [...placed].reverse()) {
    one.left = Math.min(one.left, free - one.wide);
    free = one.left - 8;
  }
  const shown = placed.flatMap(({ name, beyond, x, said, left }) => [
    !beyond &&
      svg("path", {
        class: `event ${name} ${picture}`,
        d: `M${short(x)} ${y2}V${short(base + 2)}`,
        "data-event": name,
        "data-picture": picture,
      }),
    words(`event-text ${name}`, left, said),
  ]);
  if (!title) return shown;
  const none = marks.length === 0 && words("lane", taken, "neither alarm nor harm");
  return [...shown, words("lane", x1, title), none];
}

/**
 * Density of a cold release against its share of the air, 0 to 100 %.
 * @param {any} mixing @param {{width: number, height: number}} size
 */
export function mixingMarks(mixing, size) {
  const plot = plotOf(size);
  const all = [...mixing.adiabatic, ...mixing.heated, 1];
  const axis = { low: Math.min(...all) * 0.95, high: Math.max(...all) * 1.05 };
  const toX = (/** @type {number} */ share) => plot.x1 + share * (plot.x2 - plot.x1);
  const toY = yScale(plot, axis);
  const line = (/** @type {string} */ name, /** @type {number[]} */ values) =>
    svg("path", {
      class: `chart-line ${name}`,
      "data-line": name,
      d: pathData(values.map((value, idx) => [toX(mixing.gas[idx]), toY(value)])),
    });
  const share = (/** @type {number} */ part) =>
    svg(
      "text",
      {
        class: "chart-text",
        x: toX(part),
        y: plot.y2 + 15,
        "text-anchor": part === 0 ? "start" : part === 1 ? "end" : "middle",
      },
      part === 0.5 ? "share of gas" : `${part * 100}\u202f%`,
    );
  return [
    frame(plot),
    ...readings(plot, axis, toY, "\u00d7 air"),
    ...[0, 0.5, 1].map(share),
    ...limitMarks([{ name: "as dense as air", value: 1 }], plot, toY),
    line("adiabatic", mixing.adiabatic),
    line("heated", mixing.heated),
    ...[mixing.crossing_adiabatic, mixing.crossing_heated].flatMap((crossing) =>
      crossing
        ? [svg("circle", { class: "crossing", cx: toX(crossing.value), cy: toY(1), r: 3.5 })]
        : [],
    ),
  ];
}
