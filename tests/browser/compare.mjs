/**
 * What a designer weighs: a cover beside one detector fewer and beside votes, the floor shaded by
 * how many watch each place, and a detector that is moved where a source lies just out of its reach.
 */

import { createProject, openFloor, startScript, untilState } from "./support.mjs";

const { check, server, page, shot, run } = await startScript("compare", {
  viewport: { width: 1280, height: 800 },
});
const stateOf = async (/** @type {any} */ id) =>
  (await fetch(`${server.base}/api/projects/${id}`)).json();

const linkOf = ({ measures, band }) => `[data-field='compare-${measures}-${band}']`;
const floorOf = (example, room) => example.project.rooms.find(({ id }) => String(id) === room).floor;

await run(async () => {
  const example = await stateOf(1);
  const covers = Object.entries(example.results.rooms).flatMap(([room, { covers: all }]) =>
    all.map((cover) => ({ room, cover })),
  );
  const more = covers.find(({ cover }) => cover.proven && cover.fewest.value > 1);
  check("the example has a room that needs several of one kind", Boolean(more));
  await comparison(example, more);
  await onTablet(example, more);
  await page.setViewportSize({ width: 1280, height: 800 });
  await counts(example);
  await moveOffered();
});

/** By keyboard: asked for, read, put away; an edit puts it away as well. */
async function comparison(example, { room, cover }) {
  await openFloor(page, server.base, 1, floorOf(example, room), `?select=room-${room}`);
  const shown = page.locator(".comparison table");
  check("no comparison is shown unasked", (await shown.count()) === 0);
  await page.focus(linkOf(cover));
  await page.keyboard.press("Enter");
  await shown.waitFor({ timeout: 60_000 });
  const names = await page.locator(".comparison tbody th").allTextContents();
  check("as proposed, one fewer, votes", names[0] === "as proposed" && names[1] === "one fewer", names);
  check("two votes are held against it", names.slice(2).every((name) => /\doo\d/.test(name)), names);
  const row = (/** @type {string} */ name) => page.locator(`[data-layout='${name}']`).innerText();
  const [proposed, fewer] = [await row("as proposed"), await row("one fewer")];
  const n = cover.fewest.value;
  check("the proposed count is the fewest", proposed.includes(`${n}, proven`), proposed);
  check("one fewer is one fewer", new RegExp(`one fewer\\s+${n - 1}\\b`).test(fewer), fewer);
  check("what is lost is said", /Unwatched: .{4}/.test(fewer), fewer);
  check("what is not proven is said", fewer.includes("is not proven"), fewer);
  check("and what it saves", /\u2212/.test(fewer), fewer);
  const held = await page.evaluate(() => document.activeElement?.getAttribute("data-field"));
  check("the focus stays on the link", linkOf(cover).includes(held ?? "-"), held);
  await fits("1280");
  await shot("facts-1280");
  await page.locator(".comparison summary").click();
  const grounds = await page.locator(".comparison details").innerText();
  check("the steps behind the figures are cited", /common practice/.test(grounds), grounds);
  await page.locator(".comparison details").scrollIntoViewIfNeeded();
  await shot("grounds-1280");
  await page.focus(linkOf(cover));
  await page.keyboard.press("Enter");
  check("a second Enter puts it away", (await shown.count()) === 0);
  await page.keyboard.press("Enter");
  await shown.waitFor({ timeout: 60_000 });
  const name = page.locator("#facts [data-field='name']");
  const before = await name.inputValue();
  await name.fill(`${before} east`);
  await name.press("Enter");
  await untilState(page, ({ version }) => version > example.version);
  check("an edit puts it away", (await shown.count()) === 0);
  await page.click("#foot [data-act='undo']");
  await untilState(page, ({ project }) => project.rooms.some((one) => one.name === before));
}

/** The table stays within the facts. @param {string} where */
async function fits(where) {
  const { inner, outer } = await page.evaluate(() => {
    const box = (/** @type {string} */ part) => document.querySelector(part).getBoundingClientRect();
    return { inner: box(".comparison table").right, outer: box("#facts").right };
  });
  check(`the table fits at ${where} px`, inner <= outer, [inner, outer]);
}

async function onTablet(example, { room, cover }) {
  await page.setViewportSize({ width: 820, height: 1180 });
  await openFloor(page, server.base, 1, floorOf(example, room), `?select=room-${room}`);
  await page.click(".facts-grip");
  const link = page.locator(linkOf(cover));
  await link.scrollIntoViewIfNeeded();
  const { height } = await link.boundingBox();
  check("the link is large enough for a finger", height >= 44, height);
  await link.click();
  await page.locator(".comparison table").waitFor({ timeout: 60_000 });
  await page.locator(".comparison").scrollIntoViewIfNeeded();
  await fits("820");
  await shot("facts-820");
}

/** The shades, their numbers and legend; live while a detector is dragged; gone when put away. */
async function counts(example) {
  await openFloor(page, server.base, 1, 1);
  const shades = () =>
    page.evaluate(() =>
      [1, 2, 3].map((n) => document.querySelector(`[data-count='${n}'] path`)?.getAttribute("d") ?? ""),
    );
  check("no floor is shaded unasked", (await shades()).join("") === "");
  const choices = await page.locator("[data-field=counting] option").allTextContents();
  check("each gas and band there can be chosen", choices.length > 1 && choices[0] === "nothing", choices);
  const detectors = example.project.detectors.filter(({ floor }) => floor === 1);
  const named = ({ id, band }) => `${example.results.detectors[id].substance}, ${band}`;
  let [most, before] = ["", ["", "", ""]];
  for (const choice of choices.slice(1)) {
    await page.selectOption("[data-field=counting]", { label: choice });
    await page.waitForSelector("[data-count='1'] path");
    const now = await shades();
    check(`places that one watches are shaded: ${choice}`, now[0].length > 20, now[0].length);
    if (now[1].length > before[1].length) [most, before] = [choice, now];
  }
  check("where two watch is told apart", before[1].length > 100, most);
  await page.selectOption("[data-field=counting]", { label: most });
  await page.waitForTimeout(200);
  before = await shades();
  check("each shade has places of its own", new Set(before.filter(Boolean)).size > 1);
  const numbers = await page.locator("[data-count-number]").allTextContents();
  check("pieces bear their number", numbers.includes("2"), numbers);
  const band = (await page.textContent(".sheet-band")) ?? "";
  check("the legend says which", band.includes(`1 in reach: ${most}`) && band.includes("3 or more"), band);
  const facts = (await page.textContent("#facts")) ?? "";
  check("and how they are counted", /closer than .* count as one/.test(facts));
  const bare = await page.locator(".reaches path:not(.bare)").count();
  check("other reaches make way", bare === 0, bare);
  await page.locator("[data-field=counting]").scrollIntoViewIfNeeded();
  await shot("counts-1280");
  await dragLive(await inTheOpen(detectors.filter((one) => named(one) === most)), shades, before);
  await page.setViewportSize({ width: 820, height: 1180 });
  await page.waitForTimeout(300);
  await shot("counts-820");
  await page.setViewportSize({ width: 1280, height: 800 });
  await page.keyboard.press("Escape");
  await page.selectOption("[data-field=counting]", { label: "nothing" });
  check("put away, nothing is shaded", (await shades()).join("") === "");
  check("and the reaches are back", (await page.locator(".reaches path.reach:not(.bare)").count()) > 0);
}

/** One whose symbol no other covers. @param {any[]} detectors */
async function inTheOpen(detectors) {
  const id = await page.evaluate(
    (ids) =>
      ids.find((one) => {
        const symbol = document.querySelector(`.detectors [data-id='${one}']`);
        const { left, top, width, height } = symbol.querySelector(".ring").getBoundingClientRect();
        return symbol.contains(document.elementFromPoint(left + width / 2, top + height / 2));
      }),
    detectors.map((one) => one.id),
  );
  return detectors.find((one) => one.id === id);
}

/** @param {any} detector @param {() => Promise<string[]>} shades @param {string[]} before */
async function dragLive(detector, shades, before) {
  const ring = await page.locator(`.detectors [data-id='${detector.id}'] .ring`).boundingBox();
  const from = { x: ring.x + ring.width / 2, y: ring.y + ring.height / 2 };
  await page.mouse.move(from.x, from.y);
  await page.mouse.down();
  await page.mouse.move(from.x + 16, from.y + 16, { steps: 8 });
  let during = before;
  for (let n = 0; n < 60 && during.join() === before.join(); n += 1) {
    await page.waitForTimeout(50);
    during = await shades();
  }
  check("the shades follow while it is dragged", during.join() !== before.join());
  await shot("counts-dragged");
  await page.keyboard.press("Escape");
  await page.mouse.up();
  const state = await stateOf(1);
  const now = state.project.detectors.find(({ id }) => id === detector.id);
  check("Escape leaves it where it was", `${now.at}` === `${detector.at}`, [now.at, detector.at]);
}

/** A source just out of reach: the finding moves the detector by one button. */
async function moveOffered() {
  const project = await createProject(server.base, "Moves, invented");
  const { version } = await stateOf(project);
  const room = {
    id: 1,
    floor: 1,
    number: "G.01",
    name: "Workshop",
    room_use: "workshop",
    outline: [[0, 0], [16, 0], [16, 6], [0, 6]],
    ceiling: 3,
    air_changes: 2,
  };
  const source = { id: 1, floor: 1, name: "H2", at: [2, 3], substance: "1333-74-0", height: 1, holding: "gas" };
  const detector = {
    id: 1,
    tag: "AT-101",
    floor: 1,
    at: [8.5, 3],
    height: 2.7,
    watches: "1333-74-0",
    hazard: "flammable",
    band: "high",
    part: null,
    origin: "by_hand",
  };
  const items = [
    { kind: "room", value: room },
    { kind: "source", value: source },
    { kind: "detector", value: detector },
  ];
  const edits = items.map((item) => ({ do: "add", item }));
  const answer = await fetch(`${server.base}/api/projects/${project}/edits`, {
    method: "POST",
    headers: { "content-type": "application/json", origin: server.base },
    body: JSON.stringify({ version, edit: { do: "all", label: "room", edits }, label: "room" }),
  });
  check("the workshop is drawn", answer.ok, await answer.text());
  await openFloor(page, server.base, project, 1, "?select=source-1");
  const box = page.locator("[data-finding^='coverage.unmet/source-1']");
  const said = await box.innerText();
  check("the move is said", /Move AT-101 \d\.\d m towards the source/.test(said), said);
  await shot("move-1280");
  await box.locator("button", { hasText: "Move AT-101 there" }).click();
  const state = await untilState(page, ({ results }) => results.demands.every(({ met }) => met));
  check("moved, it watches the source", state.project.detectors.length === 1);
}
