/**
 * The floor editor: wires server, desk, view, tools and panels. The only module that acts when
 * it is imported.
 */

import { installKeys } from "./behaviours/keys.js";
import { installPointers, targetOf } from "./behaviours/pointers.js";
import { find, parseKey } from "./core/drawing.js";
import { Desk } from "./desk.js";
import { ApiError, projectApi } from "./server/api.js";
import { LabelStore } from "./server/labels.js";
import { Session } from "./server/session.js";
import { makeTools } from "./tools/index.js";
import { installFacts } from "./ui/facts.js";
import { sheetFacts } from "./ui/facts_sheet.js";
import { findingsList } from "./ui/findings.js";
import { installFoot, installMessages } from "./ui/foot.js";
import { installHint } from "./ui/hint.js";
import { makeOffers } from "./ui/offers.js";
import { overview } from "./ui/overview.js";
import { installRail } from "./ui/rail.js";
import { installStrip } from "./ui/strip.js";
import { makeWhy } from "./ui/why.js";
import { SheetView } from "./view/sheet_view.js";
import { toPx } from "./view/viewport.js";

/** A4 landscape within margins of 10 mm, as the print style sheet has it, px. */
const PAPER_PX = { width: Math.floor((277 / 25.4) * 96), height: Math.floor((188 / 25.4) * 96) };

/** @param {string} id @returns {HTMLElement} */
function part(id) {
  const element = document.getElementById(id);
  if (!element) throw new Error(`the page has the part ${id}`);
  return element;
}

async function start() {
  const shell = part("editor");
  const projectId = shell.dataset.project ?? "";
  const floor = Number(shell.dataset.floor);
  const assets = shell.dataset.assets ?? "";
  const session = new Session(projectApi(projectId));
  const host = part("sheet");
  const labels = new LabelStore(
    (scale, job) =>
      job === null
        ? session.api.labels(floor, scale)
        : session.api.suggestedLabels(job, floor, scale),
    () => session.state,
  );
  const desk = new Desk({ session, view: new SheetView(host), labels, floor, projectId });
  installMessages(part("message"), desk);
  await Promise.all([session.load(), loadBasis(desk, session)]);
  desk.tools = makeTools(desk);
  desk.tool = desk.tools.select;
  const offers = makeOffers(part("offer"), desk);
  const why = makeWhy({ projectId, session });
  wireLabels(labels, desk);
  wireSession(session, desk);
  installRail(part("rail"), desk, assets);
  installHint(part("hint"), desk, { assets, offers });
  installFacts(part("facts"), desk, {
    why,
    offers,
    nothing: (context) => {
      if (desk.stage === "sheet") return sheetFacts(context);
      return desk.listing ? findingsList(context) : overview(context);
    },
  });
  installFoot(part("foot"), desk);
  installStrip(
    {
      strip: part("strip"),
      body: part("strip-body"),
      title: part("strip-title"),
      fold: part("fold"),
      grip: part("grip"),
      host: part("content"),
    },
    desk,
  );
  // Once every pane stands: the first view is fitted to what they leave.
  followSize(host, desk);
  installPointers(desk.view.root, desk);
  installKeys(desk, { dialogOpen: () => document.querySelector("dialog[open]") !== null });
  installFocus(desk);
  installCounts(desk);
  installPrint(desk);
  installFloorPicker(desk);
  showFirst(desk);
  exposeMapping(desk);
  await document.fonts.ready;
  await nextFrame();
  await labels.fetch(desk.viewport.scale);
  document.body.dataset.ready = "true";
}

/** Two frames on, when what was built has been laid out and measured. */
const nextFrame = () =>
  new Promise((done) => {
    requestAnimationFrame(() => requestAnimationFrame(done));
  });

/** @param {Desk} desk @param {Session} session */
async function loadBasis(desk, session) {
  const items = await session.api.basis();
  desk.basis = Object.fromEntries(items.map((/** @type {any} */ item) => [item.key, item.default]));
}

/** @param {Session} session @param {Desk} desk */
function wireSession(session, desk) {
  session.onChange = (why) => {
    desk.settle();
    if (why !== "waiting") desk.noteFindings();
    desk.redraw();
    desk.tell("state");
    if (why === "edit" || why === "undo" || why === "redo") desk.tell("edit");
    showCount(desk);
  };
  desk.noteFindings();
  showCount(desk);
}

/** The counts of the title block open the list of findings. @param {Desk} desk */
function installCounts(desk) {
  const open = (/** @type {Event} */ event) => {
    if (!(/** @type {Element} */ (event.target).closest("[data-opens=findings]"))) return;
    event.preventDefault();
    if (desk.toolName !== "select") desk.use("select");
    desk.list(true);
  };
  desk.view.band.addEventListener("click", open);
  desk.view.band.addEventListener("keydown", (/** @type {KeyboardEvent} */ event) => {
    if (event.key === "Enter" || event.key === " ") open(event);
  });
}

/** Between the words of the screen and those that a print would need, ms. */
const PRINT_LATER_MS = 600;

/** Draws words as they come; those of a print are asked for before one is made. */
function wireLabels(/** @type {LabelStore} */ labels, /** @type {Desk} */ desk) {
  let timer = 0;
  labels.onChange = () => {
    if (!desk.printing) desk.redraw();
    clearTimeout(timer);
    timer = setTimeout(() => labels.fetch(desk.paperViewport(PAPER_PX).scale), PRINT_LATER_MS);
  };
}

/** The tab of the findings counts what is open. @param {Desk} desk */
function showCount(desk) {
  const tab = document.querySelector(".tabs a[href$='/findings']");
  if (!tab) return;
  const open = (desk.results.findings ?? []).filter(
    (/** @type {any} */ finding) => finding.severity !== "note",
  ).length;
  let count = tab.querySelector(".count");
  if (!count) {
    count = document.createElement("span");
    count.className = "count";
    tab.append(" ", count);
  }
  count.textContent = open > 0 ? String(open) : "";
}

/** @param {HTMLElement} host @param {Desk} desk */
function followSize(host, desk) {
  const measure = () => {
    if (desk.printing) return;
    const before = desk.size;
    desk.size = {
      width: Math.max(120, host.clientWidth),
      height: Math.max(100, host.clientHeight),
    };
    if (before.width === desk.size.width && before.height === desk.size.height) return;
    // While the page is laid out, or a tablet is turned, the whole floor stays whole. Once it stands
    // a pane never rescales it.
    const standing = document.body.dataset.ready && innerWidth === wide;
    if (!standing && desk.whole) desk.fit();
    else desk.keepInView(before);
    wide = innerWidth;
  };
  let wide = innerWidth;
  measure();
  desk.fit();
  new ResizeObserver(measure).observe(host);
}

/** Tab goes from thing to thing; what has the focus is selected. @param {Desk} desk */
function installFocus(desk) {
  // On the host: an SVG with such a listener would take the focus itself.
  desk.view.host.addEventListener("focusin", (/** @type {FocusEvent} */ event) => {
    const target = targetOf(event.target);
    if (!target || target.handle || desk.toolName !== "select") return;
    if (!(/** @type {Element} */ (event.target).matches(":focus-visible"))) return;
    desk.select(/** @type {any} */ ({ kind: target.kind, id: target.id }));
  });
}

/** @param {Desk} desk */
function installPrint(desk) {
  window.addEventListener("beforeprint", () => desk.layOutForPaper(PAPER_PX));
  window.addEventListener("afterprint", () => desk.layOutForScreen());
}

/** @param {Desk} desk */
function installFloorPicker(desk) {
  document.getElementById("floor")?.addEventListener("change", (event) => {
    const { value } = /** @type {HTMLSelectElement} */ (event.target);
    location.href = `/projects/${desk.projectId}/floors/${value}`;
  });
}

/** `?select=detector-3` selects and brings into view. @param {Desk} desk */
function showFirst(desk) {
  const key = parseKey(new URLSearchParams(location.search).get("select") ?? "");
  if (!key || !find(desk.project, key)) return;
  desk.select(key);
  desk.show(key);
}

/** For the browser tests: where a place of the floor lies on the screen. @param {Desk} desk */
function exposeMapping(desk) {
  const toClient = (/** @type {number} */ x, /** @type {number} */ y) => {
    const box = desk.view.root.getBoundingClientRect();
    const px = toPx(desk.viewport, [x, y]);
    return { x: px[0] + box.left, y: px[1] + box.top };
  };
  /** @type {any} */ (window).bratticeTest = {
    toClient,
    state: () => desk.session.state,
    selection: () => desk.selection,
    dragged: () => desk.local?.item?.value ?? null,
  };
}

start().catch((error) => {
  const message = document.getElementById("message");
  if (message) {
    message.textContent =
      error instanceof ApiError
        ? error.message
        : "The drawing could not be opened. Reload the page; if that does not help, tell us.";
  }
  throw error;
});
