/**
 * Sources that go along a pipe or over an area: drawn by pointer, their corners moved and taken
 * away, put back to one place, undone.
 */

import { clickFloor, dragFloor, openRoom, startScript, untilState } from "./support.mjs";

const script = await startScript("extents");
const { check, page, shot, run } = script;
await run(async () => {
  await openRoom(script, { name: "Hall", outline: [[0, 0], [20, 0], [20, 8], [0, 8]] });
  await alongAPipe();
  await overAnArea();
});

/** @param {(sources: any[]) => boolean} holds */
async function until(holds) {
  const state = await untilState(page, ({ project }) => holds(project.sources));
  return state.project.sources;
}

async function alongAPipe() {
  await page.click("[data-tool=sources]");
  await page.click("[data-variant=run]");
  await clickFloor(page, 2, 2);
  await clickFloor(page, 18, 2);
  // A second press on its end ends it: a tablet has no Enter.
  await clickFloor(page, 18, 2);
  const asked = (await page.textContent("body")) ?? "";
  check("what gets out is asked for first", asked.includes("What can get out here?"));
  await page.fill("[data-field=substance]", "hydrogen");
  await page.waitForSelector(".choices [role=option]");
  await page.keyboard.press("Enter");
  const [source] = await until((all) => all.length === 1);
  check("the run is kept while it is chosen", source.extent?.points.length === 2, source);
  check("its symbol stands halfway", Math.abs(source.at[0] - 10) < 0.3, source.at);
  check("dots run along it", (await page.locator(".extents .extent-line").count()) === 1);
  const state = await untilState(page, ({ results }) => results.demands.length > 0);
  const [demand] = state.results.demands;
  check("all of it is to be watched", Math.abs(demand.size.value - 16) < 0.5, demand.size);
  await page.keyboard.press("Escape");
  await dragFloor(page, [18, 2], [18, 6]);
  const [moved] = await until(([one]) => one.extent.points[1][1] > 5);
  check("a corner is moved", Math.abs(moved.extent.points[1][1] - 6) < 0.2, moved.extent);
  await page.click("#foot [data-act='undo']");
  await until(([one]) => one.extent.points[1][1] < 3);
  const facts = (await page.textContent("#facts")) ?? "";
  check("its facts give its length", facts.includes("pipe run of 16"), facts);
  check("and that nobody watches it", facts.includes("no detector yet"), facts);
  await page.click("#facts >> text=At one place only");
  await until(([one]) => !one.extent);
  check("it can be at one place again", (await page.locator(".extent-line").count()) === 0);
  await page.click("#foot [data-act='undo']");
  await until(([one]) => one.extent);
}

async function overAnArea() {
  await page.keyboard.press("Escape");
  await page.click("[data-tool=sources]");
  await page.click("[data-variant=rack]");
  for (const [x, y] of [[4, 4], [8, 4], [8, 6], [4, 6]]) await clickFloor(page, x, y);
  await page.keyboard.press("Enter");
  const [, rack] = await until((all) => all.length === 2);
  check("an area is drawn", rack.extent?.kind === "area" && rack.extent.points.length === 4, rack);
  const detectors = await page.evaluate(() => window.bratticeTest.selection());
  check("and selected", detectors?.kind === "source" && detectors.id === 2, detectors);
  await page.click("[data-tool=detectors]");
  await page.click("[data-offer=floor]");
  await page.click("[data-act=accept]");
  const state = await untilState(
    page,
    ({ project, results }) =>
      project.detectors.length > 0 && results.demands.every((/** @type {any} */ one) => one.met),
  );
  const high = state.project.detectors.filter((/** @type {any} */ { band }) => band === "high");
  check("two detectors under the ceiling watch run and area", high.length === 2, high);
  await shot("watched");
}
