/**
 * All browser tests one after the other: the screens, what a new user meets, facts edited in place,
 * layouts weighed, air terminals, pipe runs and areas, marked areas,
 * the substances of a project, the whole job on our own plan,
 * and, where TEST_DATA names a folder of public files, the whole job on every plan there that can
 * be read.
 */

import { spawnSync } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { join, resolve } from "node:path";

const here = import.meta.dirname;
const scripts = [
  "screens",
  "views",
  "facts",
  "compare",
  "terminals",
  "extents",
  "marked",
  "release",
  "section",
  "substances",
  "job",
];
const runs = scripts.map((name) => [`${name}.mjs`]);
const plans = process.env.TEST_DATA && join(process.env.TEST_DATA, "plans/open");
if (plans && existsSync(plans)) {
  const rows = readFileSync(join(plans, "index.csv"), "utf8").split("\n").slice(1);
  for (const file of rows.map((row) => row.split(",")[0]).filter(Boolean)) {
    if (/\.(pdf|png|jpe?g|webp|tiff?)$/i.test(file)) runs.push(["job.mjs", resolve(plans, file)]);
  }
}

let passed = 0;
let failed = 0;
for (const [script, ...plan] of runs) {
  console.log(`\n-- ${[script, ...plan].join(" ")}`);
  const run = spawnSync(process.execPath, [join(here, script), ...plan], {
    encoding: "utf8",
    timeout: 600_000,
  });
  process.stdout.write(run.stdout);
  process.stderr.write(run.stderr);
  const counts = /(\d+) passed, (\d+) failed/.exec(run.stdout);
  passed += Number(counts?.[1] ?? 0);
  failed += Number(counts?.[2] ?? 0);
  if (run.status !== 0 && !Number(counts?.[2])) failed += 1;
}
console.log(`\n${passed} passed, ${failed} failed`);
process.exit(failed === 0 ? 0 : 1);
