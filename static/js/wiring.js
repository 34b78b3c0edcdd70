/**
 * The wiring page: the server draws the segments; here they are selected, and what is selected is
 * edited beside them. Acts when it is imported. Without script the page's links and forms do.
 * @import {Command, Key} from "./core/types.js"
 */

import { find, parseKey, sameKey } from "./core/drawing.js";
import { ApiError, projectApi } from "./server/api.js";
import { Session } from "./server/session.js";
import { installFacts } from "./ui/facts.js";
import { installFoot, installMessages } from "./ui/foot.js";
import { makeWhy } from "./ui/why.js";
import { wiringOverview } from "./ui/wiring_overview.js";

/** What the facts need of the floor's desk. */
class WiringDesk {
  /** @param {any} session @param {string} projectId */
  constructor(session, projectId) {
    this.session = session;
    this.projectId = projectId;
    this.selection = /** @type {?Key} */ (null);
    this.listeners = /** @type {((what: string) => void)[]} */ ([]);
    this.toolName = "select";
    this.suggestion = null;
    /** @type {(text: string, kind?: "wrong"|"said") => void} */
    this.say = () => {};
  }

  get project() {
    return this.session.project;
  }

  get results() {
    return this.session.results;
  }

  get system() {
    const { head, catalogue } = this.project;
    return { units: head.units ?? "metric", currency: catalogue.currency ?? "" };
  }

  /** @param {(what: string) => void} listener */
  listen(listener) {
    this.listeners.push(listener);
  }

  /** @param {string} what */
  tell(what) {
    for (const listener of this.listeners) listener(what);
  }

  /** @param {?Key} key */
  select(key) {
    if (key && sameKey(key, this.selection)) return;
    this.selection = key;
    mark(key);
    this.tell("selection");
  }

  /** @param {?Command} command */
  async commit(command) {
    return command ? this.session.commit(command) : false;
  }

  /** Brings a thing into view. @param {Key} key */
  show({ kind, id }) {
    const at = document.querySelector(`#drawings :is([data-item="${kind}-${id}"],
      [data-key="${kind}-${id}"])`);
    at?.scrollIntoView({ block: "nearest" });
  }
}

/** Shows which segment, device or panel is selected. @param {?Key} key */
function mark(key) {
  const name = key && `${key.kind}-${key.id}`;
  for (const one of document.querySelectorAll("[data-item]")) {
    one.setAttribute("aria-selected", String(one.getAttribute("data-item") === name));
  }
  for (const one of document.querySelectorAll("[data-key]")) {
    if (one.getAttribute("data-key") === name) one.setAttribute("aria-current", "true");
    else one.removeAttribute("aria-current");
  }
}

/** @param {string} id @returns {HTMLElement} */
function part(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error(`the page has the part ${id}`);
  return element;
}

async function start() {
  const { project: projectId = "", floor = "" } = part("wiring").dataset;
  const api = projectApi(projectId);
  const session = new Session(api);
  const desk = new WiringDesk(session, projectId);
  installMessages(part("message"), desk);
  await session.load();
  const why = makeWhy({ projectId, session });
  const onFloor = (/** @type {Key} */ key) => floorAddress(desk, key);
  const toFloor = () => {
    location.href = `/projects/${projectId}/floors/${floor}`;
  };
  installFacts(part("facts"), desk, {
    why,
    offers: { wiring: toFloor, detectors: toFloor },
    nothing: wiringOverview,
    elsewhere: onFloor,
  });
  installFoot(part("foot"), desk);
  session.onChange = (reason) => {
    if (session.waiting.length === 0 && !find(desk.project, desk.selection)) desk.selection = null;
    desk.tell("state");
    if (["edit", "undo", "redo", "reload"].includes(reason)) {
      desk.tell("edit");
      redraw(api, desk);
    }
  };
  installSelecting(desk);
  showFirst(desk);
  // The facts of the tablet, pulled up, leave less room: what is selected stays in view.
  new ResizeObserver(() => desk.selection && desk.show(desk.selection)).observe(part("content"));
  document.body.dataset.ready = "true";
}

/** Segments stand here; all else has a floor. @param {WiringDesk} desk @param {Key} key */
function floorAddress({ project, projectId }, { kind, id }) {
  const floor = find(project, { kind, id })?.floor;
  return floor === undefined ? null : `/projects/${projectId}/floors/${floor}?select=${kind}-${id}`;
}

/** The drawings anew, as the server has them after an edit. @param {any} api */
async function redraw(api, /** @type {WiringDesk} */ desk) {
  const text = await api.page();
  if (text === null) return;
  const page = new DOMParser().parseFromString(text, "text/html");
  for (const id of ["drawings", "rail"]) {
    const fresh = page.getElementById(id);
    if (fresh) part(id).replaceChildren(...fresh.childNodes);
  }
  const [tab, count] = [document, page].map((one) => one.querySelector(".tabs a[href$='/findings']"));
  if (tab && count) tab.replaceChildren(...count.childNodes);
  mark(desk.selection);
}

/** A press selects; with a key held it opens the place, as any link. @param {WiringDesk} desk */
function installSelecting(desk) {
  document.addEventListener("click", (event) => {
    if (event.button !== 0 || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const target = event.target instanceof Element ? event.target : null;
    const link = target?.closest("[data-key]");
    const section = target?.closest("section[data-item]");
    if (link) {
      const key = parseKey(link.getAttribute("data-key") ?? "");
      if (!key || !find(desk.project, key)) return;
      if (!(link.getAttribute("href") ?? "").startsWith("#")) event.preventDefault();
      desk.select(key);
    } else if (section && !target?.closest("a, button, form")) {
      desk.select(parseKey(section.getAttribute("data-item") ?? ""));
    }
  });
  document.addEventListener("keydown", (event) => {
    const field = event.target instanceof Element && event.target.matches("input, select, textarea");
    if (field || document.querySelector("dialog[open]")) return;
    if (event.key === "Escape") desk.select(null);
    const key = event.key.toLowerCase();
    if (!(event.ctrlKey || event.metaKey) || !["z", "y"].includes(key)) return;
    event.preventDefault();
    desk.session.step(key === "y" || event.shiftKey ? "redo" : "undo");
  });
}

/** `?select=device-3`, or the segment that the address ends in. @param {WiringDesk} desk */
function showFirst(desk) {
  const asked = new URLSearchParams(location.search).get("select");
  const anchor = document.getElementById(location.hash.slice(1))?.getAttribute("data-item");
  const key = parseKey(asked ?? anchor ?? "");
  if (!key || !find(desk.project, key)) return;
  desk.select(key);
  desk.show(key);
}

start().catch((error) => {
  part("message").textContent =
    error instanceof ApiError ? error.message : "The facts could not be opened. Reload the page.";
  throw error;
});
