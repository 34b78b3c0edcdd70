/**
 * What a new user meets on an empty floor: the view moves only by the user's hand, the plan keeps
 * its fade, a file that is chosen is laid, a placing tool places, steps and counts say what is open.
 */

import { writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { deflateSync } from "node:zlib";
import { createProject, startScript, untilState } from "./support.mjs";

const { check, server, page, shot, run } = await startScript("views", {
  viewport: { width: 1280, height: 800 },
});
const project = await createProject(server.base, "Views");
await run(async () => {
  await page.goto(`${server.base}/projects/${project}`);
  check(
    "a floor without a room says so in the page's own type",
    (await page.locator(".thumb .blank").textContent()) === "no room drawn yet",
  );
  await page.goto(`${server.base}/projects/${project}/floors/1`);
  await page.waitForSelector("body[data-ready]");
  await shot("empty");
  await layPlan();
  await drawRooms();
  await placeSource();
  await counts();
  await knownFlow();
  await detectors();
  await panel();
  await chosenByNumber();
});

/**
 * Scale, px a metre, and what lies in the middle, m; with the fade of the plan. A pane that has
 * opened or closed is followed within a frame, so two go by first.
 */
async function view() {
  return page.evaluate(async () => {
    for (const _ of [1, 2]) await new Promise(requestAnimationFrame);
    const { toClient } = window.bratticeTest;
    const [a, b] = [toClient(0, 0), toClient(1, 0)];
    const sheet = document.querySelector("#sheet svg").getBoundingClientRect();
    const scale = b.x - a.x;
    const band = document.querySelector(".band-ground").getBoundingClientRect();
    const middle = [
      ((sheet.left + sheet.right) / 2 - a.x) / scale,
      ((sheet.top + band.top + 16 * (band.top > 0 ? 1 : 0)) / 2 - a.y) / scale,
    ];
    const plan = document.querySelector(".plan-sheet");
    let fade = 1;
    for (let one = plan; one; one = one.parentElement) fade *= Number(getComputedStyle(one).opacity);
    return { scale, middle, fade };
  });
}

/** @param {string} what @param {any} before */
async function isKept(what, before) {
  const now = await view();
  check(`${what} keeps the scale`, Math.abs(now.scale / before.scale - 1) < 1e-6, [before, now]);
  const far = Math.hypot(now.middle[0] - before.middle[0], now.middle[1] - before.middle[1]);
  check(`${what} keeps what is in the middle`, far * now.scale < 2, [before.middle, now.middle]);
  check(`${what} keeps the plan's fade`, Math.abs(now.fade - before.fade) < 1e-6, [before, now]);
}

/** A grey picture of 800 by 600 px with a frame, written here. */
function picture() {
  const [width, height] = [800, 600];
  const rows = Buffer.alloc((width + 1) * height, 0xff);
  for (let y = 0; y < height; y += 1) {
    rows[y * (width + 1)] = 0;
    for (let x = 0; x < width; x += 1) {
      if (x < 4 || y < 4 || x >= width - 4 || y >= height - 4) rows[y * (width + 1) + 1 + x] = 0;
    }
  }
  const table = Array.from({ length: 256 }, (_, n) => {
    let c = n;
    for (let k = 0; k < 8; k += 1) c = c & 1 ? 0xedb88320 ^ (c >>> 1) : c >>> 1;
    return c >>> 0;
  });
  const chunk = (type, data) => {
    const body = Buffer.concat([Buffer.from(type), data]);
    let crc = 0xffffffff;
    for (const byte of body) crc = table[(crc ^ byte) & 255] ^ (crc >>> 8);
    const [length, sum] = [Buffer.alloc(4), Buffer.alloc(4)];
    length.writeUInt32BE(data.length);
    sum.writeUInt32BE((crc ^ 0xffffffff) >>> 0);
    return Buffer.concat([length, body, sum]);
  };
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  head[8] = 8;
  const path = join(tmpdir(), `brattice-views-${process.pid}.png`);
  const signature = Buffer.from([0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a]);
  writeFileSync(
    path,
    Buffer.concat([
      signature,
      chunk("IHDR", head),
      chunk("IDAT", deflateSync(rows)),
      chunk("IEND", Buffer.alloc(0)),
    ]),
  );
  return path;
}

async function layPlan() {
  await page.click("[data-tool=sheet]");
  const chooser = page.waitForEvent("filechooser");
  await page.locator("[data-act=upload]").focus();
  await page.keyboard.press("Enter");
  const wrong = join(tmpdir(), `brattice-views-${process.pid}.txt`);
  writeFileSync(wrong, "no plan");
  await (await chooser).setFiles(wrong);
  await page.waitForSelector("[data-message=wrong]");
  await page.setInputFiles("[data-field=plan-file]", process.env.VIEWS_PLAN ?? picture());
  await untilState(page, (s) => s.project.floors[0].sheet !== null);
  await page.waitForSelector("[data-variant=scale][aria-pressed=true]");
  check("the message is gone once a plan is laid", (await page.locator(".message").count()) === 0);
  const before = await view();
  const corner = await page.evaluate(() => window.bratticeTest.toClient(0, 0));
  const far = await page.evaluate(() => window.bratticeTest.toClient(40, 0));
  await page.mouse.click(corner.x + 10, corner.y + 60);
  await page.mouse.click(far.x - 10, corner.y + 60);
  await page.waitForSelector("[data-field=scale]");
  await page.keyboard.type("20");
  await page.keyboard.press("Enter");
  await untilState(page, (s) => s.project.floors[0].sheet.scale !== null);
  await page.waitForSelector("[data-variant=sheet][aria-pressed=true]");
  const after = await view();
  const there = await page.evaluate(() => window.bratticeTest.toClient(0, 0));
  check("the plan stays where it is when its scale is set", Math.abs(there.x - corner.x) < 1, [
    corner,
    there,
  ]);
  check("and keeps its fade", after.fade === before.fade, [before.fade, after.fade]);
  await shot("scaled");
}

/** A place by its share of the plan's box, on the screen. */
async function onPlan(x, y) {
  const box = await page.locator(".plan-sheet image").boundingBox();
  return [box.x + box.width * x, box.y + box.height * y];
}

async function drawRooms() {
  const before = await view();
  await page.click("[data-tool=rooms]");
  for (const [n, x] of [
    [1, 0.1],
    [2, 0.5],
  ]) {
    await page.mouse.click(...(await onPlan(x, 0.1)));
    await page.mouse.click(...(await onPlan(x + 0.35, 0.5)));
    await untilState(page, (s) => s.project.rooms.length === n);
  }
  await isKept("a room that is drawn", before);
  await page.keyboard.press("Escape");
  await page.keyboard.press("Escape");
  await page.click("#fold");
  await shot("section");
  await isKept("the section that is opened", before);
  await page.click("#fold");
  await isKept("the section that is folded", before);
  const doors = page.locator("[data-step=openings]");
  check(
    "doors are offered and not asked for",
    /optional/.test(await doors.textContent()) && (await doors.getAttribute("class")) === "waits",
    await doors.textContent(),
  );
  const rows = page.locator(".steps > .waits");
  const heights = await rows.evaluateAll((all) => all.map((one) => one.clientHeight));
  check("each step stands in its line", Math.max(...heights) < 48, heights);
  await shot("steps");
}

async function placeSource() {
  await page.click("[data-tool=sources]");
  await page.fill("[data-field=substance]", "hydrogen");
  await page.waitForSelector(".choices [role=option]");
  await page.keyboard.press("Enter");
  await page.mouse.click(...(await onPlan(0.25, 0.3)));
  await untilState(page, (s) => s.project.sources.length === 1);
  await page.keyboard.press("Escape");
  await page.keyboard.press("Escape");
  const step = page.locator("[data-step=sources]");
  check(
    "sources in one room of two leave the step open and say so",
    (await step.getAttribute("class")) === "next" && /1 of 2 rooms/.test(await step.textContent()),
    await step.textContent(),
  );
  await shot("one-source");
  await step.locator("[data-act=none-here]").click();
  check("until somebody says the other has none", (await step.getAttribute("class")) === "done");
}

async function counts() {
  const blockers = page.locator("[data-total=blockers]");
  check("new blockers are told in the title block", /new/.test(await blockers.textContent()));
  const before = await view();
  await blockers.click();
  await page.waitForSelector("[data-act=close-findings]");
  await shot("findings");
  await isKept("the list of findings", before);
  const first = page.locator("#facts .note-box").first();
  check("the list has the new ones first", (await page.locator("#facts h3").first().textContent()) === "New");
  await first.locator("button", { hasText: "Show it" }).click();
  const selected = await page.evaluate(() => window.bratticeTest.selection());
  check("each shows its thing", selected !== null, selected);
  await page.click("[data-act=back]");
  await page.click("[data-act=close-findings]");
  check("once closed none is new", !/new/.test(await blockers.textContent()));
  await page.locator(".opener").first().focus();
  await page.keyboard.press("Enter");
  check("it opens by key", (await page.locator("[data-act=close-findings]").count()) === 1);
  await page.keyboard.press("Escape");
}

async function knownFlow() {
  await page.mouse.click(...(await onPlan(0.25, 0.3)));
  await page.selectOption("[data-field=release]", "flow");
  const rate = page.locator("[data-field=release-rate]");
  await page.waitForSelector("[data-field=release-rate]:focus");
  const opened = {
    value: await rate.inputValue(),
    focus: await page.evaluate(() => document.activeElement?.dataset?.field ?? ""),
    unknown: await page.locator("[data-field=release-rate-none]").count(),
  };
  check(
    "a known flow opens an empty number in hand",
    opened.value === "" && opened.focus === "release-rate" && opened.unknown === 0,
    opened,
  );
  await shot("flow");
  await page.keyboard.type("0.5", { delay: 120 });
  await untilState(page, (s) => s.project.sources[0].release?.kind === "flow");
  check("what is typed outlives the answer", (await rate.inputValue()) === "0.5");
  await page.keyboard.press("Enter");
  const state = await untilState(page, (s) => s.project.sources[0].release?.rate !== null);
  check("the flow is taken", Math.abs(state.project.sources[0].release.rate - 0.5) < 1e-9);
  const cut = await page.locator(".facts select").evaluateAll((all) =>
    all
      .filter((one) => {
        const probe = document.createElement("span");
        probe.style.cssText = "position:absolute;white-space:nowrap";
        probe.style.font = getComputedStyle(one).font;
        document.body.append(probe);
        const wide = Math.max(
          ...[...one.options].map((option) => {
            probe.textContent = option.textContent;
            return probe.getBoundingClientRect().width;
          }),
        );
        probe.remove();
        return wide + 28 > one.getBoundingClientRect().width;
      })
      .map((one) => one.dataset.field),
  );
  check("no choice is cut", cut.length === 0, cut);
  const twice = await page.locator(".facts-list > div").evaluateAll((rows) =>
    rows.filter((row) => row.querySelectorAll(".why-link").length > 1).map((row) => row.textContent),
  );
  check("one why on a line", twice.length === 0, twice);
}

async function detectors() {
  const before = await view();
  await page.keyboard.press("Escape");
  await page.keyboard.press("Escape");
  await page.click("[data-tool=detectors]");
  await page.click("[data-offer=floor]");
  await page.waitForSelector("[data-difference]", { timeout: 60_000 });
  await isKept("a suggestion that is offered", before);
  const offered = await page.locator("[data-difference]").textContent();
  check(
    "it says what it adds and the change of price",
    /\+\d+ detectors?, price \+\d/.test(offered),
    offered,
  );
  await shot("offer");
  await page.click("[data-act=accept]");
  await untilState(page, (s) => s.project.detectors.length > 0);
  await isKept("one that is accepted", before);
  check(
    "detectors without field devices are said not to be wired",
    (await page.locator("[data-total=field-devices]").textContent()) === "not wired",
  );
}

/** With the panel tool in hand a click on a tag places a panel there. */
async function panel() {
  await page.click("[data-tool=cables]");
  await page.waitForSelector("[data-tag] text");
  const tag = await page.locator("[data-tag] text").first().boundingBox();
  await page.mouse.click(tag.x + tag.width / 2, tag.y + tag.height / 2);
  const state = await untilState(page, (s) => s.project.panels.length === 1);
  check("a tag does not take the click of a placing tool", state.project.panels.length === 1);
  const twice = await page.locator(`[data-kind=panel]`).first().boundingBox();
  await page.mouse.click(twice.x + twice.width / 2, twice.y + twice.height / 2);
  check(
    "a click on one that stands says so",
    /stands here/.test(await page.locator(".message").textContent()),
  );
  check(
    "nothing is placed there",
    (await page.evaluate(() => window.bratticeTest.state().project.panels.length)) === 1,
  );
  await shot("panel");
}

/** A refrigerant keeps the number that somebody chose it by. */
async function chosenByNumber() {
  await page.click("[data-tool=sources]");
  await page.fill("[data-field=substance]", "R-290");
  await page.waitForSelector(".choices [role=option]");
  const offered = await page.locator(".choices [role=option] span").first().textContent();
  check("the list offers it by its number", offered === "R-290 (propane)", offered);
  await page.keyboard.press("Enter");
  await page.mouse.click(...(await onPlan(0.7, 0.3)));
  const state = await untilState(page, (s) => s.project.sources.length === 2);
  const [, source] = state.project.sources;
  const found = state.results.sources[source.id].substance;
  check(
    "source and results keep it",
    source.name === "R-290 (propane)" && found === source.name,
    [source, found],
  );
  await page.fill("[data-field=source-substance]", "natural gas");
  await page.waitForSelector("#facts .choices [role=option]");
  await page.keyboard.press("Enter");
  await page.waitForFunction(() =>
    /methane 90/.test(document.querySelector("#facts")?.textContent ?? ""),
  );
  const gas = await page.evaluate(() => window.bratticeTest.state().project.sources[1]);
  check(
    "another substance forgets it",
    gas.name === "Natural gas" && gas.substance === "natural-gas" && gas.called === undefined,
    gas,
  );
  await shot("natural-gas");
}
