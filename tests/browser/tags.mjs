/**
 * The tag of a detector is moved by the pointer and by keys, stays where it was put, and goes back
 * to the program's place; each is one edit that can be undone.
 */

import { openFloor, startScript, untilState } from "./support.mjs";

const { check, server, page, run } = await startScript("tags");
await run(async () => {
  await openFloor(page, server.base, "1", 1, "?select=detector-7");
  const offset = (state) => state.project.detectors[6].tag_offset;
  await placed();
  // The stair beside is empty: nothing there would be hidden.
  const before = await middle();
  await page.mouse.move(before.x, before.y);
  await page.mouse.down();
  await page.mouse.move(before.x + 110, before.y - 10, { steps: 6 });
  const carried = await middle();
  await page.mouse.up();
  check("the tag goes along with the pointer", far(carried, before.x + 110, before.y - 10) < 3, [
    before,
    carried,
  ]);
  const moved = await untilState(page, (state) => offset(state) !== null);
  check("the edit says so", moved.undo === "Tag of AT-107 moved", moved.undo);
  check("the detector stays suggested", moved.project.detectors[6].origin === "suggested");
  await placed();
  const stands = await middle();
  check("it stays where it was put", far(stands, before.x + 110, before.y - 10) < 3, stands);
  await page.keyboard.press("t");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Enter");
  const keyed = await untilState(page, (state) => offset(state)[0] > offset(moved)[0]);
  check("arrow keys move it to the right", offset(keyed)[1] === offset(moved)[1], offset(keyed));
  await page.keyboard.press("t");
  await page.keyboard.press("Delete");
  const freed = await untilState(page, (state) => offset(state) === null);
  check("the program places it again", freed.undo === "Tag of AT-107 placed by the program");
  await page.keyboard.press("Control+z");
  await untilState(page, (state) => offset(state) !== null);
  check("taking it back can be undone", true);
});

/** Waits until the words stand for the present version. */
async function placed() {
  await page.waitForFunction(() => {
    const { version } = window.bratticeTest.state();
    return document.querySelector(".plan-drawing")?.dataset.labels === String(version);
  });
}

async function middle() {
  const box = await page.locator('[data-tag="7"] .target').boundingBox();
  return { x: box.x + box.width / 2, y: box.y + box.height / 2 };
}

function far(at, x, y) {
  return Math.hypot(at.x - x, at.y - y);
}
