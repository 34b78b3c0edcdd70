import assert from "node:assert/strict";
import test from "node:test";
import { calmly } from "../../static/js/behaviours/calm.js";

const wait = (ms) =>
  new Promise((done) => {
    setTimeout(done, ms);
  });

test("while it is asked for again and again it is done at the latest after a while", async () => {
  let done = 0;
  const calm = calmly(() => (done += 1), { rest_ms: 60, most_ms: 150 });
  for (let n = 0; n < 20; n += 1) {
    calm.soon();
    await wait(20);
  }
  assert.ok(done >= 1 && done <= 3, String(done));
  await wait(200);
  const rested = done;
  await wait(100);
  assert.equal(done, rested);
});

test("what is done at once is not done again", async () => {
  let done = 0;
  const calm = calmly(() => (done += 1), { rest_ms: 20, most_ms: 50 });
  calm.soon();
  calm.now();
  await wait(90);
  assert.equal(done, 1);
});
