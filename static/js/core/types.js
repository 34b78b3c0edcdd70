/**
 * The shapes that travel between server and editor, as types only. The Rust model is the authority.
 *
 * @typedef {[number, number]} Point  metres; x to the right, y down the plan
 * @typedef {"floor"|"room"|"barrier"|"opening"|"source"|"terminal"|"marked"|"detector"|"device"|"panel"
 *   |"containment"|"riser"|"segment"} Kind
 * @typedef {{kind: Kind, id: number}} Key
 * @typedef {{value: number, unit: string, why: number}} Quantity
 * @typedef {{id: number, name: string, elevation: number, sheet: ?PlanSheet}} Floor
 * @typedef {{image: string, name: string, page: number, width_px: number, height_px: number,
 *   scale: ?{a: Point, b: Point, length: number}, rotation: number, origin: Point, fade: number
 *   }} PlanSheet
 * @typedef {{id: number, floor: number, number: string, name: string, room_use: string,
 *   enclosure: string, outline: Point[], ceiling: ?number, air_changes: ?number,
 *   features?: RoomFeatures}} Room
 * @typedef {{pit: ?number, raised_floor: ?number, ceiling_void: ?number, warm_ceiling: boolean,
 *   extract_duct: boolean, air_intake: boolean, fast_supply: boolean, low_vent: ?number,
 *   high_vent: ?number, vent_rise: ?number}} RoomFeatures  left out where a room is plain
 * @typedef {{id: number, floor: number, line: Point[], height: ?number, underside?: ?number
 *   }} Barrier  with an underside it is a beam
 * @typedef {{id: number, floor: number, a: Point, b: Point, form: string, head: ?number}} Opening
 * @typedef {{id: number, floor: number, name: string, at: Point, height: ?number,
 *   substance: string, called?: string, holding: ?string, release: ?StatedRelease,
 *   extent?: {kind: "line"|"area", points: Point[]}}} Source
 * @typedef {{id: number, floor: number, kind: string, at: Point, height: ?number, flow: ?number
 *   }} Terminal  of the air; flow in m3/h
 * @typedef {{id: number, floor: number, kind: string, outline: Point[], level: ?number
 *   }} Marked  area of a floor; level: depth of a pit, height of a platform
 * @typedef {{kind: "flow", rate: ?number, per: string}
 *   | {kind: "leak", hole: ?number, joint: ?string, bore: ?number, pressure: ?number,
 *     temperature: ?number}
 *   | {kind: "low_pressure", rating: ?number, bore: ?number, pressure: ?number}
 *   | {kind: "cylinder", litres: ?number, pressure: ?number, contents: ?number, number: ?number,
 *     outlet: string, hole: ?number}
 *   | {kind: "dewar", litres: ?number, loss: string, boil_off: ?number}
 *   | {kind: "spill", litres: ?number, area: ?number, air_speed: ?number, temperature: ?number}
 *   | {kind: "battery", cells: ?number, capacity: ?number, cell: ?string, charge: ?string}
 *   | {kind: "charge", mass: ?number, minutes: ?number}} StatedRelease  as
 *   `model::Release`
 * @typedef {{id: number, tag: string, floor: number, at: Point, height: number, watches: string,
 *   hazard: string, band: string, part: ?string, origin: string, set_points: SetPoint[],
 *   set_points_reason?: string, tag_offset: ?Point}} Detector
 * @typedef {{value: number, unit: string, rising: boolean, averaging?: "instant"|"one_minute"
 *   |"fifteen_minutes"|"one_hour"|"eight_hours"}} SetPoint
 * @typedef {{id: number, name: string, by: "mole"|"mass",
 *   components: {substance: string, fraction: number}[]}} Mixture
 * @typedef {{id: number, tag: string, floor: number, at: Point, height: number, part: string,
 *   detectors: number[], existing: boolean}} Device
 * @typedef {{id: number, tag: string, floor: number, at: Point, height: number, part: string,
 *   existing: boolean}} Panel
 * @typedef {{id: number, floor: number, kind: string, line: Point[], height: ?number}} Containment
 * @typedef {{id: number, name: string, at: Point, lowest: number, highest: number}} Riser
 * @typedef {{id: number, tag: string, panel: number, connection: number, topology: string,
 *   cable: string, devices: number[]}} Segment
 * @typedef {{head: any, basis: any, catalogue: any, floors: Floor[], rooms: Room[],
 *   barriers: Barrier[], openings: Opening[], sources: Source[], terminals: Terminal[],
 *   marked: Marked[], detectors: Detector[],
 *   devices: Device[], panels: Panel[], containments: Containment[], risers: Riser[],
 *   segments: Segment[], mixtures: Mixture[], substances?: any[]}} Project
 * @typedef {{unit: string, at_zero: number, per_percent: number}} Scale  a reading is
 *   at_zero + per_percent * gas, gas in %vol of the room's air
 * @typedef {{hazard: string, measures: string, band: string, detector: ?number, height: Quantity,
 *   distance: Quantity, scale: Scale, set_point: Quantity, set_point_gas: Quantity,
 *   at_detector: Point[], gas_layered: ?Quantity, gas_layered_band: [?Quantity, ?Quantity], gas_mixed: ?Quantity,
 *   delay: Quantity, alarm_layered: ?Quantity, alarm_mixed: ?Quantity, alarm: ?Quantity,
 *   picture: ?("layered"|"mixed"), sentence: string}} Alarm  gas at the detector: s and %vol
 * @typedef {{hazard: string, scale: Scale, name: string, level: Quantity,
 *   harm_layered: ?Quantity, harm_mixed: ?Quantity, harm: ?Quantity, alarm: ?Quantity,
 *   harm_later: ?Quantity, alarm_layered: ?Quantity, alarm_mixed: ?Quantity,
 *   picture: ?("layered"|"mixed"),
 *   verdict: "in_time"|"no_harm"|"neither"|"too_late"|"no_alarm", sentence: string}} Harm
 * @typedef {{state: "leaving"|"warmed", motion: "rises"|"falls"|"mixes",
 *   from: Quantity, relative_density: Quantity, plume: ?{run: Quantity, buoyancy: Quantity, flux: Quantity,
 *   dilution: Quantity, dilution_band: [Quantity, Quantity]},
 *   vented: ?{vents: Quantity, front: Quantity, flow: Quantity, gas: Quantity}, times: number[], front: number[],
 *   layer: number[], occupied: number[], mixed: number[], highest: Quantity, steady: ?Quantity,
 *   alarms: Alarm[], harms: Harm[]}} ReleaseCase  times in s, front in m above the floor, the rest
 *   in %vol; at a height inside the layer the gas is `layer`, outside it 0
 * @typedef {{room: ?number, substance: string, rate: Quantity, total: ?Quantity, ends: ?Quantity,
 *   relative_density: Quantity, source_height: Quantity, pool: ?Quantity, volume: ?Quantity, area: ?Quantity,
 *   height: ?Quantity, ventilation: ?Quantity, occupied_height: Quantity, cases: ReleaseCase[],
 *   mixing: ?{gas: number[], adiabatic: number[], heated: number[],
 *   crossing_adiabatic: ?Quantity, crossing_heated: ?Quantity, sentence: string},
 *   final_oxygen: ?{plug: Quantity, mixed: Quantity},
 *   battery: ?{hydrogen: Quantity, best_estimate: Quantity, airflow: Quantity, opening: Quantity},
 *   charge: ?{charge: Quantity, limit: Quantity}, sentences: string[], notes: string[]
 *   }} ReleaseResult  `results.releases`, by the id of the source
 * @typedef {{do: string, item?: {kind: Kind, value: any}, key?: Key, label?: string,
 *   edits?: Edit[], head?: any}} Edit
 * @typedef {{edit: Edit, label: string, select?: Key}} Command  an edit, its words, what to select
 */

export {};
