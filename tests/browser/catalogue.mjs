/** A small invented catalogue for the browser tests. */

const load = { normal: 0.02, alarm: 0.05, least: 16 };

/** @param {string} part @param {string} description @param {number} price @param {object} kind */
const item = (part, description, price, kind) => ({ part, description, price, kind });

const detector = (part, description, measures) =>
  item(part, description, 420, {
    is: "detector_device",
    measures,
    principle: "catalytic",
    range_low: 0,
    range_high: 100,
    range_unit: "%LFL",
    load,
  });

export const catalogueEdit = {
  do: "set_catalogue",
  catalogue: {
    name: "Invented",
    currency: "€",
    items: [
      detector("T-H2", "Field device, hydrogen", ["1333-74-0"]),
      detector("T-HC", "Field device, hydrocarbons", ["74-98-6", "74-82-8"]),
      item("T-PANEL", "Control panel", 2600, {
        is: "panel",
        connections: 4,
        devices_per_connection: 40,
        measuring_points: 64,
        current_per_connection: 1,
        longest_segment_m: 800,
        bus_voltage: 24,
        bus_voltage_least: 21,
      }),
      item("T-CABLE-1.5", "Two-core cable 1.5 mm2", 1.2, {
        is: "cable",
        cross_section_mm2: 1.5,
        class: "fixed",
      }),
      item("T-SOUNDER", "Sounder with beacon", 180, { is: "sounder", load }),
    ],
  },
};
