/** Facts of a release: what comes out and what it does; when a detector alarms. */

import * as quantity from "../core/quantity.js";
import { heldAgainst } from "../core/release.js";
import { h } from "./dom.js";
import { row } from "./fields.js";

/** @type {Record<string, string>} */
const IF = { layered: "if the gas keeps to a layer", mixed: "if it mixes through the room" };

/** Time to alarm against harm, of the picture with least time between. @param {any} detector */
export function alarmRows(detector, /** @type {any} */ { desk, why }) {
  const seen = alarmsOf(detector.id, desk);
  return seen.flatMap(({ one, alarm, harm, name, state }) => {
    const held = heldAgainst(alarm, harm ?? null);
    const within = quantity.timeText(one.times[one.times.length - 1] ?? 0);
    const after = (/** @type {any} */ time) =>
      time ? quantity.timeText(time.value) : `not within ${within}`;
    const of = [seen.length > 1 ? name : "", state].filter(Boolean).join(", ");
    return [
      row(
        "time to alarm",
        [
          h("b", {}, after(held.alarm)),
          one.motion === "mixes" || held.picture === null
            ? ""
            : h("span", { class: "quiet" }, ` ${IF[held.picture]}`),
          h("span", { class: "quiet noted" }, [of, alarm.sentence].filter(Boolean).join(": ")),
        ],
        why.opener(held.alarm, "time to alarm"),
      ),
      harm && row("time to harm", after(held.harm), why.opener(held.harm, "time to harm")),
    ];
  });
}

/** @param {number} id of a detector @param {any} desk @returns {any[]} */
function alarmsOf(id, desk) {
  const found = [];
  for (const [source, release] of Object.entries(desk.results.releases ?? {})) {
    const name = desk.project.sources.find((/** @type {any} */ one) => one.id === Number(source));
    for (const one of release.cases) {
      for (const alarm of one.alarms) {
        if (alarm.detector !== id) continue;
        const harm = one.harms.find((/** @type {any} */ each) => each.hazard === alarm.hazard);
        const state = release.cases.length > 1 ? STATES[one.state] : "";
        found.push({ one, alarm, harm, name: name?.name ?? "", state });
      }
    }
  }
  return found;
}

/** @type {Record<string, string>} */
const STATES = { leaving: "as it leaves", warmed: "once warmed" };

/** What a source's release does, each figure with its reason. @param {any} source */
export function releaseParts(source, /** @type {any} */ context) {
  const { desk, why, system } = context;
  const release = desk.results.releases?.[source.id];
  if (!release) return null;
  const figure = (
    /** @type {string} */ label,
    /** @type {any} */ value,
    /** @type {string} */ shown,
  ) => value && row(label, shown, why.opener(value, label));
  const vol = (/** @type {any} */ value) =>
    value ? quantity.concentration(value.value, value.unit) : "";
  return [
    h("h3", {}, "What the release does"),
    release.sentences.map((/** @type {string} */ words) => h("p", {}, words)),
    h(
      "dl",
      { class: "facts-list" },
      figure("comes out", release.rate, quantity.text(release.rate, system)),
      release.total
        ? figure("all there is", release.total, quantity.text(release.total, system))
        : row("all there is", h("span", { class: "quiet" }, "it goes on")),
      figure(
        "density as it leaves",
        release.relative_density,
        `${quantity.figure(release.relative_density.value, 2)} × air`,
      ),
      figure(
        "fresh air",
        release.ventilation,
        release.ventilation ? quantity.text(release.ventilation, system) : "",
      ),
      release.cases.map((/** @type {any} */ one) => caseRows(one, release, figure, vol, system)),
      release.final_oxygen && [
        figure("oxygen at the end, mixed", release.final_oxygen.mixed, vol(release.final_oxygen.mixed)),
        figure("oxygen at the worst", release.final_oxygen.plug, vol(release.final_oxygen.plug)),
      ],
      release.battery && [
        figure(
          "air the cells require",
          release.battery.airflow,
          quantity.text(release.battery.airflow, system),
        ),
        figure(
          "or openings of, each",
          release.battery.opening,
          quantity.text(release.battery.opening, system),
        ),
      ],
      release.charge && [
        figure("charge", release.charge.charge, quantity.text(release.charge.charge, system)),
        figure(
          "the room may hold",
          release.charge.limit,
          quantity.text(release.charge.limit, system),
        ),
      ],
    ),
    release.cases.flatMap((/** @type {any} */ one) =>
      one.harms
        .filter((/** @type {any} */ harm) => !release.sentences.includes(harm.sentence))
        .map((/** @type {any} */ harm) => h("p", {}, harm.sentence)),
    ),
    release.mixing &&
      !release.sentences.includes(release.mixing.sentence) &&
      h("p", {}, release.mixing.sentence),
    release.notes.map((/** @type {string} */ words) => h("p", { class: "quiet" }, words)),
    h(
      "p",
      {},
      h(
        "a",
        { href: `/projects/${desk.projectId}/calculation?source=${source.id}` },
        "Calculation sheet",
      ),
    ),
  ];
}

/** @param {any} one @param {any} release @param {any} figure @param {any} vol */
function caseRows(one, release, figure, vol, /** @type {any} */ system) {
  const of = release.cases.length > 1 ? `, ${STATES[one.state]}` : "";
  return [
    one.vented && [
      figure(
        `front at rest${of}`,
        one.vented.front,
        quantity.heightText(one.vented.front.value, system.units),
      ),
      figure(`in the layer at rest${of}`, one.vented.gas, vol(one.vented.gas)),
    ],
    one.plume && figure(`in the plume${of}`, one.plume.dilution, vol(one.plume.dilution)),
    figure(
      `highest mean within ${quantity.timeText(one.times[one.times.length - 1] ?? 0)}${of}`,
      one.highest,
      vol(one.highest),
    ),
    one.steady &&
      vol(one.steady) !== vol(one.highest) &&
      figure(`going on, settles at${of}`, one.steady, vol(one.steady)),
  ];
}
