/**
 * The whole job in the browser, with real pointer and key events: plan, scale, rooms, sources,
 * detectors, panel, wiring, documents; undo after a reload; the keyboard alone.
 *
 *   node job.mjs [plan file] [page]
 *
 * Without a file the plan is tests/data/plans/plant_room.png: 12 m by 8 m at 40 px a metre, drawn
 * for the import tests, so the scale is known. On another plan the same steps are gone through, and
 * half of its width is taken as 20 m.
 */

import { resolve } from "node:path";
import {
  clickFloor,
  createProject,
  dragFloor,
  openFloor,
  startScript,
  untilState,
} from "./support.mjs";
import { catalogueEdit } from "./catalogue.mjs";
import { readDownload } from "./downloads.mjs";

const OWN_PLAN = resolve(import.meta.dirname, "../data/plans/plant_room.png");
const plan = process.argv[2] ? resolve(process.argv[2]) : OWN_PLAN;
const pageOfFile = process.argv[3] ?? "1";
const own = plan === OWN_PLAN;

const { check, server, page, run } = await startScript("job");
await run(async () => {
  const project = await createProject(server.base, "Job test, invented");
  await setCatalogue(project);
  await openFloor(page, server.base, project, 1);
  await layPlan();
  await drawRooms();
  await placeSources();
  await suggestDetectors();
  await moveDetector();
  await wire();
  await documents(project);
  await undoAfterReload(project);
  await keyboardAlone();
});

/** An invented catalogue, as the project page would import it. @param {string} project */
async function setCatalogue(project) {
  const route = `${server.base}/api/projects/${project}`;
  const { version } = await (await fetch(route)).json();
  const answer = await fetch(`${route}/edits`, {
    method: "POST",
    headers: { "content-type": "application/json", origin: server.base },
    body: JSON.stringify({ version, edit: catalogueEdit, label: "catalogue" }),
  });
  check("the catalogue is taken", answer.ok, answer.status);
}

async function layPlan() {
  await page.click("[data-tool=sheet]");
  await page.setInputFiles("[data-field=plan-file]", plan);
  const laid = (/** @type {any} */ s) => s.project.floors[0].sheet;
  let state = await untilState(page, (s) => laid(s) !== null, 60_000);
  if (pageOfFile !== "1") {
    await page.fill("[data-field=plan-page]", pageOfFile);
    await page.keyboard.press("Enter");
    state = await untilState(page, (s) => String(laid(s).page) === pageOfFile, 60_000);
  }
  const { sheet } = state.project.floors[0];
  check("the plan lies under the sheet", (await page.locator(".plan-sheet image").count()) === 1);
  await page.waitForSelector("[data-variant=scale][aria-pressed=true]");
  const m = 40 / Math.max(sheet.width_px, sheet.height_px);
  const [a, b] = own
    ? [
        [60, 60],
        [540, 60],
      ]
    : [
        [0.1, 0.5],
        [0.6, 0.5],
      ].map(([x, y]) => [x * sheet.width_px, y * sheet.height_px]);
  await clickFloor(page, a[0] * m, a[1] * m);
  await clickFloor(page, b[0] * m, b[1] * m);
  await page.waitForSelector("[data-field=scale]");
  await page.keyboard.type(own ? "12" : "20");
  await page.keyboard.press("Enter");
  const scaled = await untilState(page, (s) => s.project.floors[0].sheet.scale !== null);
  const { scale } = scaled.project.floors[0].sheet;
  const perMetre = Math.hypot(scale.a[0] - scale.b[0], scale.a[1] - scale.b[1]) / scale.length;
  if (own) {
    // The plan was drawn at 40 px a metre; a click is good to a pixel of the screen.
    check("the scale is that of the drawing", Math.abs(perMetre - 40) < 0.4, perMetre);
  } else check("a scale is set", perMetre > 0, perMetre);
}

async function drawRooms() {
  await page.keyboard.press("Escape");
  await page.click("[data-tool=rooms]");
  await clickFloor(page, 2, 2);
  await clickFloor(page, 8, 7);
  await untilState(page, (s) => s.project.rooms.length === 1);
  await clickFloor(page, 8, 2);
  await page.mouse.move(...(await place(11, 5)));
  await page.keyboard.type("5 x 5");
  check(
    "the typed length stands at the pointer",
    /5 x 5/.test(await page.locator(".length-mark text").textContent()),
  );
  await page.keyboard.press("Enter");
  const state = await untilState(page, (s) => s.project.rooms.length === 2);
  const box = bounds(state.project.rooms[1].outline);
  check(
    "the typed room is 5 m by 5 m from the corner of the first",
    near(box.width, 5) &&
      near(box.height, 5) &&
      state.project.rooms[0].outline.some(([x, y]) => near(x, box.x) && near(y, box.y)),
    box,
  );
  await polygonRoom();
  await page.click("[data-variant=door]");
  await clickFloor(page, 4, 7);
  const door = await untilState(page, (s) => s.project.openings.length === 1);
  check(
    "the door lies on the wall",
    near(
      door.project.openings[0].a[1],
      Math.max(...door.project.rooms[0].outline.map(([, y]) => y)),
    ),
    door.project.openings,
  );
}

/** Corners clicked, one length typed, closed with Enter; then taken back by Ctrl-Z. */
async function polygonRoom() {
  await page.click("[data-variant=polygon]");
  await page.keyboard.press("0");
  await clickFloor(page, 2, 8);
  await page.mouse.move(...(await place(5, 8.02)));
  await page.keyboard.type("4.2");
  await page.keyboard.press("Enter");
  await clickFloor(page, 6.2, 10);
  await clickFloor(page, 2, 10);
  await page.keyboard.press("Enter");
  const state = await untilState(page, (s) => s.project.rooms.length === 3);
  const outline = state.project.rooms[2].outline;
  check(
    "Enter closed the polygon and 4.2 set its first wall",
    outline.length === 4 &&
      near(Math.hypot(outline[1][0] - outline[0][0], outline[1][1] - outline[0][1]), 4.2),
    outline,
  );
  check("the wall was held at a right angle", near(outline[0][1], outline[1][1]), outline);
  await page.keyboard.press("Control+z");
  await untilState(page, (s) => s.project.rooms.length === 2);
  await page.keyboard.press("Control+Shift+z");
  await untilState(page, (s) => s.project.rooms.length === 3);
  await page.keyboard.press("Control+z");
  await untilState(page, (s) => s.project.rooms.length === 2);
  check("undo and redo work by key", true);
}

async function placeSources() {
  await page.click("[data-tool=sources]");
  await substance("hydrogen");
  await clickFloor(page, 4.5, 4.5);
  await untilState(page, (s) => s.project.sources.length === 1);
  await substance("propane");
  await clickFloor(page, 10.5, 4.5);
  const state = await untilState(page, (s) => s.project.sources.length === 2);
  const [light, heavy] = Object.values(state.results.sources);
  check(
    "hydrogen is watched high: it is lighter than air (14.5 times, CRC Handbook, from memory)",
    light.watches[0]?.band === "high",
    light,
  );
  check(
    "propane is watched low: it is heavier than air (1.5 times, CRC Handbook, from memory)",
    heavy.watches[0]?.band === "low",
    heavy,
  );
}

/** @param {string} name */
async function substance(name) {
  await page.fill("[data-field=substance]", name);
  await page.waitForSelector(".choices [role=option]");
  await page.keyboard.press("Enter");
}

async function suggestDetectors() {
  await page.click("[data-tool=detectors]");
  await page.click("[data-offer=floor]");
  await page.waitForSelector("[data-difference]", { timeout: 60_000 });
  const ghosts = await page.locator("[data-ghost=added]").count();
  check("the suggestion stands on the plan as ghosts", ghosts >= 2, ghosts);
  const before = await page.evaluate(() => window.bratticeTest.state().project.detectors.length);
  check("nothing is changed before it is accepted", before === 0, before);
  await page.click("[data-act=accept]");
  const state = await untilState(page, (s) => s.project.detectors.length >= 2);
  check(
    "every demand is met",
    state.results.demands.length > 0 && state.results.demands.every((demand) => demand.met),
    state.results.demands.filter((demand) => !demand.met).map(({ id }) => id),
  );
  boundsAreNear(state);
  const low = state.project.detectors.find(({ band }) => band === "low");
  const high = state.project.detectors.find(({ band }) => band === "high");
  check(
    "the detector for propane hangs low and the one for hydrogen high",
    low?.height < 1 && high?.height > 2,
    [low?.height, high?.height],
  );
  check("its reach is drawn", (await page.locator(`[data-reach="${high.id}"] path`).count()) === 1);
}

/** Every room's fewest is proven, or its bound lies near and is told. @param {any} state */
function boundsAreNear({ results }) {
  const covers = Object.values(results.rooms).flatMap(({ covers }) => covers);
  check(
    "no bound is further than 10 % away",
    covers.length >= 2 && covers.every(({ fewest, bound }) => bound.value >= 0.9 * fewest.value),
    covers.map(({ name, fewest, bound }) => [name, fewest.value, bound.value]),
  );
  const told = results.findings.filter(({ id }) => id.startsWith("placement.unproven/"));
  const open = covers.filter(({ proven }) => !proven);
  check(
    "what is not proven is told with its bound",
    open.every(({ bound }) =>
      told.some(({ message }) => message.includes(`fewer than ${bound.value} are ruled out`)),
    ) && open.length === told.length,
    told.map(({ message }) => message),
  );
}

async function moveDetector() {
  await page.keyboard.press("Escape");
  await page.keyboard.press("Escape");
  await page.keyboard.press("0");
  const state = await page.evaluate(() => window.bratticeTest.state());
  const first = state.project.detectors[0];
  await dragFloor(page, first.at, [first.at[0] + 0.6, first.at[1] + 0.4]);
  const moved = await untilState(
    page,
    (s, at = first.at) => s.project.detectors.find(({ id }) => id === first.id).at[0] !== at[0],
  );
  const now = moved.project.detectors.find(({ id }) => id === first.id);
  check("a drag moves the detector to the place", near(now.at[0], first.at[0] + 0.6, 0.06), now.at);
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("ArrowRight");
  const nudged = await untilState(
    page,
    (s) => s.project.detectors.find(({ id }) => id === first.id).at[0] > now.at[0] + 0.15,
  );
  const at = nudged.project.detectors.find(({ id }) => id === first.id).at;
  check("two presses of an arrow are 0.2 m and one edit", near(at[0], now.at[0] + 0.2), at);
  await inSection(first.id);
  await why();
}

/** Heights are dragged in the section. @param {number} id */
async function inSection(id) {
  if ((await page.locator("#strip.folded").count()) > 0) await page.click("#fold");
  const mark = page.locator(`[data-section=detector][data-id="${id}"] .ring`);
  const box = await mark.boundingBox();
  const before = await page.evaluate(
    (n) => window.bratticeTest.state().project.detectors.find((d) => d.id === n).height,
    id,
  );
  const down = before > 1.5 ? 20 : -20;
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2, box.y + box.height / 2 + down, { steps: 6 });
  await page.mouse.up();
  const state = await untilState(
    page,
    (s) => s.project.detectors.find((d) => d.id === id).height !== before,
  );
  const { height } = state.project.detectors.find((d) => d.id === id);
  check(
    "a drag in the section changes the height only that way",
    down > 0 ? height < before : height > before,
    [before, height],
  );
  check("the foot says so", /(lowered|raised) to/.test(await page.locator("#foot").textContent()));
}

async function why() {
  await page.locator(".facts a.why").first().click();
  await page.waitForSelector("dialog.why[open]");
  const text = await page.locator("dialog.why").textContent();
  check("why opens the reason in a dialog", text.length > 40, text);
  await page.keyboard.press("Escape");
}

async function wire() {
  await page.click("[data-tool=cables]");
  await page.click("[title^='Show the whole floor']");
  await clickFloor(page, 2.4, 6.8);
  await untilState(page, (s) => s.project.panels.length === 1);
  await page.click("[data-offer=wiring]");
  await page.waitForSelector("[data-difference]", { timeout: 60_000 });
  const accept = page.locator("[data-act=accept]");
  check(
    "the engine suggests a wiring",
    (await accept.count()) === 1,
    await page.locator("[data-difference]").textContent(),
  );
  if ((await accept.count()) === 0) return;
  const change = await page.locator("[data-difference] p").textContent();
  check(
    "it says what cable and price it adds",
    /\+[\d.]+\sm cable, price \+€\s\d/.test(change),
    change,
  );
  const ways = (/** @type {string} */ selector) =>
    page.locator(selector).evaluateAll((paths) => paths.map((path) => path.getAttribute("d")));
  const offered = await ways(".ghost-segment path.cable");
  await accept.click();
  const state = await untilState(page, (s) => s.project.segments.length > 0);
  const wired = new Set(state.project.segments.flatMap(({ devices }) => devices));
  check(
    "every detector's field device is on a segment",
    state.project.detectors.every(({ id }) =>
      state.project.devices.some((device) => device.detectors.includes(id) && wired.has(device.id)),
    ),
  );
  const drawn = await ways(".segment-group path.cable");
  check("the cables are drawn", drawn.length > 0);
  check(
    "the cables were offered as they are drawn",
    JSON.stringify(offered) === JSON.stringify(drawn),
    [offered, drawn],
  );
  const cable = await page.locator("[data-total=cable]").textContent();
  check("the title block counts the metres", /\d/.test(cable), cable);
}

/** @param {string} project */
async function documents(project) {
  await page.goto(`${server.base}/projects/${project}/schedules`);
  const state = await (await fetch(`${server.base}/api/projects/${project}`)).json();
  const text = await page.locator("main").textContent();
  check(
    "the schedules name every detector",
    state.project.detectors.every(({ tag }) => text.includes(tag)),
  );
  const route = `${server.base}/projects/${project}/documents`;
  const csv = await readDownload(`${route}/detector-schedule.csv`);
  const lines = csv.text.trim().split(/\r?\n/);
  check(
    "the CSV has every detector's tag and height",
    state.project.detectors.every((detector) =>
      lines.some(
        (line) =>
          line.includes(detector.tag) && line.includes(String(Number(detector.height.toFixed(2)))),
      ),
    ),
    csv.text.slice(0, 400),
  );
  const pdf = await readDownload(`${route}/project.pdf`);
  check(
    "the PDF is one and not empty",
    pdf.bytes.subarray(0, 5).toString("latin1") === "%PDF-" && pdf.bytes.length > 5000,
    pdf.bytes.length,
  );
}

/** @param {string} project */
async function undoAfterReload(project) {
  await openFloor(page, server.base, project, 1);
  const before = await page.evaluate(() => window.bratticeTest.state());
  check("there is something to undo after a reload", before.undo !== null, before.undo);
  await page.click("[data-act=undo]");
  const after = await untilState(page, (s) => s.version !== before.version);
  check(
    "undo takes the last edit back",
    JSON.stringify(after.project) !== JSON.stringify(before.project),
  );
  await page.click("[data-act=redo]");
  const again = await untilState(page, (s) => s.version !== after.version);
  check("redo makes it again", JSON.stringify(again.project) === JSON.stringify(before.project));
}

/** A source is placed, selected and taken away without a pointer. */
async function keyboardAlone() {
  const count = () => page.evaluate(() => window.bratticeTest.state().project.sources.length);
  const chosen = () => page.inputValue("[data-field=substance]");
  const before = await count();
  await page.locator("[data-tool=sources]").focus();
  await page.keyboard.press("Enter");
  check("nobody has said what gets out", (await chosen()) === "", await chosen());
  await page.keyboard.press("Escape");
  for (let n = 0; n < 3; n += 1) await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("Enter");
  const asked = (await page.textContent("#message")) ?? "";
  check("a place is asked for its substance", asked.includes("What can get out"), asked);
  check("no source is placed before", (await count()) === before);
  await page.keyboard.type("hydrogen");
  await page.waitForSelector(".choices [role=option]");
  await page.keyboard.press("Enter");
  await untilState(page, (s) => s.project.sources.length === before + 1);
  check("once chosen it is placed where the keyboard's pointer stood", (await count()) === before + 1);
  await page.keyboard.press("Escape");
  await page.keyboard.press("Delete");
  await untilState(page, (s) => s.project.sources.length === before);
  check("Delete takes away what is selected", (await count()) === before);
  await page.locator(".rooms [data-kind=room]").first().focus();
  await page.keyboard.press("Tab");
  const kind = await page.evaluate(() => window.bratticeTest.selection()?.kind);
  check("Tab goes from thing to thing and selects it", kind === "room", kind);
}

/** @param {number} x @param {number} y */
async function place(x, y) {
  const at = await page.evaluate(([a, b]) => window.bratticeTest.toClient(a, b), [x, y]);
  return [at.x, at.y];
}

/** A click is good to a pixel; typed and snapped lengths to a millimetre. */
function near(a, b, by = 0.0015) {
  return Math.abs(a - b) <= by;
}

function bounds(outline) {
  const xs = outline.map(([x]) => x);
  const ys = outline.map(([, y]) => y);
  const [x, y] = [Math.min(...xs), Math.min(...ys)];
  return { x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y };
}
