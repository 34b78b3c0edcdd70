/** Small projects for the tests. */

/** @returns {any} */
export const emptyProject = () => ({
  head: { name: "Test", units: "metric" },
  basis: {},
  catalogue: { currency: "€", items: [] },
  floors: [
    { id: 1, name: "Ground floor", elevation: 0, sheet: null },
    { id: 2, name: "First floor", elevation: 4, sheet: null },
  ],
  rooms: [],
  barriers: [],
  openings: [],
  sources: [],
  terminals: [],
  marked: [],
  detectors: [],
  devices: [],
  panels: [],
  containments: [],
  risers: [],
  segments: [],
});

/** Two rooms side by side, 8 m by 6 m each, sharing the wall x = 8. @returns {any} */
export const twoRooms = () => ({
  ...emptyProject(),
  rooms: [room(1, "G.01", 0), room(2, "G.02", 8)],
});

const room = (id, number, x) => ({
  id,
  floor: 1,
  number,
  name: "",
  room_use: "other",
  enclosure: "enclosed",
  outline: [
    [x, 0],
    [x + 8, 0],
    [x + 8, 6],
    [x, 6],
  ],
  ceiling: null,
  air_changes: null,
});

/** @returns {any} */
export const detector = (id, tag, at = [2, 2]) => ({
  id,
  tag,
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
