/**
 * The shapes that travel between server and editor, as types only. The Rust model is the authority.
 *
 * @typedef {[number, number]} Point  metres; x to the right, y down the plan
 * @typedef {"floor"|"room"|"barrier"|"opening"|"source"|"detector"|"device"|"panel"|"containment"
 *   |"riser"|"segment"} Kind
 * @typedef {{kind: Kind, id: number}} Key
 * @typedef {{value: number, unit: string, why: number}} Quantity
 * @typedef {{id: number, name: string, elevation: number, sheet: ?PlanSheet}} Floor
 * @typedef {{image: string, name: string, page: number, width_px: number, height_px: number,
 *   scale: ?{a: Point, b: Point, length: number}, rotation: number, origin: Point, fade: number
 *   }} PlanSheet
 * @typedef {{id: number, floor: number, number: string, name: string, room_use: string,
 *   enclosure: string, outline: Point[], ceiling: ?number, air_changes: ?number}} Room
 * @typedef {{id: number, floor: number, line: Point[], height: ?number}} Barrier
 * @typedef {{id: number, floor: number, a: Point, b: Point, form: string, head: ?number}} Opening
 * @typedef {{id: number, floor: number, name: string, at: Point, height: ?number,
 *   substance: string, holding: ?string}} Source
 * @typedef {{id: number, tag: string, floor: number, at: Point, height: number, watches: string,
 *   hazard: string, band: string, part: ?string, origin: string, set_points: object[],
 *   tag_offset: ?Point}} Detector
 * @typedef {{id: number, tag: string, floor: number, at: Point, height: number, part: string,
 *   detectors: number[], existing: boolean}} Device
 * @typedef {{id: number, tag: string, floor: number, at: Point, height: number, part: string,
 *   existing: boolean}} Panel
 * @typedef {{id: number, floor: number, kind: string, line: Point[], height: ?number}} Containment
 * @typedef {{id: number, name: string, at: Point, lowest: number, highest: number}} Riser
 * @typedef {{id: number, tag: string, panel: number, connection: number, topology: string,
 *   cable: string, devices: number[]}} Segment
 * @typedef {{head: any, basis: any, catalogue: any, floors: Floor[], rooms: Room[],
 *   barriers: Barrier[], openings: Opening[], sources: Source[], detectors: Detector[],
 *   devices: Device[], panels: Panel[], containments: Containment[], risers: Riser[],
 *   segments: Segment[]}} Project
 * @typedef {{do: string, item?: {kind: Kind, value: any}, key?: Key, label?: string,
 *   edits?: Edit[], head?: any}} Edit
 * @typedef {{edit: Edit, label: string, select?: Key}} Command  an edit, its words, what to select
 */

export {};
