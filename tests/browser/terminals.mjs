/**
 * Air terminals in the browser: placed by pointer and by keyboard, their kind chosen, moved, undone
 * and taken away; where ventilation is strong a grille asks for a detector.
 */

import { clickFloor, dragFloor, openRoom, startScript, untilState } from "./support.mjs";

const script = await startScript("terminals");
const { check, page, run } = script;
/** Ventilated, with hydrogen at its left end. */
const LABORATORY = {
  name: "Laboratory",
  room_use: "laboratory",
  outline: [[0, 0], [12, 0], [12, 6], [0, 6]],
  air_changes: 8,
};
const HYDROGEN = { id: 1, floor: 1, name: "H2", at: [1, 3], substance: "1333-74-0", height: 1 };
await run(async () => {
  await openRoom(script, LABORATORY, [{ kind: "source", value: HYDROGEN }]);
  await byPointer();
  await asksForADetector();
  await byKeyboard();
});

/** @param {(terminals: any[]) => boolean} holds */
async function until(holds) {
  const state = await untilState(page, ({ project }) => holds(project.terminals));
  return state.project.terminals;
}

async function byPointer() {
  await page.click("[data-tool=rooms]");
  await page.click("[data-variant=terminal]");
  await clickFloor(page, 11.8, 3);
  const [placed] = await until((all) => all.length === 1);
  check("a click places an extract grille", placed.kind === "extract" && placed.flow === null);
  check("drawn to the wall that is near", Math.abs(placed.at[0] - 11.9) < 0.02, placed.at);
  check(
    "its symbol bears its letter",
    (await page.textContent(".terminals .terminal-letter")) === "E",
  );
  check(
    "and the legend says it",
    (await page.textContent(".sheet-band"))?.includes("E extract grille"),
  );
  await page.selectOption("[data-field=kind]", "return_air");
  await until(([one]) => one.kind === "return_air");
  check("its kind is chosen", (await page.textContent(".terminals .terminal-letter")) === "R");
  await page.uncheck("[data-field=flow-none]");
  await page.fill("[data-field=flow]", "450");
  await page.press("[data-field=flow]", "Enter");
  const [flowing] = await until(([one]) => one.flow !== null);
  check("its flow is typed", flowing.flow === 450, flowing);
  await dragFloor(page, flowing.at, [11.9, 4.5]);
  const [moved] = await until(([one]) => Math.abs(one.at[1] - 3) > 0.5);
  check("a drag moves it", Math.abs(moved.at[1] - 4.5) < 0.1, moved.at);
  await page.click("#foot [data-act='undo']");
  await until(([one]) => Math.abs(one.at[1] - 3) < 0.1);
  check("undo puts it back", true);
}

async function asksForADetector() {
  const state = await untilState(page, (one) =>
    one.results.demands.some(({ kind }) => kind.kind === "terminal"),
  );
  const demand = state.results.demands.find(({ kind }) => kind.kind === "terminal");
  check("the grille asks for a detector of hydrogen", demand.measures === "1333-74-0", demand);
  const finding = state.results.findings.find(({ id }) => id === `coverage.unmet/${demand.id}`);
  check("that nobody stands there is a blocker", finding?.severity === "blocker", finding);
  const facts = (await page.textContent("#facts")) ?? "";
  check("its facts say so", facts.includes("Return grille 1 in G.01 Laboratory"), facts);
  check("its place is ringed", (await page.locator("[data-unmet='terminal-1']").count()) === 1);
}

async function byKeyboard() {
  await page.keyboard.press("Escape");
  await page.locator("[data-tool=rooms]").focus();
  await page.keyboard.press("Enter");
  await page.locator("[data-variant=terminal]").focus();
  await page.keyboard.press("Enter");
  await page.locator(".rooms [data-kind=room]").first().focus();
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("ArrowLeft");
  await page.keyboard.press("Enter");
  const both = await until((all) => all.length === 2);
  check("the keyboard places one", both[1].id === 2, both);
  const selected = await page.evaluate(() => window.bratticeTest.selection());
  check("which is selected", selected?.kind === "terminal" && selected.id === 2, selected);
  await page.keyboard.press("Escape");
  await page.keyboard.press("Delete");
  await until((all) => all.length === 1);
  check("Delete takes it away", true);
}
