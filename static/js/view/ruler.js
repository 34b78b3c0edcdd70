/**
 * Widths of words in the drawing's own type.
 */

/** @typedef {{measure: (text: string, bold?: boolean) => number}} Ruler widths at 12 px */

/** @returns {Ruler} */
export function makeRuler() {
  const context = document.createElement("canvas").getContext("2d");
  const known = new Map();
  return {
    measure: (text, bold = false) => {
      const key = `${bold}${text}`;
      if (!known.has(key) && context) {
        context.font = `${bold ? 600 : 400} 12px "Barlow Semi Condensed", sans-serif`;
        known.set(key, context.measureText(text).width + 1);
      }
      return known.get(key) ?? text.length * 6;
    },
  };
}
