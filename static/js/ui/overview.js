/** Nothing is selected: what to do next, the rooms with totals, and what the checks found. */

import { on } from "../core/drawing.js";
import { jobSteps, nextOf } from "../core/job_steps.js";
import * as quantity from "../core/quantity.js";
import { contains } from "../core/geometry.js";
import { apartOf, countMark, countText, countingChoices, isSame, textOf } from "../view/counts.js";
import { svg } from "../view/svg.js";
import { button, h, link } from "./dom.js";
import { choiceRow } from "./fields.js";
import { findingBox, findingsOn } from "./findings.js";

/** So many findings are shown here; the findings page has all. */
const MOST_FINDINGS = 4;

/** @param {any} context */
export function overview(context) {
  const { desk } = context;
  const rooms = on(desk.project, "room", desk.floor);
  const sources = on(desk.project, "source", desk.floor);
  const findings = findingsOn(desk.results, desk.floor);
  const serious = findings.filter(({ severity }) => severity !== "note");
  return [
    h(
      "div",
      { class: "facts-head" },
      h("h1", {}, desk.floorItem?.name ?? ""),
      h(
        "p",
        { class: "sub" },
        `${count(rooms.length, "room")}, ` + count(sources.length, "release source"),
      ),
    ),
    nextStep(context),
    rooms.length > 0 && roomList(rooms, context),
    counts(context),
    serious
      .slice(0, MOST_FINDINGS)
      .map((finding) => findingBox(finding, { ...context, place: true })),
    findings.length > Math.min(serious.length, MOST_FINDINGS) &&
      h(
        "p",
        {},
        h(
          "a",
          { href: `/projects/${desk.projectId}/findings` },
          `All ${count(findings.length, "finding")}`,
        ),
      ),
    h(
      "p",
      { class: "quiet" },
      "The app advises. Local codes, the hazardous-area classification " +
        "and a competent person decide.",
    ),
  ];
}

/** @param {number} n @param {string} noun */
const count = (n, noun) => `${n === 0 ? "no" : n} ${noun}${n === 1 ? "" : "s"}`;

/** The steps of the job; the first that waits is the thing to do. @param {any} context */
function nextStep(context) {
  const { desk } = context;
  const steps = jobSteps(desk.project, desk.results, desk.floor, settledOn(desk));
  const next = nextOf(steps);
  return h(
    "div",
    { class: "job" },
    h("h3", {}, next ? "What to do next" : "The job is through"),
    h(
      "ol",
      { class: "list steps" },
      steps.map((step) =>
        h(
          "li",
          {
            class: step.done ? "done" : step === next ? "next" : "waits",
            "data-step": step.id,
          },
          step === next
            ? [
                h(
                  "div",
                  {},
                  h("b", {}, step.title),
                  h("p", {}, step.rooms && step.state ? `${step.say} Now ${step.state}.` : step.say),
                ),
                h(
                  "div",
                  {},
                  button("Do it", () => act(step, context), "do small", { "data-act": "next" }),
                  step.none &&
                    link(step.none, () => settle(desk, step), { "data-act": "none-here" }),
                ),
              ]
            : [h("span", {}, step.title), stateOf(step, context)],
        ),
      ),
    ),
    !next && openQuestions(context),
    !next &&
      h(
        "p",
        {},
        h(
          "a",
          { class: "do", href: `/projects/${desk.projectId}/schedules` },
          "Open the schedules",
        ),
      ),
  );
}

/** How far a step is; what may be done at any time is offered. @param {any} step */
function stateOf(step, /** @type {any} */ context) {
  const { desk } = context;
  if (step.optional && !step.done && on(desk.project, "room", desk.floor).length > 0) {
    const more = step.state === "none" ? "optional" : `optional, ${step.state}`;
    const told = { "data-act": "optional", title: step.say };
    return h("span", {}, link(more, () => act(step, context), told));
  }
  const settled = link(step.none ?? "", () => settle(desk, step), { "data-act": "none-here" });
  const rest = step.passed && !step.done && step.none ? [", ", settled] : [];
  return h("span", { class: "quiet" }, step.done || step.passed ? step.state : "", ...rest);
}

/** Met or not, what is only assumed is said. @param {any} context */
function openQuestions({ desk }) {
  const n_questions = (desk.results.questions ?? []).length;
  if (n_questions === 0) return null;
  return h(
    "p",
    {},
    "Open: ",
    h(
      "a",
      { href: `/projects/${desk.projectId}/schedules?view=questions` },
      `${count(n_questions, "question")} to the client`,
    ),
    "; until then the design stands on assumptions.",
  );
}

/** Where it is kept that a step has nothing to do on this floor. @param {any} desk */
const settledKey = (desk) => `brattice.settled.${desk.projectId}.${desk.floor}`;

/** @param {any} desk @returns {string[]} */
const settledOn = (desk) => (localStorage.getItem(settledKey(desk)) ?? "").split(" ");

/** @param {any} desk @param {any} step */
function settle(desk, step) {
  const said = step.rooms
    ? step.rooms.map((/** @type {number} */ room) => `${step.id}:${room}`)
    : [step.id];
  localStorage.setItem(settledKey(desk), [...settledOn(desk), ...said].join(" ").trim());
  desk.tell("state");
}

/** @param {any} step @param {any} context */
function act(step, { desk, offers }) {
  if (["scale", "door", "sounder"].includes(step.act)) desk.use(step.act);
  else if (step.act === "suggest") {
    desk.use("detector");
    offers.detectors({ floor: desk.floor, room: null });
  } else if (step.act === "wire") {
    desk.use("select");
    offers.wiring();
  } else
    desk.use(
      {
        sheet: "sheet",
        rooms: "rectangle",
        sources: "source",
        cables: "panel",
        detectors: "detector",
      }[/** @type {string} */ (step.stage)],
    );
}

/** Whether a finding is about a room or something in it. @param {any} finding @param {any} room */
function isIn({ about, floor, at }, room) {
  if (about?.kind === "room") return about.id === room.id;
  return Boolean(at) && floor === room.floor && contains(room.outline, at);
}

/** "2 of 3 sources met, 98 % of the floor, alarm by 45 s". @param {any} found @param {any} system */
function scenarioLine(found, system) {
  if (!found) return null;
  const { sources, met, floor, alarm, silent } = found;
  const parts = [
    `${met.value} of ${count(sources.value, "source")} met`,
    floor && `${quantity.text(floor, system)} of the floor`,
    alarm && `alarm by ${quantity.text(alarm, system)}`,
    silent.length > 0 && `${silent.length} without alarm`,
  ];
  return h("span", { class: "quiet scenario" }, parts.filter(Boolean).join(", "));
}

/** The choice of a gas and band by which the floor is shaded. @param {any} context */
function counts({ desk, system }) {
  const choices = countingChoices(desk);
  const { counting } = desk;
  if (choices.length === 0 && !counting) return null;
  const apart = quantity.lengthText(apartOf(desk), system.units);
  const place = (/** @type {any} */ one) => choices.findIndex((choice) => isSame(choice, one));
  return [
    h("h3", {}, "How many watch each place"),
    h(
      "dl",
      { class: "facts-list" },
      choiceRow({
        label: "shade by",
        name: "counting",
        value: String(counting ? place(counting) : -1),
        choices: [
          ["-1", "nothing"],
          ...choices.map((choice, idx) => /** @type {[string, string]} */ ([`${idx}`, textOf(choice)])),
        ],
        set: (value) => desk.count(choices[Number(value)] ?? null),
      }),
    ),
    counting && [
      h(
        "ul",
        { class: "list counts-key" },
        [1, 2, 3].map((count) =>
          h(
            "li",
            {},
            h("span", {}, `${countText(count)} in reach`),
            svg(
              "svg",
              { class: "drawing", width: 26, height: 18, viewBox: "-1 -9 26 18", "aria-hidden": "true" },
              countMark(count, counting.band),
            ),
          ),
        ),
      ),
      h(
        "p",
        { class: "quiet" },
        "Counted along free air paths, as far as a detector there reaches for a source; those " +
          `closer than ${apart} to each other count as one. Where nothing is shaded, none has it ` +
          "in reach.",
      ),
    ],
  ];
}

/** @param {any[]} rooms @param {any} context */
function roomList(rooms, { desk, system }) {
  const detectors = (/** @type {any} */ room) =>
    Object.values(desk.results.detectors ?? {}).filter(
      (/** @type {any} */ one) => one.room === room.id,
    ).length;
  const worst = (/** @type {any} */ room) => {
    const about = (desk.results.findings ?? []).filter((/** @type {any} */ finding) =>
      isIn(finding, room),
    );
    return ["blocker", "warning"].find((severity) =>
      about.some((/** @type {any} */ finding) => finding.severity === severity),
    );
  };
  const total = rooms.reduce((sum, room) => sum + detectors(room), 0);
  const sorted = [...rooms].sort((a, b) =>
    a.number.localeCompare(b.number, "en", { numeric: true }),
  );
  return [
    h("h3", {}, "Rooms, with detectors"),
    h(
      "ul",
      { class: "list" },
      sorted.map((room) => {
        const mark = worst(room);
        return h(
          "li",
          {},
          h(
            "button",
            {
              type: "button",
              onclick: () => {
                desk.select({ kind: "room", id: room.id });
                desk.show({ kind: "room", id: room.id });
              },
            },
            h(
              "span",
              {},
              h("b", {}, room.number),
              ` ${room.name}`,
              scenarioLine(desk.results.rooms?.[room.id]?.scenario, system),
            ),
            mark && h("span", { class: `mark ${mark}`, role: "img", "aria-label": mark }),
            h("span", { class: "num" }, String(detectors(room) || "–")),
          ),
        );
      }),
      h(
        "li",
        { class: "total" },
        h("span", {}, count(rooms.length, "room")),
        h("span", { class: "num" }, String(total)),
      ),
    ),
  ];
}
