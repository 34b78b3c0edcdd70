/**
 * Figures of substances that a project states, on its page: a substance of its own by keyboard
 * alone, figures and what a sensor sees of a known one by pointer, a refused value said in the form,
 * and all taken back; at three sizes, nothing cut.
 */

import { createProject, startScript } from "./support.mjs";

const SIZES = [
  [1280, 800],
  [1440, 900],
  [820, 1180],
];
const GROUND = "safety data sheet, 2024";

const { check, server, page, shot, run } = await startScript("substances");
const project = await createProject(server.base, "Own substances");
const state = async () => (await fetch(`${server.base}/api/projects/${project}`)).json();
const form = (/** @type {string} */ name) =>
  page.locator("form.substance").filter({ has: page.locator("legend", { hasText: name }) });

await run(async () => {
  await page.goto(`${server.base}/projects/${project}#substances`);
  await ownByKeyboard();
  await knownByPointer();
  await refused();
  await atSizes();
  await takenBack();
});

/** Tab to the next field, then type into it. @param {string[]} texts */
async function typed(...texts) {
  for (const text of texts) {
    await page.keyboard.press("Tab");
    if (text) await page.keyboard.type(text);
  }
}

async function ownByKeyboard() {
  await page.locator("summary", { hasText: "in no table here" }).focus();
  await page.keyboard.press("Enter");
  await typed("Thinner 12", "", "");
  await page.keyboard.press("Tab");
  await page.keyboard.press("Space");
  await typed("", "", "", GROUND);
  await typed("much", GROUND, "1.1", GROUND);
  await page.keyboard.press("Enter");
  const wrong = page.locator("form.substance [data-refused]");
  await wrong.waitFor();
  const said = await wrong.textContent();
  check(
    "what is refused is named with field, value and what to do",
    /molar mass of Thinner 12/i.test(said) && /much/.test(said) && /number/.test(said),
    said,
  );
  check("nothing typed is lost", (await page.inputValue("#own-lfl")) === "1.1");
  await shot("refused");
  await page.focus("#own-molar_mass");
  await page.keyboard.press("Control+a");
  await page.keyboard.type("92,14");
  await page.keyboard.press("Enter");
  await form("Thinner 12").waitFor();
  const [thinner] = (await state()).project.substances;
  check(
    "the substance is the project's, with its figures and their ground",
    thinner.name === "Thinner 12" &&
      thinner.figures.map((one) => `${one.figure} ${one.value} ${one.reason}`).join() ===
        `molar_mass 92.14 ${GROUND},lfl 1.1 ${GROUND}`,
    thinner,
  );
  const shown = await form("Thinner 12").textContent();
  const found = await (
    await fetch(`${server.base}/api/substances?q=thinner&project=${project}`)
  ).json();
  check("a source can be given it", JSON.stringify(found).includes("Thinner 12"), found);
  check("its density is worked out from them", /density relative to air\s*3\.1/.test(shown), shown);
}

async function knownByPointer() {
  await page.locator("summary", { hasText: "of a known substance" }).click();
  await page.fill("#known-substance", "methane");
  await page.fill("#known-lfl", "5");
  const known = page.locator("form.substance").filter({ has: page.locator("#known-substance") });
  await known.locator("[name=lfl_reason]").fill(GROUND);
  await page.selectOption("#known-infrared", "no");
  await known.locator("[name=infrared_reason]").fill("filter too narrow");
  await page.click("text=State these figures");
  const methane = form("Methane");
  await methane.waitFor();
  check(
    "a figure is shown as theirs, with the published one and that it is less safe",
    /yours; published\s*4\.4.*yours is less safe/s.test(await methane.textContent()),
    await methane.textContent(),
  );
  check("the published figure opens its reason", await methane.locator(".sub a.why").isVisible());
  check(
    "what a sensor sees as well",
    /yours; published sees it/.test(await methane.textContent()),
    await methane.textContent(),
  );
  const stated = (await state()).project.substances[1];
  check(
    "the principle is stated with its ground",
    JSON.stringify(stated.sensing) ===
      JSON.stringify([{ principle: "infrared", sees: false, reason: "filter too narrow" }]),
    stated.sensing,
  );
  check(
    "what is not stated is folded away",
    !(await methane.locator("[name=ufl]").isVisible()) &&
      (await methane.locator("[name=lfl]").isVisible()),
  );
}

/** A ground is missing: the form says so and keeps the value; with one it is taken. */
async function refused() {
  const methane = form("Methane");
  await methane.locator("summary").click();
  await methane.locator("[name=ufl]").fill("4");
  await methane.locator("button.alt").click();
  const wrong = methane.locator("[data-refused]");
  await wrong.waitFor();
  const said = await wrong.textContent();
  check("a figure without ground is refused", /upper flammable limit of Methane/i.test(said), said);
  await methane.locator("[name=ufl_reason]").fill(GROUND);
  await methane.locator("button.alt").click();
  await page.waitForFunction(() =>
    [...document.querySelectorAll("[data-refused]")].some((one) => /below/.test(one.textContent ?? "")),
  );
  check(
    "limits that cross are refused with both",
    /5 %vol.*4 %vol/.test(await wrong.textContent()),
    await wrong.textContent(),
  );
  await methane.locator("[name=ufl]").fill("16");
  await methane.locator("button.alt").click();
  await page.waitForFunction(() => !document.querySelector("[data-refused]"));
  await page.waitForLoadState();
  const figures = (await state()).project.substances[1].figures;
  check("the next try is taken", figures.length === 2, figures);
}

async function atSizes() {
  for (const [width, height] of SIZES) {
    await page.setViewportSize({ width, height });
    await page.goto(`${server.base}/projects/${project}?${width}#substances`);
    for (const one of await page.locator(".substance summary, summary:has-text('table here')").all()) {
      await one.click();
    }
    const cut = await page.locator("form.substance :is(input, select, label):visible").evaluateAll(
      (all) =>
        all
          .filter((one) => one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 0)
          .map((one) => one.getAttribute("name") ?? one.textContent),
    );
    check(`nothing is cut at ${width} px`, cut.length === 0, cut);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    check(`the forms fit ${width} px`, wide <= width, wide);
    await page.locator("#substances").scrollIntoViewIfNeeded();
    await shot(`${width}`);
    await page.locator("form.substance").last().scrollIntoViewIfNeeded();
    await shot(`${width}-own`);
  }
}

async function takenBack() {
  await form("Methane").locator("button.link").click();
  await form("Methane").waitFor({ state: "detached" });
  await form("Thinner 12").locator("button.link").focus();
  await page.keyboard.press("Enter");
  await form("Thinner 12").waitFor({ state: "detached" });
  check("nothing is stated any more", (await state()).project.substances.length === 0);
}
