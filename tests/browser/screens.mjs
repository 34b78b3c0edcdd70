/**
 * Every screen, of the example and of an empty project, at three sizes: nothing wider than the
 * window, no fault in the page. With BRATTICE_SHOTS=DIR the pictures are kept there.
 */

import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { createProject, makeChecks, startBrowser, startServer } from "./support.mjs";

const SIZES = [
  [1280, 800],
  [1440, 900],
  [820, 1180],
];
const SCREENS = ["", "/floors/1", "/wiring", "/schedules", "/findings", "/documents", "/calculation"];
const shots = process.env.BRATTICE_SHOTS;
if (shots) mkdirSync(shots, { recursive: true });

const { check, end } = makeChecks();
const server = await startServer();
const { browser, page, faults } = await startBrowser();
let code = 1;
try {
  const empty = await createProject(server.base, "Nothing drawn yet");
  const paths = ["/projects", "/help"].concat(
    ["1", empty].flatMap((id) => SCREENS.map((screen) => `/projects/${id}${screen}`)),
  );
  for (const [width, height] of SIZES) {
    await page.setViewportSize({ width, height });
    for (const path of paths) await look(path, width);
  }
  check("nothing went wrong in the pages", faults.length === 0, faults);
  code = end();
} finally {
  await browser.close();
  await server.stop();
}
process.exit(code);

/** @param {string} path @param {number} width */
async function look(path, width) {
  await page.goto(server.base + path, { waitUntil: "networkidle" });
  if (path.includes("/floors/")) await page.waitForSelector("body[data-ready]");
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  check(`${path} fits ${width} px`, wide <= width, wide);
  if (shots) {
    const name = `${path.slice(1).replaceAll("/", "-")}-${width}.png`;
    await page.screenshot({ path: join(shots, name), fullPage: !path.includes("/floors/") });
  }
}
