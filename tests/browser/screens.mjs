/**
 * Every screen, of the example, of an empty project and of crowded ones, at three sizes: nothing
 * wider than the window, no word of a floor on another, on a symbol or beyond the sheet, no symbol
 * on another, no fault in the page. With BRATTICE_SHOTS=DIR the pictures are kept there.
 */

import { mkdirSync } from "node:fs";
import { join } from "node:path";
import { crowded } from "./crowded.mjs";
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
  const full = await createProject(server.base, "A crowd of detectors");
  await crowded(server.base, full);
  const large = await createProject(server.base, "A crowd on a large floor");
  await crowded(server.base, large, 2.5);
  const paths = ["/projects", "/help", "/projects/1/floors/2"].concat(
    ["1", empty, full].flatMap((id) => SCREENS.map((screen) => `/projects/${id}${screen}`)),
    [`/projects/${large}/floors/1`],
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
  if (path.includes("/floors/")) {
    await page.waitForSelector("body[data-ready]");
    await page.waitForSelector(".plan-drawing[data-labels]:not([data-labels=''])");
    await lookAtWords(`${path} at ${width} px`, path);
  }
  const wide = await page.evaluate(() => document.documentElement.scrollWidth);
  check(`${path} fits ${width} px`, wide <= width, wide);
  const unsaid = await page.evaluate(() =>
    [...document.querySelectorAll(".table-wrap")]
      .filter((wrap) => wrap.scrollWidth > wrap.clientWidth + 1)
      .filter((wrap) => wrap.previousElementSibling.hidden)
      .map((wrap) => wrap.getAttribute("aria-label")),
  );
  check(`${path}: a table that goes on beyond ${width} px says so`, unsaid.length === 0, unsaid);
  if (shots) {
    const name = `${path.slice(1).replaceAll("/", "-")}-${width}.png`;
    await page.screenshot({ path: join(shots, name), fullPage: !path.includes("/floors/") });
  }
}

/** The words of a floor lie on nothing and are whole. @param {string} name @param {string} path */
async function lookAtWords(name, path) {
  const seen = await page.evaluate(() => {
    const rect = (element) => {
      const { left, top, right, bottom } = element.getBoundingClientRect();
      return { left, top, right, bottom };
    };
    const all = (selector, within = document) => [...within.querySelectorAll(selector)];
    const words = all(".words").map((group) => {
      const boxes = all("text", group).map(rect);
      return {
        text: group.textContent,
        left: Math.min(...boxes.map(({ left }) => left)),
        top: Math.min(...boxes.map(({ top }) => top)),
        right: Math.max(...boxes.map(({ right }) => right)),
        bottom: Math.max(...boxes.map(({ bottom }) => bottom)),
      };
    });
    const floor = ".plan-drawing .floor";
    const symbols = all(`${floor} :is(.ring, .panel .box, .source .symbol)`).map((element) => ({
      ...rect(element),
      round: element.matches(".ring"),
      thing: element.closest("[data-kind]")?.getAttribute("aria-label"),
    }));
    const detectors = all(`${floor} .detector`).length;
    const tags = all("[data-tag]").length;
    // What clips the floor has no box of its own on the screen.
    const clip = document.querySelector("#drawing-area rect");
    const [x, y, width, height] = ["x", "y", "width", "height"].map((name) =>
      Number(clip.getAttribute(name)),
    );
    const { left, top } = rect(document.querySelector(".plan-drawing"));
    const sheet = { left: left + x, top: top + y, right: left + x + width, bottom: top + y + height };
    return { words, symbols, detectors, tags, sheet };
  });
  // The browser's box of a line is higher than its letters by this at either edge, px.
  const [slack, above] = [2, 3.5];
  const overlap = (a, b) =>
    a.left < b.right - slack &&
    b.left < a.right - slack &&
    a.top < b.bottom - above &&
    b.top < a.bottom - above;
  const onSymbol = (word, { round, ...box }) => {
    if (!round) return overlap(word, box);
    const [x, y] = [(box.left + box.right) / 2, (box.top + box.bottom) / 2];
    const dx = x - Math.min(word.right, Math.max(word.left, x));
    const dy = y - Math.min(word.bottom, Math.max(word.top, y));
    return Math.hypot(dx, dy) < (box.right - box.left) / 2 - slack;
  };
  const { words, symbols, detectors, tags, sheet } = seen;
  // Two circles touch nowhere on their boxes' corners.
  const covers = (a, b) => {
    if (!a.round || !b.round) return a.round ? onSymbol(b, a) : onSymbol(a, b);
    const middle = ({ left, right, top, bottom }) => [(left + right) / 2, (top + bottom) / 2];
    const [[ax, ay], [bx, by]] = [middle(a), middle(b)];
    return Math.hypot(ax - bx, ay - by) < a.right - a.left - slack;
  };
  const covered = symbols.flatMap((a, idx) =>
    symbols
      .slice(idx + 1)
      .filter((b) => covers(a, b))
      .map((b) => [a.thing, b.thing]),
  );
  check(`${name}: no symbol lies on another`, covered.length === 0, covered);
  const pairs = words.flatMap((a, idx) =>
    words
      .slice(idx + 1)
      .filter((b) => overlap(a, b))
      .map((b) => [a.text, b.text]),
  );
  check(`${name}: no word lies on another`, pairs.length === 0, pairs);
  const hidden = words.filter((word) => symbols.some((symbol) => onSymbol(word, symbol)));
  check(`${name}: no word lies on a symbol`, hidden.length === 0, hidden.map(({ text }) => text));
  const cut = words.filter(
    ({ left, top, right, bottom }) =>
      left < sheet.left || top < sheet.top || right > sheet.right || bottom > sheet.bottom,
  );
  check(`${name}: every word is whole`, cut.length === 0, cut.map(({ text }) => text));
  // A floor so crowded that there is no room between the symbols shows its tags closer up.
  const few = path.startsWith("/projects/1/") && tags < detectors * 0.85;
  check(`${name}: nearly every detector has its tag`, !few, [tags, detectors]);
}
