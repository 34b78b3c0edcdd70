/**
 * A crowded floor: twenty rooms of 6 m by 6 m with a source and three detectors each.
 */

/** @param {string} base @param {string} project */
export async function crowded(base, project) {
  const edits = [];
  let detector = 0;
  for (let n = 0; n < 20; n += 1) {
    const [x, y] = [(n % 5) * 6, Math.floor(n / 5) * 6];
    edits.push(room(n + 1, x, y), source(n + 1, x, y));
    for (const [dx, dy] of [
      [3, 3],
      [1, 1],
      [5, 5],
    ]) {
      detector += 1;
      edits.push(detectorAt(detector, [x + dx, y + dy]));
    }
  }
  const route = `${base}/api/projects/${project}`;
  const { version } = await (await fetch(route)).json();
  const answer = await fetch(`${route}/edits`, {
    method: "POST",
    headers: { "content-type": "application/json", origin: base },
    body: JSON.stringify({ version, edit: { do: "all", label: "crowd", edits }, label: "crowd" }),
  });
  if (!answer.ok) throw new Error(await answer.text());
}

const add = (kind, value) => ({ do: "add", item: { kind, value } });

const room = (id, x, y) =>
  add("room", {
    id,
    floor: 1,
    number: `G.${id}`,
    name: id % 2 ? "Valve room" : "Store of cylinders",
    room_use: "other",
    enclosure: "enclosed",
    outline: [
      [x, y],
      [x + 6, y],
      [x + 6, y + 6],
      [x, y + 6],
    ],
    ceiling: 3,
    air_changes: 1,
  });

const source = (id, x, y) =>
  add("source", {
    id,
    floor: 1,
    name: "valve",
    at: [x + 3, y + 4],
    height: 1,
    substance: "74-82-8",
    holding: null,
  });

const detectorAt = (id, at) =>
  add("detector", {
    id,
    tag: `AT-${100 + id}`,
    floor: 1,
    at,
    height: 2.7,
    watches: "74-82-8",
    hazard: "flammable",
    band: "high",
    part: null,
    origin: "by_hand",
    set_points: [],
    tag_offset: null,
  });
