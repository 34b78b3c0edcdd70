/**
 * Symbols side by side that would cover one another, moved apart along one axis.
 */

/** Between symbols that were moved apart, px. */
const GAP_PX = 2;
/** Places are tried so far apart, and so many of them to either side. */
const STEP_PX = 2;
const STEPS = 90;

/**
 * Where each box stands along x. Those nearest to an end keep their places, as what hangs on a wall;
 * others give way. A box that finds no free place stays where it is.
 * @param {{x: number, y: number, half: [number, number]}[]} boxes
 * @param {{from: number, to: number}} within none is moved out of this
 * @returns {number[]} in the order of `boxes`
 */
export function apartAlong(boxes, { from, to }) {
  const fromEnd = (/** @type {number} */ idx) => Math.min(boxes[idx].x - from, to - boxes[idx].x);
  const order = boxes.map((_, idx) => idx).sort((a, b) => fromEnd(a) - fromEnd(b));
  const shifts = Array.from({ length: STEPS }, (_, idx) => (idx + 1) * STEP_PX);
  const stands = boxes.map(({ x }) => x);
  const taken = /** @type {typeof boxes} */ ([]);
  for (const idx of order) {
    const box = boxes[idx];
    const free = (/** @type {number} */ x) => taken.every((other) => !covers({ ...box, x }, other));
    const tried = shifts.flatMap((by) => [box.x + by, box.x - by]);
    const aside = tried.find((x) => x >= from && x <= to && free(x));
    if (!free(box.x)) stands[idx] = aside ?? box.x;
    taken.push({ ...box, x: stands[idx] });
  }
  return stands;
}

/** @param {any} a @param {any} b */
const covers = (a, b) =>
  Math.abs(a.x - b.x) < a.half[0] + b.half[0] + GAP_PX &&
  Math.abs(a.y - b.y) < a.half[1] + b.half[1] + GAP_PX;
