/**
 * What a release does at a time: read off the results of the server, between whose samples it goes
 * straight. It calculates no gas; `documents::drawing::release` draws the same on paper.
 * @import {Alarm, Harm, Point, Quantity, ReleaseCase, ReleaseResult, Scale} from "./types.js"
 */

/** Radius of a plume with top-hat profiles over its length and entrainment coefficient. */
const SPREAD = 1.2;

/** What a chart may reach to, s. */
export const HORIZONS_S = [60, 120, 300, 600, 900, 1800, 3600, 7200, 14400, 28800, 86400];

/** A time beyond so many times the first one does not stretch the chart. */
const FAR = 20;

/** The value at a time; the ends hold beyond the samples. @param {number[]} times */
export function valueAt(times, /** @type {number[]} */ values, /** @type {number} */ seconds) {
  if (values.length === 0) return 0;
  const after = times.findIndex((time) => time >= seconds);
  if (after === 0) return values[0];
  if (after < 0) return values[values.length - 1];
  const [from, to] = [times[after - 1], times[after]];
  const share = to > from ? (seconds - from) / (to - from) : 1;
  return values[after - 1] + share * (values[after] - values[after - 1]);
}

/**
 * The gas in the room at a time, heights in m above the floor.
 * @param {ReleaseResult} release @param {ReleaseCase} one @param {number} seconds
 * @param {{ceiling: number, entrainment: number}} room
 * @returns {{layer: ?{low: number, high: number, gas: number},
 *   cone: ?{from: number, to: number, radius: number}, mixed: ?number}} gas in %vol
 */
export function gasAt(release, one, seconds, { ceiling, entrainment }) {
  if (one.motion === "mixes" || one.front.length === 0) {
    return { layer: null, cone: null, mixed: valueAt(one.times, one.mixed, seconds) };
  }
  const rises = one.motion === "rises";
  const front = clamped(valueAt(one.times, one.front, seconds), 0, ceiling);
  const gas = valueAt(one.times, one.layer, seconds);
  const layer = rises ? { low: front, high: ceiling, gas } : { low: 0, high: front, gas };
  const from = clamped(one.from.value, 0, ceiling);
  const to = rises ? Math.max(from, front) : Math.min(from, front);
  const flows = seconds > 0 && to !== from && !allOut(release, seconds);
  const radius = SPREAD * entrainment * Math.abs(to - from);
  return { layer: seconds > 0 ? layer : null, cone: flows ? { from, to, radius } : null, mixed: null };
}

/** @param {number} value @param {number} least @param {number} most */
const clamped = (value, least, most) => Math.min(most, Math.max(least, value));

/** Whether nothing to speak of comes out any more. @param {ReleaseResult} release */
const allOut = ({ ends }, /** @type {number} */ seconds) => Boolean(ends && seconds >= ends.value);

/** The gas of a course at a time. @param {Point[]} course @param {number} seconds */
export const alongCourse = (course, seconds) =>
  valueAt(
    course.map(([time]) => time),
    course.map(([, gas]) => gas),
    seconds,
  );

/** Times and figures side by side. @returns {Point[]} */
export const courseOf = (/** @type {number[]} */ times, /** @type {number[]} */ values) =>
  values.map((value, idx) => /** @type {Point} */ ([times[idx], value]));

/** The reading of gas in air. @param {Scale} scale @param {number} gas %vol */
export const reading = ({ at_zero, per_percent }, gas) => at_zero + per_percent * gas;

/** What another scale reads, in the unit of this one. @param {Scale} scale */
export const sameReading = (scale, /** @type {Scale} */ other, /** @type {number} */ value) =>
  reading(scale, (value - other.at_zero) / other.per_percent);

/** The harm an alarm is held against. @param {ReleaseCase} one @param {Alarm} alarm @returns {?Harm} */
export const harmOf = (one, alarm) =>
  one.harms.find(({ hazard }) => hazard === alarm.hazard) ?? one.harms[0] ?? null;

/**
 * Times to mark, s: alarm and harm of each picture of the room; not what is never reached.
 * @param {?Alarm} alarm @param {?Harm} harm
 * @returns {{name: string, seconds: number, picture: string}[]}
 */
export function marksOf(alarm, harm) {
  const times = /** @type {[string, string, any][]} */ ([
    ["alarm", "layered", alarm?.alarm_layered],
    ["harm", "layered", harm?.harm_layered],
    ["alarm", "mixed", alarm?.alarm_mixed],
    ["harm", "mixed", harm?.harm_mixed],
  ]);
  return times
    .filter(([, , time]) => time)
    .map(([name, picture, time]) => ({ name, seconds: time.value, picture }));
}

/**
 * An alarm held against a harm within the picture that decides; s, `null` where it does not come.
 * @param {Alarm} alarm @param {?Harm} harm
 * @returns {{picture: ?string, alarm: ?Quantity, harm: ?Quantity, margin: ?number}}
 */
export function heldAgainst(alarm, harm) {
  const layered = alarm.picture === "layered";
  const sounds = layered ? alarm.alarm_layered : alarm.alarm_mixed;
  const harms = (layered ? harm?.harm_layered : harm?.harm_mixed) ?? null;
  const margin = sounds && harms ? harms.value - sounds.value : null;
  return { picture: alarm.picture, alarm: sounds, harm: harms, margin };
}

/** When the mean of the room is highest, s. @param {ReleaseCase} one */
export const peakTime = (one) => one.times[one.mixed.indexOf(Math.max(...one.mixed))] ?? 0;

/** How far the chart goes, s: past what is marked, not so far that the first mark is lost. */
export function horizonOf(
  /** @type {ReleaseCase} */ one,
  /** @type {{seconds: number}[]} */ marks,
) {
  const last = one.times[one.times.length - 1] ?? 0;
  const times = marks.map(({ seconds }) => seconds).filter((seconds) => seconds > 0);
  if (times.length === 0) {
    return Math.min(last, HORIZONS_S.find((nice) => nice >= 2 * peakTime(one)) ?? last);
  }
  const near = times.filter((seconds) => seconds <= FAR * Math.min(...times));
  const want = 1.25 * Math.max(...near);
  return Math.min(last, HORIZONS_S.find((nice) => nice >= want) ?? last);
}

/** What the axis of readings goes from and to: past every limit. @param {Scale} scale */
export function axisOf(
  scale,
  /** @type {number[]} */ limits,
  /** @type {number} */ peak_gas,
) {
  const base = scale.at_zero;
  const far = limits.length > 0 ? limits : [reading(scale, peak_gas)];
  const most = far.reduce((a, b) => (Math.abs(b - base) > Math.abs(a - base) ? b : a), base);
  const end = base + 1.2 * (most - base) || base + 1;
  return { low: Math.min(base, end), high: Math.max(base, end) };
}

/** Round figures inside an axis, about `n`. @param {{low: number, high: number}} axis */
export function ticksOf({ low, high }, n = 4) {
  const rough = (high - low) / n;
  const power = 10 ** Math.floor(Math.log10(rough));
  const step = ([1, 2, 2.5, 5].find((factor) => factor * power >= rough) ?? 10) * power;
  const ticks = [];
  for (let k = Math.ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; k += 1) {
    ticks.push(Number((k * step).toPrecision(6)));
  }
  return ticks;
}

/**
 * The release to show for what is selected, or a sentence where there is none.
 * @param {{project: any, results: any, selection: any}} scene @param {any} room
 * @param {any[]} sources of the room
 * @returns {{release?: ReleaseResult, source?: any, detector?: ?number, sentence?: string, offer?: any[]}}
 */
export function releaseInHand({ project, results, selection }, room, sources) {
  const releases = results.releases ?? {};
  const source = sources.find(({ id }) => selection?.kind === "source" && selection.id === id);
  if (source) return shownFor(source, releases[source.id], null, room);
  if (selection?.kind === "detector") return seenBy(selection.id, project, releases, room, sources);
  const some = sources.length === 1 ? "the release source" : "a release source";
  return {
    sentence: `Select ${some} or a detector to see where the gas goes and when it alarms.`,
    offer: sources,
  };
}

/** @param {any} source @param {any} release @param {?number} detector @param {any} room */
function shownFor(source, release, detector, room) {
  const place = room.number || room.name || "this place";
  if (!release) {
    return {
      sentence:
        `What comes out of ${source.name} is not known, so no time can be told. ` +
        "State its release in the facts.",
    };
  }
  if (release.cases.length === 0) {
    const told = release.sentences.length > 0 ? ` ${release.sentences.join(" ")}` : "";
    const open = room.enclosure === "outdoor" ? ` ${place} is in the open: no layer builds up.` : "";
    return { sentence: `${open}${told}`.trim() || "In the open no layer builds up." };
  }
  return { source, release, detector };
}

/** The release a detector sees first. @returns {any} */
function seenBy(
  /** @type {number} */ id,
  /** @type {any} */ project,
  /** @type {any} */ releases,
  /** @type {any} */ room,
  /** @type {any[]} */ sources,
) {
  const seen = sources
    .map((source) => ({ source, seconds: soonest(releases[source.id], id) }))
    .filter(({ seconds }) => seconds !== null)
    .sort((a, b) => Number(a.seconds) - Number(b.seconds))[0];
  if (seen) return shownFor(seen.source, releases[seen.source.id], id, room);
  const tag = project.detectors.find((/** @type {any} */ one) => one.id === id)?.tag ?? "It";
  const known = sources.filter((source) => releases[source.id]);
  if (known.length === 0 && sources.length > 0) {
    return {
      sentence:
        "What comes out of the sources of this room is not known, so no time can be told. " +
        "State the release of a source in its facts.",
      offer: sources,
    };
  }
  return { sentence: `${tag} is not the first to see any release here.`, offer: known };
}

/** @param {?ReleaseResult|undefined} release @param {number} id of a detector @returns {?number} s */
function soonest(release, id) {
  const alarms = (release?.cases ?? [])
    .flatMap((one) => one.alarms)
    .filter((alarm) => alarm.detector === id);
  if (alarms.length === 0) return null;
  return Math.min(...alarms.map((alarm) => alarm.alarm?.value ?? Infinity));
}
