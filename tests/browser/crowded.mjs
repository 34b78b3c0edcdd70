/**
 * A crowded floor: twenty rooms of 6 m by 6 m with a source and three detectors each.
 */

/** @param {string} base @param {string} project @param {number} [times] larger, all of it */
export async function crowded(base, project, times = 1) {
  const edits = [];
  let detector = 0;
  for (let n = 0; n < 20; n += 1) {
    const [x, y] = [(n % 5) * 6 * times, Math.floor(n / 5) * 6 * times];
    edits.push(room(n + 1, x, y, 6 * times), source(n + 1, x + 3 * times, y + 4 * times));
    for (const [dx, dy] of [
      [3, 3],
      [1, 1],
      [5, 5],
    ]) {
      detector += 1;
      edits.push(detectorAt(detector, [x + dx * times, y + dy * times]));
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

const room = (id, x, y, side) =>
  add("room", {
    id,
    floor: 1,
    number: `G.${id}`,
    name: id % 2 ? "Valve room" : "Store of cylinders",
    room_use: "other",
    enclosure: "enclosed",
    outline: [
      [x, y],
      [x + side, y],
      [x + side, y + side],
      [x, y + side],
    ],
    ceiling: 3,
    air_changes: 1,
  });

const source = (id, x, y) =>
  add("source", {
    id,
    floor: 1,
    name: "valve",
    at: [x, y],
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
