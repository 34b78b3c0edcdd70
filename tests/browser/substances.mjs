/**
 * The figures of substances that a project states, on its page: a published figure overridden with
 * its ground, a substance of the project's own, what is refused and what is then still there, by
 * pointer and by keyboard; at three sizes nothing cut. With BRATTICE_SHOTS=DIR the pictures are kept
 * there.
 */

import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { makeChecks, startBrowser, startServer } from "./support.mjs";

const SIZES = [
  [1280, 800],
  [1440, 900],
  [820, 1180],
];
const shots = process.env.BRATTICE_SHOTS;
if (shots) mkdirSync(shots, { recursive: true });

const { check, end } = makeChecks();
const server = await startServer();
const { browser, page, faults } = await startBrowser();
const place = `${server.base}/projects/1`;
const state = async () => (await fetch(`${server.base}/api/projects/1`)).json();
let code = 1;
try {
  await overridden();
  await refused();
  await ownByKeyboard();
  for (const [width, height] of SIZES) await nothingIsCut(width, height);
  await takenBack();
  check("nothing went wrong in the pages", faults.length === 0, faults);
  code = end();
} finally {
  await browser.close();
  await server.stop();
}
process.exit(code);

/** A published figure gives way to one of a data sheet and is shown as the project's. */
async function overridden() {
  await page.goto(`${place}#substances`);
  await page.click("summary:has-text('State figures of a known substance')");
  await page.fill("#known-substance", "hydrogen");
  await page.fill("#known-lfl", "3.9");
  await page.fill("form:has(#known-substance) [name=lfl_reason]", "Data sheet H-7, 2026-03");
  await page.click("button:has-text('State these figures')");
  await page.waitForSelector("#substance-1-lfl");
  const { project, results } = await state();
  const [figure] = project.substances[0].figures;
  check("the figure is stated with its ground", figure?.value === 3.9 && /H-7/.test(figure.reason), figure);
  const said = await page.textContent(".row:has(#substance-1-lfl)");
  check("it is shown as theirs beside the published one", /yours; published 4/.test(said), said);
  check("the published figure opens its reason", await page.isVisible(".row:has(#substance-1-lfl) a.why"));
  const detector = Object.values(results.detectors).find(({ substance }) => substance === "Hydrogen");
  check("what is calculated stands on it", Boolean(detector), detector);
}

/** What cannot be is refused with field, value and remedy, and what was typed is still there. */
async function refused() {
  await page.goto(`${place}#substances`);
  await page.fill("#substance-1-lfl", "140");
  await page.click("button:has-text('Set Hydrogen')");
  await page.waitForSelector("[data-refused]");
  const words = await page.textContent("[data-refused]");
  check("a limit above 100 % is refused by name", /flammable limit/i.test(words), words);
  check("with its value", /140/.test(words), words);
  check("and what to type", /type|state|between|below/i.test(words), words);
  check("what was typed is still there", (await page.inputValue("#substance-1-lfl")) === "140");
  const { project } = await state();
  check("the project is unchanged", project.substances[0].figures[0].value === 3.9);
}

/** A substance that is in no table, typed with the keyboard alone. */
async function ownByKeyboard() {
  await page.goto(`${place}#substances`);
  await page.focus("summary:has-text('State a substance that is in no table here')");
  await page.keyboard.press("Enter");
  await page.focus("#own-name");
  await page.keyboard.type("Thinner 12");
  await page.focus("form:has(#own-name) [name=hazard][value=flammable]");
  await page.keyboard.press("Space");
  await page.focus("form:has(#own-name) [name=hazards_reason]");
  await page.keyboard.type("Data sheet T-12");
  for (const [field, value] of [
    ["molar_mass", "92"],
    ["lfl", "1.1"],
  ]) {
    await page.focus(`#own-${field}`);
    await page.keyboard.type(value);
    await page.keyboard.press("Tab");
    await page.keyboard.type("Data sheet T-12");
  }
  await page.keyboard.press("Enter");
  await page.waitForSelector("#substance-2-name");
  const own = (await state()).project.substances[1];
  check("the substance is the project's own", own?.name === "Thinner 12" && !own.of, own);
  check("with the hazard that was ticked", `${own.hazards.value}` === "flammable", own.hazards);
  const found = await (await fetch(`${server.base}/api/substances?q=thinner&project=1`)).json();
  check("it is found where a source is given one", JSON.stringify(found).includes("Thinner 12"), found);
  await page.selectOption("#substance-2-sees_infrared", "sees it");
  await page.fill("form:has(#substance-2-name) [name=sees_infrared_reason]", "Tried with a sample");
  await page.click("button:has-text('Set Thinner 12')");
  await page.waitForLoadState("networkidle");
  const [sensing] = (await state()).project.substances[1].sensing;
  check("what sees it is stated", sensing?.principle === "infrared" && sensing.sees, sensing);
  const lacks = await page.textContent("form:has(#substance-2-name)");
  check("what is not stated is said", /no |not /i.test(lacks));
}

/** @param {number} width @param {number} height */
async function nothingIsCut(width, height) {
  await page.setViewportSize({ width, height });
  await page.goto(`${place}#substances`);
  for (const summary of await page.locator("summary:has-text('substance')").all()) await summary.click();
  const cut = await page.evaluate(() => {
    const inside = (/** @type {Element} */ one) => {
      const { left, right } = one.getBoundingClientRect();
      return left >= 0 && right <= document.documentElement.clientWidth;
    };
    const parts = [...document.querySelectorAll("form.substance :is(label, input, select, button)")];
    const shown = parts.filter((one) => one.getBoundingClientRect().width > 0);
    return { n: shown.length, out: shown.filter((one) => !inside(one)).map((one) => one.outerHTML) };
  });
  check(`the form stands on the page at ${width} px`, cut.n > 40 && cut.out.length === 0, cut);
  if (!shots) return;
  await page.locator("#substances").scrollIntoViewIfNeeded();
  await page.screenshot({ path: join(shots, `substances-${width}.png`), fullPage: true });
}

/** Removed, the published figure counts again. */
async function takenBack() {
  await page.goto(`${place}#substances`);
  await page.click("[form=remove-substance-1]");
  await page.waitForSelector("#substance-1-lfl", { state: "detached" });
  const { project } = await state();
  check("taken back, only the own substance is left", project.substances.length === 1, project.substances);
}
