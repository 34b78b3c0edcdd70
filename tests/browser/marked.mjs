/**
 * Marked areas in the browser: a pit is drawn by pointer, asks for a detector in it and gets one;
 * its depth is typed, a corner moved, its kind changed, all of it undone and taken away; what lies
 * beneath one is picked there.
 */

import { clickFloor, dragFloor, openRoom, startScript, untilState } from "./support.mjs";

const script = await startScript("marked");
const { check, page, shot, run } = script;
const PROPANE = { id: 1, floor: 1, name: "C3H8", at: [1, 1], substance: "74-98-6", height: 1 };
const outline = [[0, 0], [12, 0], [12, 8], [0, 8]];
await run(async () => {
  await openRoom(script, { name: "Plant hall", outline }, [{ kind: "source", value: PROPANE }]);
  await drawn();
  await changed();
  await watched();
  await keptClear();
  await beneath();
});

/** @param {(marked: any[]) => boolean} holds */
async function until(holds) {
  const state = await untilState(page, ({ project }) => holds(project.marked));
  return state.project.marked;
}

async function drawn() {
  await page.click("[data-tool=rooms]");
  await page.click("[data-variant=marked]");
  for (const [x, y] of [[8, 4], [10, 4], [10, 6], [8, 6]]) await clickFloor(page, x, y);
  // A press on the first corner closes it: a tablet has no Enter.
  await clickFloor(page, 8, 4);
  const [pit] = await until((all) => all.length === 1);
  check("a pit of four corners is drawn", pit.kind === "pit" && pit.outline.length === 4, pit);
  check("and on the floor", (await page.locator(".marked-areas .marked-line").count()) === 1);
  check("the legend says it", (await page.textContent(".sheet-band"))?.includes("marked area"));
  const words = page.locator("[data-words=marked-1]");
  await words.waitFor();
  check("its name stands in it", (await words.textContent())?.includes("pit"));
  const state = await untilState(page, ({ results }) =>
    results.demands.some((/** @type {any} */ { kind }) => kind.kind === "pit"),
  );
  const demand = state.results.demands.find((/** @type {any} */ { kind }) => kind.kind === "pit");
  check("it asks for a detector", !demand.met && demand.band === "low", demand);
  const facts = (await page.textContent("#facts")) ?? "";
  check("its facts say what it means", facts.includes("What sinks gathers in it"), facts);
  check("and that nobody watches it", facts.includes("pit 1 in G.01 Plant hall"), facts);
  await shot("pit");
}

async function changed() {
  await page.uncheck("[data-field=level-none]");
  await page.fill("[data-field=level]", "1.2");
  await page.press("[data-field=level]", "Enter");
  await until(([pit]) => pit.level === 1.2);
  check("its depth is typed", true);
  // The first leaves the field, the second lets the tool go.
  await page.keyboard.press("Escape");
  await page.keyboard.press("Escape");
  await dragFloor(page, [10, 6], [11, 6]);
  const [moved] = await until(([pit]) => pit.outline[2][0] > 10.5);
  check("a corner is moved", Math.abs(moved.outline[2][0] - 11) < 0.2, moved.outline);
  await page.click("#foot [data-act='undo']");
  await until(([pit]) => pit.outline[2][0] === 10);
  check("undo puts it back", true);
}

async function watched() {
  await page.keyboard.press("Escape");
  await page.click("[data-tool=detectors]");
  await page.click("[data-offer=floor]");
  await page.click("[data-act=accept]");
  const state = await untilState(
    page,
    ({ project, results }) =>
      project.detectors.length > 0 && results.demands.every((/** @type {any} */ one) => one.met),
  );
  const heights = state.project.detectors.map((/** @type {any} */ { height }) => height).sort();
  check("one hangs in the room and one in the pit", heights.join() === "-0.9,0.3", heights);
  const pit = await page.locator(".section-pit").boundingBox();
  check("the section shows the pit", pit !== null && pit.height > 10, pit);
  const devices = await page.locator(".strip .device").all();
  const boxes = await Promise.all(devices.map((device) => device.boundingBox()));
  const lowest = Math.max(...boxes.map((box) => (box ? box.y + box.height / 2 : 0)));
  check("and what hangs in it", pit !== null && lowest > pit.y, { lowest, pit });
  await shot("watched");
}

async function keptClear() {
  const [pit] = await until((all) => all.length === 1);
  await page.keyboard.press("Escape");
  await clickFloor(page, pit.outline[2][0], 5);
  await page.selectOption("[data-field=kind]", "heat");
  const state = await untilState(page, ({ results }) =>
    results.findings.some((/** @type {any} */ { id }) => id.startsWith("marked.in_the_way")),
  );
  check("what stands in heat is told", state.project.marked[0].kind === "heat", state.project.marked);
  check("a hot area has no depth to type", (await page.locator("[data-field=level]").count()) === 0);
  await page.keyboard.press("Escape");
  await clickFloor(page, pit.outline[2][0], 5);
  await page.keyboard.press("Delete");
  await until((all) => all.length === 0);
  check("Delete takes it away", true);
  await page.click("#foot [data-act='undo']");
  await until((all) => all.length === 1);
  await page.reload();
  await page.waitForSelector("body[data-ready='true']");
  await page.click("#foot [data-act='undo']");
  await until(([area]) => area.kind === "pit");
  check("undo works after a reload too", true);
}

/** A tray and a pipe run go under a pit: each is picked where it lies, the pit beside them. */
async function beneath() {
  const pipe = [[9.6, 1], [9.6, 7]];
  await openRoom(script, { name: "Plant hall", outline }, [
    { kind: "source", value: { ...PROPANE, at: pipe[0], extent: { kind: "line", points: pipe } } },
    {
      kind: "marked",
      value: { id: 1, floor: 1, kind: "pit", outline: [[8, 4], [10, 4], [10, 6], [8, 6]], level: 1 },
    },
    {
      kind: "containment",
      value: { id: 1, floor: 1, kind: "tray", line: [[8.4, 1], [8.4, 7]], height: null },
    },
  ]);
  const picked = async (/** @type {number[]} */ [x, y], /** @type {string} */ what) => {
    await page.keyboard.press("Escape");
    await clickFloor(page, x, y);
    check(
      `a press at ${x}, ${y} picks ${what}`,
      (await page.locator(`[data-kind=${what}][aria-selected=true]`).count()) > 0,
      await page.locator("#facts h2").allTextContents(),
    );
  };
  await picked([8.4, 5.6], "containment");
  await picked([9.6, 5.6], "source");
  await picked([9, 5.6], "marked");
  await picked([10, 4.4], "marked");
  // Just outside the edge the wide unseen line is pressed: it has no gaps, however the edge is dashed.
  for (const y of [4.7, 4.76, 4.82, 4.88, 4.94]) await picked([10.1, y], "marked");
  await picked([9, 2], "room");
}
