/** A bar that is dragged, or moved with the arrow keys, to change a height. */

const STEP_PX = 16;

/**
 * @param {HTMLElement} grip
 * @param {{height: () => number, set: (height: number) => void, done: () => void}} options
 */
export function installGrip(grip, { height, set, done }) {
  let start = /** @type {?{y: number, height: number}} */ (null);
  grip.addEventListener("pointerdown", (event) => {
    grip.setPointerCapture(event.pointerId);
    start = { y: event.clientY, height: height() };
    event.preventDefault();
  });
  grip.addEventListener("pointermove", (event) => {
    if (start) set(start.height + start.y - event.clientY);
  });
  const end = () => {
    if (start) done();
    start = null;
  };
  grip.addEventListener("pointerup", end);
  grip.addEventListener("pointercancel", end);
  grip.addEventListener("keydown", (event) => {
    const by = { ArrowUp: STEP_PX, ArrowDown: -STEP_PX }[event.key];
    if (!by) return;
    event.preventDefault();
    event.stopPropagation();
    set(height() + by);
    done();
  });
}
