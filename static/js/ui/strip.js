/**
 * The section strip: shows the cut through the room in hand, selects, and drags heights.
 * @import {Key, Point} from "../core/types.js"
 */

import { setHeight } from "../commands/items.js";
import { BESIDE_A_DRAG, calmly } from "../behaviours/calm.js";
import { installGrip } from "../behaviours/grip.js";
import { pxOf, targetOf } from "../behaviours/pointers.js";
import { find, on } from "../core/drawing.js";
import { contains } from "../core/geometry.js";
import { releaseInHand } from "../core/release.js";
import { cutThrough, looking, pitsIn, pxToHeight, sectionMarks } from "../view/section.js";
import { setAll, svg } from "../view/svg.js";
import { h } from "./dom.js";
import { roomInHand } from "./offers.js";
import { makeReleasePanel } from "./release_panel.js";

const LEAST_PX = 110;
const SLIP_PX = 3;

/** Whether somebody folded it, "1", or opened it, "0". */
const FOLD_KEY = "brattice.strip-folded";

/**
 * @param {Record<string, HTMLElement>} parts strip, body, title, fold, grip, desk host
 * @param {any} desk
 */
export function installStrip({ strip, body, title, fold, grip, host }, desk) {
  const root = svg("svg", { class: "drawing section-drawing", role: "group" });
  const empty = h("p", { class: "quiet" }, "Draw a room: it is cut through here.");
  const place = h("div", { class: "section-place" }, empty, root);
  const beside = h("section", { class: "release-panel", "aria-label": "Release" });
  body.replaceChildren(place, beside);
  const panel = makeReleasePanel(beside, desk, () => show());
  const state = { cut: /** @type {any} */ (null), held: /** @type {any} */ (null) };

  const show = () => {
    const room = chosenRoom(desk);
    const sources = room ? sourcesOf(desk, room) : [];
    title.textContent = titleOf(room, sources);
    if (strip.classList.contains("folded")) return;
    empty.hidden = room !== null;
    root.style.display = room ? "" : "none";
    if (!room) {
      body.classList.add("whole");
      return;
    }
    body.classList.toggle("whole", sources.length === 0);
    const found = releaseInHand(desk.scene(), room, sources);
    // Before the section is measured: a chart makes the strip higher.
    strip.classList.toggle("with-chart", sources.length > 0 && !("sentence" in found));
    const size = {
      width: Math.max(100, place.clientWidth),
      height: Math.max(60, place.clientHeight),
    };
    const things = thingsIn(desk.session.project, room);
    state.cut = cutThrough(room, desk.results, size, things, pitsIn(desk.scene(), room));
    const { entrainment } = { ...desk.basis, ...desk.project.basis };
    const gas = panel.gasFor(found, entrainment, state.cut.ceiling);
    panel.show(found);
    title.textContent = `${titleOf(room, [])}, ${looking(state.cut)}`;
    setAll(root, { viewBox: `0 0 ${size.width} ${size.height}`, "aria-label": title.textContent });
    const focused = /** @type {any} */ (document.activeElement)?.dataset;
    const key = root.contains(document.activeElement) ? { ...focused } : null;
    root.replaceChildren(...sectionMarks(desk.scene(), room, state.cut, gas));
    if (key) {
      /** @type {any} */ (
        root.querySelector(`[data-kind="${key.kind}"][data-id="${key.id}"]`)
      )?.focus();
    }
  };
  const setFolded = (/** @type {boolean} */ folded) => {
    strip.classList.toggle("folded", folded);
    fold.textContent = folded ? "show the section" : "fold away";
    fold.setAttribute("aria-expanded", String(!folded));
    show();
  };
  fold.addEventListener("click", () => {
    const folded = !strip.classList.contains("folded");
    localStorage.setItem(FOLD_KEY, folded ? "1" : "0");
    setFolded(folded);
  });
  installGrip(grip, {
    height: () => strip.offsetHeight,
    done: show,
    set: (height) => {
      const most = host.clientHeight * 0.6;
      host.style.setProperty("--strip-height", `${Math.max(LEAST_PX, Math.min(most, height))}px`);
      show();
    },
  });
  installDrag(root, place, desk, state);
  new ResizeObserver(show).observe(body);
  const calm = calmly(show, BESIDE_A_DRAG);
  desk.listen((/** @type {string} */ what) => {
    const dragged = what === "local" || what === "preview";
    if (dragged && !state.held) calm.soon();
    else calm.now();
  });
  setFolded(startsFolded(desk));
}

/**
 * As somebody left it; else open where there is a release to show. It never opens or folds by
 * itself while somebody draws. @param {any} desk
 */
function startsFolded(desk) {
  const kept = localStorage.getItem(FOLD_KEY);
  if (kept) return kept === "1";
  return !on(desk.project, "room", desk.floor).some((room) => sourcesOf(desk, room).length > 0);
}

/** @param {any} room @param {any[]} sources */
const titleOf = (room, sources) =>
  room
    ? `Section through ${[room.number, room.name].filter(Boolean).join(" ")}` +
      (sources.length > 0 ? " and its release" : "")
    : "Section";

/** The room in hand, the one shown last, or the first with a source. @param {any} desk */
function chosenRoom(desk) {
  const held = roomInHand(desk);
  const rooms = on(desk.project, "room", desk.floor);
  const before = rooms.find(({ id }) => id === desk.sectionRoom);
  const withSource = () =>
    Object.values(desk.results.sources ?? {})
      .map((/** @type {any} */ source) => rooms.find(({ id }) => id === source.room))
      .find(Boolean);
  const room = held ?? before ?? withSource() ?? rooms[0] ?? null;
  desk.sectionRoom = room?.id ?? null;
  return room;
}

/** The release sources of a room. @param {any} desk @param {any} room @returns {any[]} */
const sourcesOf = ({ project }, room) =>
  on(project, "source", room.floor).filter(({ at }) => contains(room.outline, at));

/** Where sources and detectors stand; not what is being dragged. @returns {Point[]} */
function thingsIn(/** @type {any} */ project, /** @type {any} */ room) {
  return [...on(project, "source", room.floor), ...on(project, "detector", room.floor)]
    .map(({ at }) => at)
    .filter((at) => contains(room.outline, at));
}

/** Heights of detectors, sources and panels are dragged up and down. */
function installDrag(
  /** @type {SVGElement} */ root,
  /** @type {HTMLElement} */ body,
  /** @type {any} */ desk,
  /** @type {any} */ state,
) {
  root.addEventListener("pointerdown", (event) => {
    const target = targetOf(event.target);
    if (!target) return;
    root.setPointerCapture(event.pointerId);
    const key = /** @type {Key} */ ({ kind: target.kind, id: target.id });
    desk.select(key);
    const item = find(desk.project, key);
    const y = pxOf(root, event)[1];
    const height = item.height ?? pxToHeight(state.cut, y);
    state.held = { key, y, height, moved: false };
  });
  root.addEventListener("pointermove", (event) => {
    const { held } = state;
    if (!held) return;
    const y = pxOf(root, event)[1];
    held.moved ||= Math.abs(y - held.y) > SLIP_PX;
    if (!held.moved) return;
    held.value = heldHeight(state, y);
    const item = { ...find(desk.session.project, held.key), height: held.value };
    desk.showLocal(
      { do: "change", item: { kind: held.key.kind, value: item } },
      held.key.kind === "detector",
    );
  });
  root.addEventListener("pointerup", () => {
    const { held } = state;
    state.held = null;
    if (held?.moved) desk.commit(setHeight(desk.session.project, held.key, held.value));
  });
  root.addEventListener("pointercancel", () => {
    state.held = null;
    desk.endLocal();
  });
  root.addEventListener("keydown", (event) => {
    const way = { ArrowUp: 1, ArrowDown: -1 }[event.key];
    const key = desk.selection;
    const item = find(desk.session.project, key);
    if (!way || !item || item.height === undefined) return;
    event.preventDefault();
    const from = item.height ?? 1;
    desk.commit(setHeight(desk.session.project, key, Math.round((from + way * 0.1) * 100) / 100));
  });
  body.addEventListener("focusin", (event) => {
    const target = targetOf(event.target);
    if (target && /** @type {any} */ (event.target).matches(":focus-visible")) {
      desk.select({ kind: target.kind, id: target.id });
    }
  });
}

/** To the centimetre, between the floor, or that of the deepest pit, and the ceiling. @param {any} state @param {number} y */
function heldHeight({ held, cut }, y) {
  const height = held.height + (held.y - y) / cut.scale;
  const deepest = Math.max(0, ...cut.pits.map((/** @type {any} */ { depth }) => depth));
  return Math.round(Math.min(cut.ceiling, Math.max(-deepest, height)) * 100) / 100;
}
