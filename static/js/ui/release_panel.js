/**
 * Beside the section: what a release does against time, with a slider that moves chart and front.
 * @import {Alarm, ReleaseCase, ReleaseResult} from "../core/types.js"
 */

import * as core from "../core/release.js";
import { concentration, heightText, text, timeBetween, timeText } from "../core/quantity.js";
import { chartMarks, mixingMarks } from "../view/chart.js";
import { hueOf } from "../view/section_gas.js";
import { setAll, svg } from "../view/svg.js";
import { button, h, link } from "./dom.js";

/** The slider goes to the end of the chart in so many steps. */
const STEPS = 120;

/** @type {Record<string, string>} */
const STATES = { leaving: "as it leaves", warmed: "once warmed" };

/**
 * @param {HTMLElement} host @param {any} desk
 * @param {() => void} changed what is chosen has changed: draw again
 */
export function makeReleasePanel(host, desk, changed) {
  /** What is chosen, by source. @type {Map<number, any>} */
  const chosen = new Map();
  const root = svg("svg", { class: "drawing chart-drawing", role: "img" });
  const slider = h("input", {
    type: "range",
    class: "time-slider",
    min: 0,
    "data-field": "release-time",
    "aria-label": "Time from the beginning of the release",
  });
  const head = h("div", { class: "release-head" });
  const verdict = h("p", { class: "release-verdict" });
  const readout = h("div", { class: "readout" });
  const said = h("div", { class: "said" });
  const body = h("div", { class: "release-chart" }, head, verdict, root, slider, readout);
  host.replaceChildren(said, body);
  let shown = /** @type {any} */ (null);
  slider.addEventListener("input", () => {
    if (!shown) return;
    shown.held.seconds = Number(slider.value);
    changed();
  });
  // Arrow keys of the section raise and lower things; the slider keeps its own.
  slider.addEventListener("keydown", (/** @type {KeyboardEvent} */ event) =>
    event.stopPropagation(),
  );

  /** @param {any} found what `releaseInHand` says @returns {any} what is shown, `null` for words */
  const choose = (found) => {
    if (!found.release) return null;
    const held = chosen.get(found.source.id) ?? {};
    chosen.set(found.source.id, held);
    return { ...found, held, ...chosenOf(found, held) };
  };

  /** @param {any} found @param {number} entrainment @param {number} ceiling */
  const gasFor = (found, entrainment, ceiling) => {
    shown = choose(found);
    if (!shown) return null;
    const { release, one, source, seconds } = shown;
    const gas = core.gasAt(release, one, seconds, { ceiling, entrainment });
    return { motion: one.motion, source, gas, pool: release.pool };
  };

  /** @param {any} found */
  const show = (found) => {
    const words = !shown;
    body.hidden = words;
    said.hidden = !words;
    if (words) {
      said.replaceChildren(...sentence(found, desk));
      return;
    }
    fillHead(head, shown, desk, changed);
    const { held, release, horizon, seconds } = shown;
    const mixing = held.mixing && release.mixing;
    slider.hidden = Boolean(mixing);
    setAll(slider, { max: horizon, step: horizon / STEPS, "aria-valuetext": timeText(seconds) });
    slider.value = String(seconds);
    verdict.hidden = Boolean(mixing || !shown.alarm);
    verdict.replaceChildren(...(verdict.hidden ? [] : verdictWords(shown)));
    readout.replaceChildren(...(mixing ? mixingWords() : readings(shown, desk)));
    const size = { width: root.clientWidth || 320, height: root.clientHeight || 120 };
    setAll(root, {
      viewBox: `0 0 ${size.width} ${size.height}`,
      "aria-label": mixing ? release.mixing.sentence : describe(shown, desk),
    });
    const marks = mixing
      ? mixingMarks(release.mixing, size)
      : chartMarks({ ...chartOf(shown, desk), size });
    root.replaceChildren(.../** @type {any[]} */ (marks.filter(Boolean)));
  };
  return { gasFor, show };
}

/** Case, watch, harm, horizon and time: the ones chosen, else the ones that matter first. */
function chosenOf(
  /** @type {{release: ReleaseResult, detector: ?number}} */ { release, detector },
  /** @type {any} */ held,
) {
  const one = release.cases.find(({ state }) => state === held.state) ?? release.cases[0];
  const own = one.alarms.find((alarm) => detector !== null && alarm.detector === detector);
  const alarm = one.alarms[held.alarm] ?? own ?? one.alarms[0] ?? null;
  const harm = alarm ? core.harmOf(one, alarm) : null;
  const marks = core.marksOf(alarm, harm);
  const horizon = core.horizonOf(one, marks);
  const first = marks.find(({ seconds }) => seconds <= horizon)?.seconds ?? core.peakTime(one);
  const seconds = Math.min(horizon, held.seconds ?? first);
  return { one, alarm, harm, marks, horizon, seconds };
}

/** @param {any} found @param {any} desk */
const sentence = (found, desk) => [
  h("p", {}, found.sentence),
  (found.offer ?? []).length > 0
    ? h(
        "p",
        { class: "offers" },
        found.offer.map((/** @type {any} */ source) => [
          link(source.name, () => desk.select({ kind: "source", id: source.id })),
          " ",
        ]),
      )
    : "",
];

/** What is released, and what can be chosen. */
function fillHead(
  /** @type {HTMLElement} */ head,
  /** @type {any} */ shown,
  /** @type {any} */ desk,
  /** @type {() => void} */ changed,
) {
  const { release, one, alarm, held, source } = shown;
  const key = JSON.stringify([source.id, one.state, one.alarms.indexOf(alarm), held.mixing]);
  const title = `${release.substance}, ${rateText(release.rate, desk.system)}`;
  if (head.dataset.shows === key + title) return;
  head.dataset.shows = key + title;
  const set = (/** @type {string} */ name, /** @type {any} */ value) => {
    held[name] = value;
    if (name === "state") held.mixing = false;
    if (name !== "mixing") delete held.seconds;
    changed();
  };
  const focused = /** @type {any} */ (document.activeElement)?.dataset?.choice;
  head.replaceChildren(
    h("b", { class: "release-title" }, title),
    views(release, one, held, set),
    one.alarms.length > 1 && !held.mixing ? watchPicker(one, alarm, desk, set) : "",
  );
  /** @type {any} */ (head.querySelector(`[data-choice="${focused}"]`))?.focus();
}

/** A rate as it is said: litres a second. @param {any} rate @param {any} system */
function rateText(rate, system) {
  if (system.units === "us_customary") return text(rate, system);
  return concentration(rate.value * 1000, "L/s");
}

/** The states of a cold release, and its mixing curve. @param {any} release @param {any} one */
function views(release, one, /** @type {any} */ held, /** @type {any} */ set) {
  const mixing = Boolean(held.mixing && release.mixing);
  const offers = release.cases.map((/** @type {ReleaseCase} */ { state }) => [
    STATES[state] ?? state,
    !mixing && state === one.state,
    () => set("state", state),
  ]);
  if (release.mixing) offers.push(["mixing curve", mixing, () => set("mixing", true)]);
  return offers.length > 1 ? choices("what the chart shows", offers) : "";
}

/** @param {string} name @param {[string, boolean, () => void][]} offers */
const choices = (name, offers) =>
  h(
    "span",
    { class: "variants", role: "group", "aria-label": name },
    offers.map(([words, pressed, act]) =>
      button(words, act, "", { "aria-pressed": String(pressed), "data-choice": words }),
    ),
  );

/** @param {ReleaseCase} one @param {Alarm} alarm @param {any} desk @param {any} set */
function watchPicker(one, alarm, desk, set) {
  const select = h(
    "select",
    {
      class: "in-place",
      "aria-label": "what is watched",
      "data-choice": "watch",
      value: String(one.alarms.indexOf(alarm)),
      onchange: () => set("alarm", Number(select.value)),
    },
    one.alarms.map((/** @type {Alarm} */ each, idx) =>
      h("option", { value: String(idx) }, `${each.hazard.replace("_", " ")}, ${who(each, desk)}`),
    ),
  );
  return select;
}

/** @param {Alarm} alarm @param {any} desk */
function who(alarm, desk) {
  const tag = desk.project.detectors.find(
    (/** @type {any} */ one) => one.id === alarm.detector,
  )?.tag;
  return tag ?? `a detector at ${heightText(alarm.height.value, desk.units)}`;
}

/** Set-points of the detector in the unit of its scale, and what harms. */
function limitsOf(/** @type {any} */ { alarm, harm }, /** @type {any} */ desk) {
  if (!alarm) return [];
  const points = (desk.results.detectors?.[alarm.detector]?.set_points ?? []).filter(
    (/** @type {any} */ point) => point.value.unit === alarm.scale.unit,
  );
  const limits = (points.length > 0 ? points : [{ rank: "first", value: alarm.set_point }]).map(
    (/** @type {any} */ { rank, value }) => ({
      name: `${rank} set-point ${text(value, desk.system)}`,
      value: value.value,
    }),
  );
  if (harm) {
    const value = core.sameReading(alarm.scale, harm.scale, harm.level.value);
    const { unit } = alarm.scale;
    const words = unit === harm.level.unit ? harm.level : { value, unit };
    limits.push({ name: `harm ${text(words, desk.system)}`, value });
  }
  return limits;
}

/** @param {any} shown @param {any} desk */
function chartOf(shown, desk) {
  const { one, alarm, harm, marks, horizon, seconds } = shown;
  const scale = alarm?.scale ?? { unit: "%vol", at_zero: 0, per_percent: 1 };
  const limits = limitsOf(shown, desk);
  const lines = coursesOf(shown).map(({ name, points }) => ({
    name,
    points: points.map(([time, gas]) => /** @type {any} */ ([time, core.reading(scale, gas)])),
  }));
  const peak = Math.max(0, ...coursesOf(shown).flatMap(({ points }) => points.map(([, gas]) => gas)));
  const values = limits.map((/** @type {{value: number}} */ { value }) => value);
  const axis = core.axisOf(scale, values, peak);
  return {
    lines,
    limits,
    lanes: lanesOf(one, marks),
    dots: dotsOf(alarm, harm),
    horizon,
    seconds,
    axis,
    unit: scale.unit,
    hue: hueOf(one.motion),
  };
}

/** A row of words over the chart for each picture. @param {ReleaseCase} one @param {any[]} marks */
function lanesOf(one, marks) {
  const of = (/** @type {string} */ picture, /** @type {string} */ name) => ({
    name,
    picture,
    marks: marks.filter((mark) => mark.picture === picture),
  });
  if (marks.length === 0) return [];
  if (one.motion === "mixes") return [of("mixed", "")];
  return [of("layered", "in a layer:"), of("mixed", "mixed:")];
}

/** Where each curve meets the set-point or the level that harms. @param {?Alarm} alarm */
function dotsOf(alarm, /** @type {any} */ harm) {
  if (!alarm) return [];
  const level = harm && core.sameReading(alarm.scale, harm.scale, harm.level.value);
  const point = alarm.set_point.value;
  const dots = /** @type {[any, number, string][]} */ ([
    [alarm.gas_layered, point, "detector"],
    [alarm.gas_mixed, point, "mixed"],
    [harm?.harm_layered, level, "people"],
    [harm?.harm_mixed, level, "mixed"],
  ]);
  return dots
    .filter(([time]) => time)
    .map(([time, value, name]) => ({ seconds: time.value, value, name }));
}

/** @type {Record<string, string>} */
const PICTURES = { layered: "gas in a layer", mixed: "gas mixed" };

/** Time to alarm, time to harm and what lies between, of the picture that leaves least. */
function verdictWords(/** @type {any} */ { one, alarm, harm }) {
  const held = core.heldAgainst(alarm, harm);
  const within = `not within ${timeText(one.times[one.times.length - 1] ?? 0)}`;
  const said = (/** @type {any} */ time) => (time ? timeText(time.value) : within);
  const late = held.margin !== null ? held.margin < 0 : !held.alarm && Boolean(held.harm);
  const between = Math.abs(timeBetween(held.harm?.value ?? 0, held.alarm?.value ?? 0));
  const parts = [
    "alarm ",
    h("b", { "data-time-to": "alarm" }, said(held.alarm)),
    harm ? [", harm ", h("b", { "data-time-to": "harm" }, said(held.harm))] : "",
    held.margin === null
      ? ""
      : [late ? ", too late by " : ", margin ", h("b", {}, timeText(between))],
    one.motion === "mixes" || held.picture === null
      ? ""
      : h("span", { class: "quiet" }, `, ${PICTURES[held.picture]}`),
  ];
  return [late ? h("span", { class: "mark blocker" }) : "", ...parts.flat()];
}

/** The curves in %vol: the least weighty first. */
function coursesOf(/** @type {any} */ { one, alarm }) {
  const courses = [{ name: "mixed", points: core.courseOf(one.times, one.mixed) }];
  if (one.front.length === 0) return courses;
  courses.push({ name: "people", points: core.courseOf(one.times, one.occupied) });
  if (alarm) {
    courses.push({ name: "detector", points: alarm.at_detector });
  }
  return courses;
}

/** The key of the lines, with what each reads at the time. @param {any} shown @param {any} desk */
function readings({ one, alarm, seconds }, desk) {
  const scale = alarm?.scale ?? { unit: "%vol", at_zero: 0, per_percent: 1 };
  const print = (/** @type {number} */ gas) => concentration(core.reading(scale, gas), scale.unit);
  const items = [];
  if (one.front.length > 0) {
    if (alarm) {
      const gas = core.alongCourse(alarm.at_detector, seconds);
      items.push(["detector", `layer at ${who(alarm, desk)}`, print(gas)]);
    }
    const breathed = core.valueAt(one.times, one.occupied, seconds);
    items.push(["people", "mean, floor to head", print(breathed)]);
  }
  const mixed = core.valueAt(one.times, one.mixed, seconds);
  items.push(["mixed", "mixed", print(mixed)]);
  return [
    h("b", { class: "time-shown", "data-time": String(seconds) }, timeText(seconds)),
    ...items.map(([name, words, figure]) =>
      h(
        "span",
        { class: "reading", "data-reading": name },
        sample(name, hueOf(one.motion)),
        `${words} `,
        h("b", {}, figure),
      ),
    ),
  ];
}

/** @param {string} name @param {string} hue */
const sample = (name, hue) =>
  svg(
    "svg",
    { class: "drawing line-sample", viewBox: "0 0 26 8", width: 26, height: 8, "aria-hidden": "true" },
    svg("path", { class: `chart-line ${name} ${hue}`, d: "M0 4H26" }),
  );

/** The key of the curves; the facts say the rest in words. */
const mixingWords = () => [
  h("span", { class: "reading" }, sample("adiabatic", ""), "by mixing alone"),
  h("span", { class: "reading" }, sample("heated", ""), "with heat from floor, walls, moisture"),
];

/** The chart in words. @param {any} shown @param {any} desk */
function describe({ alarm, harm }, desk) {
  const parts = [alarm?.sentence, harm?.sentence].filter(Boolean);
  return parts.join(" ") || `Gas against time, ${desk.units}`;
}
