/**
 * The section and the chart of a release: a source is selected, its slider moved by keyboard, and
 * front, cursor and readings follow; at three sizes, nothing on another, symbols included. With BRATTICE_SHOTS=DIR
 * the pictures are kept there.
 */

import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { makeChecks, openFloor, startBrowser, startServer } from "./support.mjs";

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
let code = 1;
try {
  const state = await (await fetch(`${server.base}/api/projects/1`)).json();
  const releases = Object.entries(state.results.releases);
  const shown = kinds(releases);
  check("the example has a light, a heavy, a cold release and a pool", shown.length === 4, shown);
  for (const [width, height] of SIZES) {
    await page.setViewportSize({ width, height });
    for (const id of shown) await look(id, state, width);
    await sentenceInstead(width);
  }
  await sheetOnScreen(shown[0]);
  check("nothing went wrong in the pages", faults.length === 0, faults);
  code = end();
} finally {
  await browser.close();
  await server.stop();
}
process.exit(code);

/** One source of each kind: rises, falls, cold, off a pool. @returns {string[]} */
function kinds(all) {
  const find = (/** @type {(release: any) => boolean} */ holds) =>
    all.find(([, release]) => release.cases.length > 0 && holds(release))?.[0];
  const one = (/** @type {any} */ release, motion) =>
    release.cases.length === 1 && release.cases[0].motion === motion;
  return [
    find((release) => one(release, "rises")),
    find((release) => one(release, "falls") && !release.pool),
    find((release) => release.mixing !== null),
    find((release) => Boolean(release.pool)),
  ].filter(Boolean);
}

async function look(id, state, width) {
  const { floor, name } = state.project.sources.find((source) => String(source.id) === id);
  await openFloor(page, server.base, "1", floor, `?select=source-${id}`);
  const slider = page.locator(".time-slider");
  await slider.waitFor();
  const read = () =>
    page.evaluate(() => ({
      front: document.querySelector("[data-front]")?.getAttribute("data-front") ?? null,
      cursor: Number(document.querySelector("[data-cursor]")?.getAttribute("data-cursor")),
      said: document.querySelector(".time-shown")?.textContent,
      readings: [...document.querySelectorAll("[data-reading]")].map((one) => one.textContent),
    }));
  await slider.focus();
  await page.keyboard.press("Home");
  await page.keyboard.press("ArrowRight");
  const early = await read();
  for (let n = 0; n < 60; n += 1) await page.keyboard.press("ArrowRight");
  const late = await read();
  check(`${name}: the cursor moves with the arrow keys`, late.cursor > early.cursor, [early, late]);
  check(`${name}: the time is said`, late.said !== early.said, [early.said, late.said]);
  check(`${name}: the readings follow`, `${late.readings}` !== `${early.readings}`, late.readings);
  if (state.results.releases[id].cases[0].front.length > 0) {
    check(`${name}: the front moves`, late.front !== early.front, [early.front, late.front]);
  }
  await poolIsDrawn(name, state.results.releases[id].pool);
  await nothingOverlaps(name, width);
  await symbolsStandApart(name, width);
  if (shots) await page.screenshot({ path: join(shots, `release-${id}-${width}.png`) });
  if (state.results.releases[id].mixing) {
    await page.locator('[data-choice="mixing curve"]').click();
    const lines = await page.locator(".chart-drawing [data-line]").count();
    check(`${name}: both mixing curves are drawn`, lines === 2, lines);
    if (shots) await page.screenshot({ path: join(shots, `release-${id}-mixing-${width}.png`) });
  }
}

/** A pool is as wide as a round one of its surface, and its words stand clear of the others. */
async function poolIsDrawn(name, pool) {
  const { wide, per_metre, words } = await page.evaluate(() => {
    const box = (/** @type {Element} */ one) => one.getBoundingClientRect();
    const drawing = document.querySelector(".section-drawing");
    const pool = drawing.querySelector(".pool");
    const height = box(drawing.querySelector("path.dimension")).height;
    const ceiling = parseFloat(drawing.querySelector("text.dimension").textContent);
    const texts = [...drawing.querySelectorAll(".chart-text")].map((text) => {
      const { left, top, right, bottom } = box(text);
      return { says: text.textContent, left, top, right, bottom };
    });
    return { wide: pool && box(pool).width, per_metre: height / ceiling, words: texts };
  });
  if (!pool) {
    check(`${name}: no pool is drawn where there is none`, wide === null, wide);
    return;
  }
  const due = 2 * Math.sqrt(pool.value / Math.PI) * per_metre;
  check(`${name}: its pool is drawn to scale`, Math.abs(wide / due - 1) < 0.05, [wide, due]);
  check(`${name}: its pool is named`, words.some(({ says }) => /^pool [\d.]+\u202fm²$/.test(says)), words);
  const clash = words.some((a, n) =>
    words
      .slice(n + 1)
      .some((b) => a.left < b.right && b.left < a.right && a.top < b.bottom - 1 && b.top < a.bottom - 1),
  );
  check(`${name}: words beside the section stand clear`, !clash, words);
}

/** The parts beside the section stand clear of one another and inside the strip. */
async function nothingOverlaps(name, width) {
  const boxes = await page.evaluate(() => {
    const parts = [".section-place", ".release-head", ".chart-drawing", ".time-slider", ".readout"];
    const strip = document.querySelector(".strip").getBoundingClientRect();
    return {
      strip: [strip.left, strip.top, strip.right, strip.bottom],
      parts: parts.map((part) => {
        const { left, top, right, bottom } = document.querySelector(part).getBoundingClientRect();
        return { part, box: [left, top, right, bottom] };
      }),
      chart: document.querySelector(".chart-drawing").getBoundingClientRect().height,
    };
  });
  const slack = 1;
  for (const [idx, a] of boxes.parts.entries()) {
    const inside =
      a.box[0] >= boxes.strip[0] - slack &&
      a.box[1] >= boxes.strip[1] - slack &&
      a.box[2] <= boxes.strip[2] + slack &&
      a.box[3] <= boxes.strip[3] + slack;
    check(`${name}: ${a.part} is inside the strip at ${width} px`, inside, [a.box, boxes.strip]);
    for (const b of boxes.parts.slice(idx + 1)) {
      const apart =
        a.box[2] <= b.box[0] + slack ||
        b.box[2] <= a.box[0] + slack ||
        a.box[3] <= b.box[1] + slack ||
        b.box[3] <= a.box[1] + slack;
      check(`${name}: ${a.part} and ${b.part} stand apart at ${width} px`, apart, [a.box, b.box]);
    }
  }
  check(`${name}: the chart can be read at ${width} px`, boxes.chart >= 90, boxes.chart);
}

/** No symbol of the section covers another, and no tag lies on a symbol. */
async function symbolsStandApart(name, width) {
  const { symbols, tags } = await page.evaluate(() => {
    const all = (/** @type {string} */ selector) =>
      [...document.querySelectorAll(`.section-drawing ${selector}`)].map((one) => {
        const { left, top, right, bottom } = one.getBoundingClientRect();
        return { says: one.closest("[aria-label]").getAttribute("aria-label"), left, top, right, bottom };
      });
    return { symbols: all(":is(.ring, .source .symbol, .panel .box)"), tags: all("text.tag") };
  });
  // The browser's box of a line is higher than its letters by this at either edge, px.
  const above = 3.5;
  const on = (a, b, slack) =>
    a.left < b.right - 1 && b.left < a.right - 1 && a.top < b.bottom - slack && b.top < a.bottom - slack;
  const hits = (list, others, slack) =>
    list.flatMap((a) => others.filter((b) => a !== b && on(a, b, slack)).map((b) => [a.says, b.says]));
  const covered = hits(symbols, symbols, 1);
  check(`${name}: no symbol of the section covers another at ${width} px`, covered.length === 0, covered);
  const hidden = hits(tags, symbols, above);
  check(`${name}: no words of the section lie on a symbol at ${width} px`, hidden.length === 0, hidden);
}

/** Nothing selected: words and links, no empty box. */
async function sentenceInstead(width) {
  await openFloor(page, server.base, "1", 1);
  const said = page.locator(".release-panel .said");
  check(`a sentence stands there at ${width} px`, /Select/.test(await said.innerText()));
  await said.locator("button").first().click();
  const selection = await page.evaluate(() => window.bratticeTest.selection());
  check("its link selects a source", selection?.kind === "source", selection);
}

/** The calculation sheet on screen opens the reason of a figure. */
async function sheetOnScreen(id) {
  await page.setViewportSize({ width: 1280, height: 800 });
  await page.goto(`${server.base}/projects/1/calculation`);
  await page.locator(`a[href$="calculation?source=${id}"]`).click();
  const figures = await page.locator(".calculation-figure svg").count();
  check("sections and chart stand on the sheet", figures >= 2, figures);
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  check("the sheet fits 1280 px", wide <= 1280, wide);
  await page.locator(".calculation-steps a.why").first().click();
  await page.waitForSelector("dialog[open]");
  if (shots) await page.screenshot({ path: join(shots, "calculation.png") });
}
