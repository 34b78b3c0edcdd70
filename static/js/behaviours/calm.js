/**
 * Does something once what asks for it has come to rest, as during a drag, and at the latest after
 * a while; the last asking is always answered.
 */

/**
 * @param {() => void} act @param {{rest_ms: number, most_ms: number}} times
 * @returns {{soon: () => void, now: () => void}} `now` acts at once and forgets what was to come
 */
export function calmly(act, { rest_ms, most_ms }) {
  let timer = 0;
  let since = 0;
  const now = () => {
    clearTimeout(timer);
    timer = 0;
    act();
  };
  const soon = () => {
    const time = performance.now();
    if (timer === 0) since = time;
    clearTimeout(timer);
    timer = setTimeout(now, Math.max(0, Math.min(rest_ms, since + most_ms - time)));
  };
  return { soon, now };
}

/** Facts and section beside a drag: what is under the pointer comes first. */
export const BESIDE_A_DRAG = { rest_ms: 120, most_ms: 600 };
