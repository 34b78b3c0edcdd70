/**
 * What can come out of a release source, typed in the editor of the example: kinds and their
 * figures, units, what is not known, a refused figure, undo; on a tablet as well.
 */

import { clickFloor, openFloor, startScript, untilState } from "./support.mjs";

const { check, server, page, shot, run } = await startScript("release");
await run(async () => {
  await openFloor(page, server.base, "1", 1);
  await clickFloor(page, 29.8, 1.0);
  await kinds();
  await figures();
  await refused();
  await undone();
  await narrow();
  await shot("end");
});

/** @param {any} state */
function release(state) {
  return state.project.sources.find((/** @type {any} */ one) => one.name === "hydrogen cylinders")
    .release;
}

/** @param {string} name */
function field(name) {
  return page.locator(`[data-field="release${name}"]`);
}

async function kinds() {
  for (const kind of ["flow", "leak", "low_pressure", "dewar", "spill", "battery", "charge"]) {
    await field("").selectOption(kind);
    const state = await untilState(page, (s) => release(s)?.kind === kind);
    const rows = await page.locator('[data-field^="release-"]:not([type=checkbox])').count();
    check(`${kind} asks for two to five figures`, rows >= 2 && rows <= 5, rows);
    check(`${kind} begins with nothing known`, release(state).rate == null, release(state));
  }
  await field("").selectOption("");
  await untilState(page, (s) => release(s) === null);
  await field("").selectOption("cylinder");
  await untilState(page, (s) => release(s)?.kind === "cylinder");
}

/** By the keyboard alone: unticks "not known", types, Enter. @param {string} name */
async function type(name, /** @type {string} */ text) {
  await field(`${name}-none`).focus();
  await page.keyboard.press("Space");
  await page.keyboard.type(text);
  await page.keyboard.press("Enter");
}

async function figures() {
  await type("-litres", "50");
  await untilState(page, (s) => release(s)?.litres === 50);
  await type("-pressure", "199,5");
  const state = await untilState(page, (s) => release(s)?.pressure === 199.5);
  check("the last edit says it", /filled to 199\.5/.test(state.last_edit), state.last_edit);
  await field("-outlet").selectOption("valve_opened");
  await untilState(page, (s) => release(s)?.outlet === "valve_opened");
  check("an opened valve has no hole to type", (await field("-hole").count()) === 0);
  await field("-litres-none").check();
  await untilState(page, (s) => release(s)?.litres === null);
}

async function refused() {
  await field("-pressure").fill("9999");
  await page.keyboard.press("Enter");
  const told = page.getByText("type 0.1 to 1000 bar(g), or leave it unknown");
  await told.first().waitFor({ timeout: 10_000 });
  check("a pressure beyond its limit is refused with its limits", true);
  const state = await untilState(page, () => true);
  check("nothing is changed by it", release(state).pressure === 199.5, release(state));
}

async function undone() {
  await page.keyboard.press("Escape");
  await page.locator("body").press("Control+z");
  await untilState(page, (s) => release(s)?.litres === 50);
  check("undo takes the last figure back", true);
}

async function narrow() {
  await page.setViewportSize({ width: 820, height: 1180 });
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  check("the figures fit a tablet", wide <= 820, wide);
  const box = await field("-pressure").boundingBox();
  check("a figure can be touched", box !== null && box.height >= 24, box);
}
