/**
 * What the browser tests share: a real server on a free port, Debian's Chromium, checks that count.
 */

import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { createServer } from "node:net";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { chromium } from "playwright-core";

const ROOT = resolve(import.meta.dirname, "../..");
const CHROMIUM = process.env.BRATTICE_CHROMIUM ?? "/usr/bin/chromium";
const BINARY = process.env.BRATTICE_BIN ?? join(ROOT, "target/debug/brattice");

/** @returns {Promise<number>} */
function freePort() {
  return new Promise((found, failed) => {
    const probe = createServer();
    probe.on("error", failed);
    probe.listen(0, "127.0.0.1", () => {
      const { port } = /** @type {import("node:net").AddressInfo} */ (probe.address());
      probe.close(() => found(port));
    });
  });
}

/** Starts the program with a database of its own. */
export async function startServer() {
  const port = await freePort();
  const data = mkdtempSync(join(tmpdir(), "brattice-browser-"));
  const child = spawn(BINARY, ["serve", "--port", String(port), "--data", data], {
    stdio: ["ignore", "inherit", "inherit"],
  });
  const gone = new Promise((done) => {
    child.once("exit", done);
  });
  const base = `http://127.0.0.1:${port}`;
  const until = Date.now() + 20_000;
  for (;;) {
    try {
      if ((await fetch(`${base}/projects`)).ok) break;
    } catch {
      /* it is still starting */
    }
    if (child.exitCode !== null || Date.now() > until) {
      throw new Error(`the server did not start: ${BINARY}`);
    }
    await new Promise((again) => {
      setTimeout(again, 100);
    });
  }
  const stop = async () => {
    child.kill("SIGTERM");
    await gone;
    rmSync(data, { recursive: true, force: true });
  };
  return { base, stop };
}

/** @param {object} [options] of the browser context */
export async function startBrowser(options = {}) {
  const browser = await chromium.launch({ executablePath: CHROMIUM, args: ["--no-sandbox"] });
  const context = await browser.newContext({
    viewport: { width: 1440, height: 900 },
    acceptDownloads: true,
    ...options,
  });
  if (process.env.BRATTICE_STATIC) await serveStatic(context, process.env.BRATTICE_STATIC);
  const page = await context.newPage();
  const faults = /** @type {string[]} */ ([]);
  page.on("pageerror", (error) => faults.push(String(error)));
  page.on("console", (message) => {
    if (message.type() === "error" && !/status of (409|422)/.test(message.text())) {
      faults.push(message.text());
    }
  });
  return { browser, context, page, faults };
}

const TYPES = { js: "text/javascript", css: "text/css", svg: "image/svg+xml", woff2: "font/woff2" };

/** Takes the static files from a folder, to try a change without building the program again. */
async function serveStatic(context, folder) {
  await context.route(/\/static\/[^/]+\//, (route) => {
    const path = new URL(route.request().url()).pathname.replace(/^\/static\/[^/]+\//, "");
    const file = join(folder, path);
    return route.fulfill({ body: readFileSync(file), contentType: TYPES[path.split(".").pop()] });
  });
}

/**
 * Makes a project by the form's route and gives its id.
 * @param {string} base
 * @param {string} name
 */
export async function createProject(base, name) {
  const body = new URLSearchParams({
    name,
    client: "Client, invented",
    site: "Site, invented",
    reference: "T-1",
    jurisdiction: "eu",
    units: "metric",
  });
  const answer = await fetch(`${base}/projects`, {
    method: "POST",
    body,
    redirect: "manual",
    headers: { origin: base },
  });
  const place = answer.headers.get("location") ?? "";
  const id = /\/projects\/([^/?]+)/.exec(place)?.[1];
  if (!id) throw new Error(`no project was made: ${answer.status} ${await answer.text()}`);
  return id;
}

/**
 * Adds things to a project as one edit.
 * @param {string} base @param {string} project @param {{kind: string, value: any}[]} items
 */
export async function addItems(base, project, items) {
  const route = `${base}/api/projects/${project}`;
  const { version } = await (await fetch(route)).json();
  const edits = items.map((item) => ({ do: "add", item }));
  const edit = { do: "all", label: "set up", edits };
  return fetch(`${route}/edits`, {
    method: "POST",
    headers: { "content-type": "application/json", origin: base },
    body: JSON.stringify({ version, edit, label: "set up" }),
  });
}

/**
 * A room of its own project, open in the editor, with what else is given.
 * @param {any} script of {@link startScript} @param {any} room what differs from a workshop
 * @param {{kind: string, value: any}[]} others
 */
export async function openRoom({ check, server, page }, room, others = []) {
  const project = await createProject(server.base, `${room.name}, invented`);
  const plain = { id: 1, floor: 1, number: "G.01", room_use: "workshop", ceiling: 3 };
  const first = { kind: "room", value: { ...plain, air_changes: 2, ...room } };
  const placed = await addItems(server.base, project, [first, ...others]);
  check("the room is drawn", placed.ok, await placed.text());
  await openFloor(page, server.base, project, 1);
  return project;
}

/** Counts what holds and what does not. */
export function makeChecks() {
  let passed = 0;
  let failed = 0;
  /** @param {string} sentence @param {boolean} holds @param {any} [saw] */
  const check = (sentence, holds, saw = "") => {
    if (holds) passed += 1;
    else {
      failed += 1;
      console.log(`FAILED ${sentence}${saw === "" ? "" : `: ${JSON.stringify(saw)}`}`);
    }
  };
  const end = () => {
    console.log(`${passed} passed, ${failed} failed`);
    return failed === 0 ? 0 : 1;
  };
  return { check, end };
}

/**
 * Server, browser and checks of one script. `run` goes through its steps and ends the process;
 * `shot` keeps a picture where BRATTICE_SHOTS names a folder.
 * @param {string} name begins the names of its pictures
 * @param {object} [options] of the browser context
 */
export async function startScript(name, options = {}) {
  const { check, end } = makeChecks();
  const server = await startServer();
  const { browser, page, faults } = await startBrowser(options);
  const folder = process.env.BRATTICE_SHOTS;
  if (folder) mkdirSync(folder, { recursive: true });
  const shot = async (/** @type {string} */ what) => {
    if (folder) await page.screenshot({ path: join(folder, `${name}-${what}.png`) });
  };
  const run = async (/** @type {() => Promise<void>} */ steps) => {
    try {
      await steps();
    } catch (error) {
      await shot("stopped");
      check("the script goes through", false, String(error));
    }
    check("nothing went wrong in the pages", faults.length === 0, faults);
    const code = end();
    await browser.close();
    await server.stop();
    process.exit(code);
  };
  return { check, server, page, shot, run };
}

/** Waits until the editor holds a state for which `holds` is true, and gives that state. */
export async function untilState(page, holds, timeout = 20_000) {
  const until = Date.now() + timeout;
  for (;;) {
    const state = await page.evaluate(() => window.bratticeTest?.state() ?? null);
    if (state && holds(state)) return state;
    if (Date.now() > until) throw new Error(`the editor never came to: ${holds}`);
    await page.waitForTimeout(60);
  }
}

/** Clicks a place of the floor, m. */
export async function clickFloor(page, x, y) {
  const at = await page.evaluate(([a, b]) => window.bratticeTest.toClient(a, b), [x, y]);
  await page.mouse.move(at.x, at.y, { steps: 3 });
  await page.mouse.down();
  await page.mouse.up();
}

/** Drags from one place of the floor to another, m. */
export async function dragFloor(page, from, to, steps = 8) {
  const [a, b] = await page.evaluate(
    (points) => points.map(([x, y]) => window.bratticeTest.toClient(x, y)),
    [from, to],
  );
  await page.mouse.move(a.x, a.y);
  await page.mouse.down();
  await page.mouse.move(b.x, b.y, { steps });
  await page.mouse.up();
}

/** Opens a floor and waits until the editor is ready. */
export async function openFloor(page, base, project, floor, query = "") {
  await page.goto(`${base}/projects/${project}/floors/${floor}${query}`);
  await page.waitForSelector("body[data-ready='true']", { timeout: 20_000 });
}
