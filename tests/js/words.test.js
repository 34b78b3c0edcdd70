import assert from "node:assert/strict";
import test from "node:test";
import { changeTag } from "../../static/js/commands/tags.js";
import { leader, linesNow, standing } from "../../static/js/core/words.js";
import { LabelStore } from "../../static/js/server/labels.js";
import { detector, twoRooms } from "./project.js";

const words = (item, more = {}) => ({
  about: { kind: "detector", id: item.id },
  lines: ["Methane", "H 2.70\u202fm"],
  bold: true,
  at: [item.at[0] + 2, item.at[1]],
  width: 60,
  height: 24,
  anchor: "start",
  leader: false,
  home: item.at,
  then: item,
  ...more,
});

test("a tag goes along with its detector until the server has placed it anew", () => {
  const item = detector(1, "AT-101", [3, 3]);
  assert.deepEqual(standing(words(item), { ...item, at: [4, 5] }), [6, 5]);
});

test("a tag that is dragged stands where it was put", () => {
  const item = detector(1, "AT-101", [3, 3]);
  const moved = changeTag(item, [1.23456, 2]).edit.item?.value;
  assert.deepEqual(moved.tag_offset, [-1.765, -1]);
  assert.deepEqual(standing(words(item), moved), [1.235, 2]);
  assert.equal(changeTag(moved, null).edit.item?.value.tag_offset, null);
});

test("moving a tag leaves who placed the detector as it was", () => {
  const item = { ...detector(1, "AT-101", [3, 3]), origin: "suggested" };
  assert.equal(changeTag(item, [1, 1]).edit.item?.value.origin, "suggested");
});

test("a height that is being changed is shown at once", () => {
  const item = detector(1, "AT-101");
  assert.deepEqual(linesNow(words(item), { ...item, height: 2.5 }, "metric"), [
    "Methane",
    "H 2.50\u202fm",
  ]);
});

test("a leader line runs from the ring to the text, and only where they are apart", () => {
  const near = { symbol: [0, 0], radius: 14, at: [2.4, 0], width: 60, height: 24, scale: 20 };
  assert.equal(leader(near), null);
  const line = leader({ ...near, at: [4, 0] });
  assert.deepEqual(line, [
    [0.7, 0],
    [2.5, 0],
  ]);
});

test("what is placed for an older version is not taken", async () => {
  const state = { version: 2, project: twoRooms() };
  const answer = (version) => ({ version, pixels_per_metre: 19.5, labels: [], asides: [] });
  let next = answer(1);
  const store = new LabelStore(
    () => Promise.resolve(next),
    () => state,
  );
  await store.fetch(20);
  assert.equal(store.isSettled(20), false);
  next = answer(2);
  await store.fetch(20);
  store.at(20);
  assert.equal(store.isSettled(20), true);
  assert.equal(store.isSettled(19), false, "smaller: the texts would touch");
  assert.equal(store.isSettled(21), false, "larger: they would stand too far off");
});

test("while something is suggested the words are those of the floor as it will be", async () => {
  const project = twoRooms();
  const state = { version: 2, project };
  const added = detector(9, "AT-109", [2, 2]);
  const edit = { do: "add", item: { kind: "detector", value: added } };
  const about = { kind: "detector", id: 9 };
  const asked = [];
  const answer = (labels) => ({ version: 2, pixels_per_metre: 19.5, labels, asides: [], blockers: [] });
  const store = new LabelStore(
    (scale, job) => {
      asked.push(job);
      return Promise.resolve(answer(job ? [{ about, lines: ["Methane"], at: [2, 3] }] : []));
    },
    () => state,
  );
  await store.fetch(20);
  const offered = { edit, job: "7", version: 2 };
  store.at(20, false, offered);
  clearTimeout(store.timer);
  assert.equal(store.isSettled(20), false);
  await store.fetch(20);
  assert.deepEqual(asked, [null, "7"]);
  const shown = store.at(20, false, offered);
  assert.deepEqual(shown.words.get("detector-9")?.home ?? null, [2, 2]);
  assert.equal(store.at(20).words.size, 0, "dropped: as before");
  assert.equal(store.at(20, false, { ...offered, version: 1 }).job, null, "made for another version");
});
