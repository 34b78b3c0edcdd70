/**
 * The stages of the job on the rail, and the tools of each with their hint.
 */

/**
 * @typedef {{id: string, word: string, hint: string}} Variant
 * @typedef {{id: string, word: string, icon: string, variants: Variant[]}} Stage
 */

const CORNERS = "Click corners; Enter or the first one closes. Type 4.2 for a length; Shift: free.";

/** @type {Stage[]} */
export const STAGES = [
  {
    id: "sheet",
    word: "Sheet",
    icon: "sheet",
    variants: [
      { id: "sheet", word: "plan", hint: "Lay the client's plan underneath, turn and fade it." },
      { id: "scale", word: "set the scale", hint: "Click two points of known distance." },
    ],
  },
  {
    id: "rooms",
    word: "Rooms",
    icon: "rooms",
    variants: [
      {
        id: "rectangle",
        word: "rectangle",
        hint: "Click two corners, or one and type 4.2 x 3.1.",
      },
      { id: "polygon", word: "polygon", hint: CORNERS },
      { id: "barrier", word: "barrier", hint: "Click along it; Enter or a second click ends it." },
      { id: "door", word: "door", hint: "Click on a wall, or drag along it." },
      { id: "window", word: "window", hint: "Click on a wall, or drag along it." },
      { id: "open_way", word: "open way", hint: "Click on a wall, or drag along it." },
      {
        id: "terminal",
        word: "air terminal",
        hint: "Click where air leaves or enters; choose its kind beside the drawing.",
      },
      {
        id: "marked",
        word: "marked area",
        hint: "Click its corners: a pit, or where no detector may be; choose which beside the drawing.",
      },
    ],
  },
  {
    id: "sources",
    word: "Sources",
    icon: "sources",
    variants: [
      { id: "source", word: "place", hint: "Click where it can get out." },
      { id: "run", word: "pipe run", hint: "Click along it; Enter or a second click ends it." },
      { id: "rack", word: "rack or area", hint: "Click its corners; Enter or the first one closes it." },
    ],
  },
  {
    id: "detectors",
    word: "Detectors",
    icon: "detectors",
    variants: [{ id: "detector", word: "", hint: "Click to place one, or have them suggested:" }],
  },
  {
    id: "cables",
    word: "Cables",
    icon: "cables",
    variants: [
      { id: "panel", word: "panel", hint: "Click on the wall it hangs on." },
      { id: "containment", word: "containment", hint: "Click along it; Enter or a second click ends it." },
      { id: "riser", word: "riser", hint: "Click where cables pass through the floors." },
      { id: "io_unit", word: "I/O unit", hint: "Click where it is fixed." },
      { id: "sounder", word: "sounder", hint: "Click where it is fixed." },
      { id: "display", word: "display", hint: "Click where it is fixed." },
    ],
  },
  {
    id: "measure",
    word: "Measure",
    icon: "measure",
    variants: [
      { id: "measure", word: "", hint: "Click along it; Enter or a second click ends it; Esc clears." },
    ],
  },
];

/** The stage a tool belongs to. @param {string} tool @returns {?Stage} */
export const stageOf = (tool) =>
  STAGES.find(({ variants }) => variants.some(({ id }) => id === tool)) ?? null;
