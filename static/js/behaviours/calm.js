/**
 * Does something at most every so often while it is asked for again and again, as during a drag;
 * the last asking is always answered.
 */

/**
 * @param {() => void} act @param {number} every_ms
 * @returns {{soon: () => void, now: () => void}} `now` acts at once and forgets what was to come
 */
export function calmly(act, every_ms) {
  let timer = 0;
  const now = () => {
    clearTimeout(timer);
    timer = 0;
    act();
  };
  const soon = () => {
    if (timer === 0) timer = setTimeout(now, every_ms);
  };
  return { soon, now };
}
