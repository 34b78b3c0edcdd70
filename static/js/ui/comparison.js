/**
 * A cover beside one detector fewer and beside other votes: what is lost and what it costs.
 */

import * as quantity from "../core/quantity.js";
import { h, link } from "./dom.js";

/** The way to ask for the comparison of a cover, and to put it away. @param {any} cover */
export function comparisonLink(cover, /** @type {any} */ { desk, room }) {
  const shown = desk.comparisons.of(room.id, cover);
  const says = shown ? (shown.waits ? "Stop" : "Hide") : "Compare";
  return link(says, () => desk.comparisons.toggle(room.id, cover), {
    "data-field": `compare-${cover.measures}-${cover.band}`,
    "aria-expanded": String(Boolean(shown)),
    "aria-label": `${says}: ${cover.name}, ${cover.band}, with one detector fewer and with voting`,
  });
}

/** What was found of it, if it was asked for. @param {any} cover @param {any} context */
export function comparisonPart(cover, { desk, room, system }) {
  const shown = desk.comparisons.of(room.id, cover);
  if (!shown) return null;
  const { waits, found, wrong } = shown;
  return h(
    "li",
    { class: "comparison", "data-comparison": `${cover.measures}-${cover.band}` },
    h(
      "div",
      { role: "status" },
      waits &&
        h(
          "p",
          {},
          "Looking for the fewest, for the best with one fewer, and for voting. " +
            "A large hall takes a minute.",
        ),
      wrong && h("p", { class: "wrong-text" }, wrong),
      found && result(found, system),
    ),
  );
}

/** @param {any} found @param {any} system */
function result(found, system) {
  const { proposed, fewer, votes, price_holds, stopped, floor_asked: asked } = found;
  if (!fewer) {
    return h(
      "p",
      {},
      "No candidate point has any of it in reach, so there is nothing to compare. " +
        "The findings say what to do.",
    );
  }
  const others = [fewer, ...votes];
  return [
    h(
      "table",
      { "aria-label": `${found.title}: layouts beside each other` },
      h(
        "thead",
        {},
        h(
          "tr",
          {},
          h("th", { scope: "col" }, "layout"),
          h("th", { scope: "col", class: "num" }, "detectors"),
          proposed.price && h("th", { scope: "col", class: "num" }, "price"),
        ),
      ),
      layoutRows(
        { ...proposed, asked },
        proposed.price && quantity.text(proposed.price, system),
        system,
      ),
      others.map((layout) =>
        layoutRows({ ...layout, asked }, changeText(layout.price_change, system), system),
      ),
    ),
    stopped && h("p", { class: "wrong-text" }, "It was stopped before its end; nothing is proven."),
    h("p", { class: "quiet" }, price_holds),
    h("p", { class: "quiet" }, `As proposed: ${proposed.holds_for}.`),
    groundsPart(found.grounds, system),
  ];
}

/** A layout: its figures, then what it loses and what it means. @param {any} layout */
function layoutRows(layout, /** @type {?string} */ price, /** @type {any} */ system) {
  return h(
    "tbody",
    { "data-layout": layout.name },
    h(
      "tr",
      {},
      h("th", { scope: "row" }, layout.name),
      h("td", { class: "num" }, countText(layout)),
      price && h("td", { class: "num" }, price),
    ),
    h(
      "tr",
      { class: "says" },
      h(
        "td",
        { colspan: price ? 3 : 2 },
        h("p", {}, lostText(layout, system)),
        h("p", { class: "quiet" }, layout.says),
      ),
    ),
  );
}

/** "3, proven", "5 to 6" where fewer are not ruled out. @param {any} layout */
export function countText({ detectors, bound, proven }) {
  const count = String(detectors.value);
  if (!bound) return count;
  if (proven) return `${count}, proven`;
  return bound.value < detectors.value ? `${bound.value} to ${count}` : count;
}

/**
 * What is watched by fewer than it needs. `asked`: the share of each floor, where that is not all.
 * @param {any} layout @param {any} system
 */
export function lostText({ lost, bound, asked }, system) {
  const floor = asked && `at least ${quantity.text(asked, system)} of each floor`;
  if (lost.length === 0 && floor) return `Watches what is asked for: ${floor}.`;
  if (lost.length === 0) return "Watches everything.";
  const one = (/** @type {any} */ { title, area, share, watching, wanted }) => {
    const what = area ? `${shareText(area, share, system)} of the ${title}` : title;
    return wanted > 1 ? `${what} (${watching} of ${wanted})` : what;
  };
  const few = lost.some((/** @type {any} */ { wanted }) => wanted > 1);
  const is_floor = lost.some((/** @type {any} */ { area }) => area);
  const rest = floor && is_floor ? ` Asked for: ${floor}.` : "";
  // A layout with a bound is the best there is: what it leaves, no other meets.
  if (bound) return `${few ? "Met" : "Watched"} by no layout: ${listed(lost.map(one))}.${rest}`;
  return `${few ? "Watched by too few" : "Unwatched"}: ${listed(lost.map(one))}.${rest}`;
}

/** @param {any} area @param {any} share @param {any} system */
const shareText = (area, share, system) =>
  `${quantity.text(area, system)} (${quantity.figure(share.value, share.value < 10 ? 1 : 0)}\u202f%)`;

/** @param {string[]} all */
const listed = (all) =>
  all.length < 2 ? all.join("") : `${all.slice(0, -1).join(", ")} and ${all.at(-1)}`;

/** "+€ 300", "−€ 300", "the same". @param {any} change @param {any} system */
export function changeText(change, { currency }) {
  if (!change) return null;
  if (Math.abs(change.value) < 0.5) return "the same";
  return (change.value > 0 ? "+" : "\u2212") + quantity.money(Math.abs(change.value), currency);
}

/** The steps behind the figures. @param {any[]} grounds @param {any} system */
function groundsPart(grounds, system) {
  const shown = (/** @type {any} */ one) => {
    const money = one.unit.startsWith("money") && system.currency;
    return (money ? `${money}\u202f` : "") + quantity.asStated(one, system);
  };
  return h(
    "details",
    {},
    h("summary", {}, "What the figures stand on"),
    grounds.map(({ title, statement, inputs, citation, ...value }) =>
      h(
        "p",
        {},
        h("b", {}, `${title}: ${shown(value)}. `),
        statement && `${statement.replace(/\.$/, "")}. `,
        inputs.length > 0 &&
          `${inputs
            .map((/** @type {any} */ one) => `${one.symbol} ${one.meaning} ${shown(one)}`.trim())
            .join("; ")}. `,
        h("span", { class: "quiet" }, citation),
      ),
    ),
  );
}
