/**
 * The sheet's frame with zones (ISO 5457), title block (after ISO 7200), legend and scale bar.
 * Pixels of the sheet.
 */

import { TERMINAL_NAMES, on } from "../core/drawing.js";
import { lengthText } from "../core/quantity.js";
import { setAll, svg } from "./svg.js";
import { diamond } from "./blockers.js";
import { apartOf, countMark, countText } from "./counts.js";
import { TERMINAL_LETTERS, hazardWords, segmentClass, terminalMark } from "./symbols.js";
import { denominator } from "./viewport.js";
import { runsOn } from "./wiring.js";

const BORDER_PX = 16;
const BAND_PX = 92;
const TITLE_WIDE_PX = 308;

/** Zone letters leave out I and O (ISO 5457). */
const LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ";

/** The part of the sheet that the drawing may take, px. */
export function drawingArea(/** @type {{width: number, height: number}} */ size) {
  const band = hasBand(size) ? BAND_PX : 0;
  return {
    x: BORDER_PX,
    y: BORDER_PX,
    width: Math.max(50, size.width - 2 * BORDER_PX),
    height: Math.max(50, size.height - 2 * BORDER_PX - band),
  };
}

/** A sheet too small for a title block shows the drawing only. */
const hasBand = (/** @type {{width: number, height: number}} */ { width, height }) =>
  width >= 480 && height >= 220;

/** Builds the frame's marks. @param {{width: number, height: number}} size */
export function frameMarks({ width, height }) {
  const b = BORDER_PX;
  const columns = 2 * Math.max(2, Math.round(width / 320));
  const rows = 2 * Math.max(1, Math.round(height / 260));
  const marks = [
    svg("rect", { class: "frame-edge", x: 0.5, y: 0.5, width: width - 1, height: height - 1 }),
    svg("rect", { class: "frame", x: b, y: b, width: width - 2 * b, height: height - 2 * b }),
  ];
  let ticks = "";
  for (let idx = 0; idx < columns; idx += 1) {
    const wide = (width - 2 * b) / columns;
    const x = b + wide * (idx + 0.5);
    marks.push(zone(x, b - 4.5, String(idx + 1)), zone(x, height - 4.5, String(idx + 1)));
    if (idx > 0) ticks += `M${b + wide * idx} 0v${b}M${b + wide * idx} ${height - b}v${b}`;
  }
  for (let idx = 0; idx < rows; idx += 1) {
    const high = (height - 2 * b) / rows;
    const y = b + high * (idx + 0.5) + 4;
    marks.push(zone(b / 2, y, LETTERS[idx]), zone(width - b / 2, y, LETTERS[idx]));
    if (idx > 0) ticks += `M0 ${b + high * idx}h${b}M${width - b} ${b + high * idx}h${b}`;
  }
  return [...marks, svg("path", { class: "frame-tick", d: ticks })];
}

const zone = (/** @type {number} */ x, /** @type {number} */ y, /** @type {string} */ text) =>
  svg("text", { class: "zone", x, y }, text);

/** Scale bar, legend and title block below the drawing. @param {any} scene */
export function bandMarks(scene) {
  if (!hasBand(scene.size)) return [];
  const { width, height } = scene.size;
  const top = height - BORDER_PX - BAND_PX;
  const left = width - BORDER_PX - TITLE_WIDE_PX;
  const bar = scaleBar(scene, BORDER_PX + 14, top + 18);
  return [
    svg("rect", {
      class: "band-ground",
      x: BORDER_PX,
      y: top,
      width: width - 2 * BORDER_PX,
      height: BAND_PX,
    }),
    svg("path", { class: "frame-tick", d: `M${BORDER_PX} ${top}H${width - BORDER_PX}` }),
    bar.node,
    legend(scene, BORDER_PX + 14, top, bar.width, left - BORDER_PX - 28),
    titleBlock(scene, left, top),
  ];
}

/** A bar of 1, 2 or 5 times ten metres (or feet), about 100 px long. */
function scaleBar(
  /** @type {any} */ { viewport, units },
  /** @type {number} */ x,
  /** @type {number} */ y,
) {
  const unit_m = units === "us_customary" ? 0.3048 : 1;
  const wanted = 100 / viewport.scale / unit_m;
  const ten = 10 ** Math.floor(Math.log10(wanted));
  const whole =
    [1, 2, 5, 10]
      .map((n) => n * ten)
      .filter((n) => n <= wanted * 1.3)
      .pop() ?? ten;
  const long = whole * unit_m * viewport.scale;
  const quarter = long / 4;
  const node = svg(
    "g",
    { class: "dimension-bar", transform: `translate(${x} ${y})` },
    svg("path", {
      class: "scale-bar full",
      d: `M0 0h${quarter}v5H0zM${2 * quarter} 0h${quarter}v5h${-quarter}z`,
    }),
    svg("path", {
      class: "scale-bar",
      d: `M${quarter} 0h${quarter}v5h${-quarter}zM${3 * quarter} 0h${quarter}v5h${-quarter}z`,
    }),
    svg("text", { class: "legend-text", x: 0, y: 20 }, "0"),
    svg(
      "text",
      { class: "legend-text", x: long, y: 20, "text-anchor": "end" },
      `${String(whole).slice(0, 5)}\u202f${unit_m === 1 ? "m" : "ft"}`,
    ),
  );
  return { node, width: Math.max(120, long + 26) };
}

const isNode = (/** @type {any} */ mark) => mark instanceof Node;

const BAND_WORDS = [
  ["high", "H: near the ceiling"],
  ["breathing", "B: breathing height"],
  ["low", "L: near the floor"],
];

/** What the marks on this floor mean; only those that are there. @param {any} scene */
function entries(scene) {
  const { project, floor, results, ghost, labels, counting } = scene;
  const list = counting ? countEntries(scene) : [];
  const detectors = on(project, "detector", floor);
  for (const [band, text] of counting ? [] : BAND_WORDS) {
    if (!detectors.some((detector) => detector.band === band)) continue;
    list.push({
      text,
      mark: () => svg("rect", { class: `reach ${band}`, width: 22, height: 12, y: -6 }),
    });
  }
  const sources = on(project, "source", floor);
  if (sources.length > 0) {
    const watches = sources.flatMap(({ id }) => results.sources?.[id]?.watches ?? []);
    const hazards = hazardWords(watches.map((/** @type {any} */ watch) => watch.hazard));
    list.push({
      text: hazards ? `source: ${hazards}` : "source",
      mark: () =>
        svg("g", { class: "source" }, svg("path", { class: "symbol", d: "M11-7 18 5H4z" })),
    });
  }
  if (sources.some(({ extent }) => extent)) {
    list.push({
      text: "gas can get out along it",
      mark: () => svg("path", { class: "extent-line", d: "M2 0H22" }),
    });
  }
  if (on(project, "marked", floor).length > 0) {
    list.push({
      text: "marked area: as it says",
      mark: () => svg("path", { class: "marked-line", d: "M2 0H22" }),
    });
  }
  const kinds = new Set(on(project, "terminal", floor).map(({ kind }) => kind));
  if (kinds.size > 0) {
    const known = Object.keys(TERMINAL_LETTERS).filter((kind) => kinds.has(kind));
    list.push({
      text: known.map((kind) => `${TERMINAL_LETTERS[kind]} ${TERMINAL_NAMES[kind]}`).join(", "),
      mark: () =>
        svg(
          "g",
          { class: "air-terminal", transform: "translate(12 0) scale(.8)" },
          ...terminalMark(known[0]).slice(1),
        ),
    });
  }
  const isUnwatched = (/** @type {any} */ demand) =>
    demand.floor === floor && !demand.met && demand.kind.kind !== "area";
  if ((results.demands ?? []).some(isUnwatched)) {
    list.push({
      text: "not watched yet",
      mark: () => svg("circle", { class: "unwatched-ring", cx: 12, cy: 0, r: 8 }),
    });
  }
  if ((labels?.blockers ?? []).length > 0) {
    list.push({
      text: "blocker: point at it",
      mark: () => svg("g", { transform: "translate(12 0)" }, ...diamond(6, 1).filter(isNode)),
    });
  }
  project.segments.forEach((/** @type {any} */ segment, /** @type {number} */ idx) => {
    if (idx < 4 && runsOn(results.segments?.[segment.id]?.cables ?? [], floor).length > 0) {
      list.push({
        text: project.segments.length > 4 ? `${segment.tag}, …` : segment.tag,
        mark: () => svg("path", { class: `cable ${segmentClass(idx)}`, d: "M0 0h24" }),
      });
    }
  });
  if (on(project, "containment", floor).length > 0) {
    list.push({
      text: "containment",
      mark: () => svg("path", { class: "containment", d: "M0 0h24" }),
    });
  }
  if (detectors.some((detector) => detector.origin === "by_hand")) {
    list.push({
      text: "by hand",
      mark: () => svg("circle", { class: "pin", cx: 12, cy: 0, r: 3 }),
    });
  }
  if (detectors.some((detector) => detector.origin === "existing")) {
    list.push({
      text: "existing",
      mark: () => svg("rect", { class: "pin", x: 9, y: -3, width: 6, height: 6 }),
    });
  }
  if (ghost)
    list.push({
      text: "dashed: suggested",
      mark: () => svg("circle", { class: "ghost-key", cx: 12, cy: 0, r: 8 }),
    });
  return list;
}

/** What the shades of a floor that is shaded by numbers mean. @param {any} scene */
function countEntries(scene) {
  const { name, band } = scene.counting;
  const words = [
    `${countText(1)} in reach: ${name}, ${band}`,
    countText(2),
    `${countText(3)} (closer than ${lengthText(apartOf(scene), scene.units)} count as one)`,
  ];
  return words.map((text, idx) => ({ text, mark: () => countMark(idx + 1, band) }));
}

/** In rows beside the scale bar; what does not fit is left out, last first. */
function legend(
  /** @type {any} */ scene,
  /** @type {number} */ x,
  /** @type {number} */ top,
  /** @type {number} */ indent,
  /** @type {number} */ wide,
) {
  const group = svg("g", { class: "legend" });
  let [row, at] = [0, indent];
  for (const { text, mark } of entries(scene)) {
    const need = 30 + scene.ruler.measure(text) + 16;
    if (at + need > wide + 16 && at > indent) [row, at] = [row + 1, indent];
    if (row > 3) break;
    const node = mark();
    group.append(
      svg(
        "g",
        { transform: `translate(${x + at} ${top + 16 + row * 20.5})` },
        node,
        svg("text", { class: "legend-text", x: 30, y: 4 }, text),
      ),
    );
    at += need;
  }
  return group;
}

/** What fits of a text set bold at 13 px. @param {any} ruler @param {string} text */
function fittedText(ruler, text, /** @type {number} */ wide) {
  const width = (/** @type {string} */ one) => ruler.measure(one, true) * (13 / 12);
  let shown = text;
  while (shown.length > 1 && width(shown) > wide) shown = `${shown.slice(0, -2).trimEnd()}…`;
  return shown;
}

/** @param {any} scene */
function titleBlock(scene, /** @type {number} */ x, /** @type {number} */ y) {
  const { project, floor, viewport, print_n } = scene;
  const w = TITLE_WIDE_PX;
  const name = project.head.name;
  const n = print_n ?? denominator(viewport);
  const where = project.floors.find((/** @type {any} */ f) => f.id === floor)?.name ?? "";
  const group = svg(
    "g",
    { class: "title-block", transform: `translate(${x} ${y})` },
    svg("rect", { class: "outline", width: w, height: BAND_PX }),
    svg("path", {
      d: `M0 28H${w}M0 60H${w}M77 28V60M154 28V60M222 28V60M77 60V92M154 60V92M222 60V92`,
    }),
    svg("text", { class: "name", x: 8, y: 19 }, fittedText(scene.ruler, name, w - 110)),
    svg(
      "text",
      { class: "legend-text", x: w - 8, y: 19, "text-anchor": "end" },
      fittedText(scene.ruler, where, 90),
    ),
  );
  const figures = titleFigures(scene, n);
  [8, 85, 162, 230].forEach((left, column) => {
    [0, 1].forEach((row) => {
      const [label, figure, opens] = figures[row][column];
      const top = 28 + row * 32;
      const marks = [
        svg("text", { class: "label", x: left, y: top + 11 }, label),
        svg(
          "text",
          { class: "figure", x: left, y: top + 27, "data-total": label.split(",")[0].replace(" ", "-") },
          figure,
        ),
      ];
      group.append(...(opens ? [opener(marks, left, top, `${figure} ${label}: list them`)] : marks));
    });
  });
  return group;
}

/** A figure that opens the list of what it counts. @param {SVGElement[]} marks */
const opener = (
  marks,
  /** @type {number} */ left,
  /** @type {number} */ top,
  /** @type {string} */ words,
) =>
  svg(
    "g",
    { class: "opener", role: "button", tabindex: 0, "aria-label": words, "data-opens": "findings" },
    svg("rect", { class: "opener-ground", x: left - 7, y: top + 1, width: 75, height: 30 }),
    ...marks,
  );

/** Of a sheet without scale, or of an empty floor, there is none. @param {any} project */
function scaleText(project, /** @type {number} */ floor, /** @type {number} */ n) {
  const { sheet } = project.floors.find((/** @type {any} */ one) => one.id === floor) ?? {};
  if (sheet) return sheet.scale ? `1:${n}` : "not set";
  return on(project, "room", floor).length > 0 ? `1:${n}` : "–";
}

/**
 * Label, figure, and whether the figure opens what it counts. @param {any} scene @param {number} n
 * @returns {[string, string, boolean?][][]}
 */
function titleFigures({ project, floor, results, totals, fresh, print_n }, n) {
  /** @param {string} severity @returns {[string, boolean]} */
  const count = (severity) => {
    const of = (results.findings ?? []).filter(
      (/** @type {any} */ finding) => finding.severity === severity,
    );
    const come = of.filter((/** @type {any} */ finding) => fresh?.has(finding.id)).length;
    return [`${of.length}${come > 0 && !print_n ? `, ${come} new` : ""}`, of.length > 0];
  };
  return [
    totals,
    [
      ["blockers", ...count("blocker")],
      ["warnings", ...count("warning")],
      ["scale", scaleText(project, floor, n)],
      ["revision", project.head.revision || "–"],
    ],
  ];
}

/** Sets the clip of the drawing area. @param {Element} rect @param {any} size */
export function setClip(rect, size) {
  const area = drawingArea(size);
  setAll(rect, { x: area.x, y: area.y, width: area.width, height: area.height });
}
