//! What the engine says of a project. Plain values in the order of their ids.

mod comparison;
mod mixture;
mod release;
mod substance;

use std::collections::BTreeMap;

use serde::Serialize;

use crate::engine::finding::Finding;
use crate::engine::formula::Rule;
use crate::engine::trace::{Quantity, Trace};
use crate::geometry::Point;
use crate::model::*;

pub use comparison::*;
pub use mixture::*;
pub use release::*;
pub use substance::*;

/// Everything computed for a project.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct Results {
    pub sources: BTreeMap<SourceId, SourceResult>,
    pub releases: Releases,
    /// What the mixtures that the designer states are made to mean; those with an unknown component
    /// are left out.
    pub mixtures: BTreeMap<MixtureId, MixtureResult>,
    /// What the figures that the designer states of substances are made to mean.
    pub substances: BTreeMap<SubstanceId, SubstanceResult>,
    pub rooms: BTreeMap<RoomId, RoomResult>,
    pub demands: Vec<Demand>,
    pub detectors: BTreeMap<DetectorId, DetectorResult>,
    pub segments: BTreeMap<SegmentId, SegmentResult>,
    pub panels: BTreeMap<PanelId, PanelResult>,
    pub take_off: TakeOff,
    pub findings: Vec<Finding>,
    pub questions: Vec<Question>,
    /// `TraceId` n is entry n.
    pub trace: Trace,
}

/// What a release source means.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SourceResult {
    /// The room or area it is in; `None` is a finding.
    pub room: Option<RoomId>,
    /// Name of the substance; the key itself where it is unknown.
    pub substance: String,
    /// What a mixture is made of, by volume: "methane 90 %, ethane 6 %"; empty for all else.
    pub composition: String,
    /// What must be watched because of it.
    pub watches: Vec<Watch>,
    /// What the gas does, in a colleague's words.
    pub sentence: String,
}

/// One hazard of a source in one band.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Watch {
    pub hazard: Hazard,
    /// Key of what is measured: the substance, or oxygen.
    pub measures: String,
    pub band: Band,
    /// Relative density that decided, where one did.
    pub relative_density: Option<Quantity>,
    pub height: Quantity,
    /// Why this band and height, in sentences.
    pub reason: String,
    /// The rules that decided, the one for the band first.
    pub grounds: Vec<Ground>,
}

/// A rule that decided something, as it is printed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Ground {
    pub rule: &'static str,
    pub title: &'static str,
    pub statement: &'static str,
    pub citation: String,
}

impl Ground {
    /// The ground that a rule gives.
    pub fn of(rule: &Rule) -> Self {
        Ground {
            rule: rule.id,
            title: rule.title,
            statement: rule.statement,
            citation: rule.citation.text(),
        }
    }
}

/// What a room needs.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RoomResult {
    pub area: Quantity,
    pub ceiling: Quantity,
    pub air_changes: Quantity,
    /// Per gas and band: how many detectors there are and the fewest there could be.
    pub covers: Vec<CoverResult>,
    /// How well it is watched as a whole; `None` where nothing has to be watched.
    pub scenario: Option<Scenario>,
    /// Interior point for the room's number and name.
    pub label_at: Point,
}

/// Places as far from a detector as this, along free air paths.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DistanceLine {
    pub metres: f64,
    pub rings: Vec<Vec<Point>>,
}

/// How well a room is watched as a whole.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Scenario {
    /// Release sources of the room.
    pub sources: Quantity,
    /// Those of which every demand is met.
    pub met: Quantity,
    /// Share of the sources that is met, %.
    pub share: Quantity,
    /// Least share of the floor area that is watched, of all gases and bands sought over it, %;
    /// `None` where the whole floor need not be watched.
    pub floor: Option<Quantity>,
    /// The share of each floor that is asked for, %; `None` where that is all of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub floor_asked: Option<Quantity>,
    /// s to the alarm of the source that is noticed last; `None` where none is noticed.
    pub alarm: Option<Quantity>,
    /// The source that is noticed last.
    pub last: Option<SourceId>,
    /// Sources of which no detector raises an alarm in the time looked at.
    pub silent: Vec<SourceId>,
}

/// The cover of one room for one measured substance and band.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CoverResult {
    pub measures: String,
    /// Name of what is measured.
    pub name: String,
    pub hazard: Hazard,
    pub band: Band,
    pub detectors: Vec<DetectorId>,
    /// How many must have each demand in reach; the most where demands differ.
    pub need: Quantity,
    /// Fewest that meet every demand, with what is fixed by hand.
    pub fewest: Quantity,
    /// No layout has fewer than this.
    pub bound: Quantity,
    pub proven: bool,
    /// The candidate points and cells the proof holds for, in words.
    pub holds_for: String,
}

/// Something that must be watched.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Demand {
    /// Deterministic, such as "source-3/74-82-8/high" or "area-5/630-08-0/breathing".
    pub id: String,
    pub room: RoomId,
    pub floor: FloorId,
    pub kind: DemandKind,
    pub measures: String,
    pub hazard: Hazard,
    pub band: Band,
    /// What it is, such as "source: H2 regulator" or "floor of G.07".
    pub title: String,
    pub at: Point,
    /// How many detectors must have it in reach.
    pub need: Quantity,
    /// How many count for it, at most `need`; of an area in its least watched cell, or in as much
    /// of it as is asked for.
    pub watching: u32,
    /// Of a floor of which less than all is to be watched, how much: m2.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked: Option<Quantity>,
    pub reach: Quantity,
    /// Who meets it, nearest first: distance along free air paths, or for an area the m2 watched.
    pub met_by: Vec<MetBy>,
    /// For an area: the m2 in reach, of `size`.
    pub watched: Option<Quantity>,
    pub size: Option<Quantity>,
    pub met: bool,
}

impl Demand {
    /// How many detectors must have it in reach.
    pub fn wanted(&self) -> usize {
        self.need.value as usize
    }
}

/// A detector that meets a demand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct MetBy {
    pub detector: DetectorId,
    pub figure: Quantity,
}

/// What kind of demand it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(tag = "kind", content = "id", rename_all = "snake_case")]
pub enum DemandKind {
    Source(SourceId),
    /// Where air with the gas leaves a room or enters the building.
    Terminal(AirTerminalId),
    /// Where air with the gas passes on to another room, or people come in.
    Opening(OpeningId),
    /// A pit in the floor, in which what sinks gathers.
    Pit(MarkedAreaId),
    Area,
}

/// What a detector does.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DetectorResult {
    pub room: Option<RoomId>,
    /// Name of what it measures.
    pub substance: String,
    /// Whether its gas, band, height and part let it count for what is watched around it.
    pub counted: bool,
    pub principle: Option<Principle>,
    pub range: Option<Range>,
    pub height: Quantity,
    /// Why this height, in sentences.
    pub height_reason: String,
    pub set_points: Vec<SetPointResult>,
    /// Those of the rules where the designer states others; else empty.
    pub rule_set_points: Vec<SetPointResult>,
    pub reach: Quantity,
    /// Ids of the demands it meets.
    pub meets: Vec<String>,
    /// What would be unwatched without it.
    pub without: String,
    /// Rings of what lies in its reach along free air paths, m.
    pub coverage: Vec<Vec<Point>>,
}

/// A measuring range.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Range {
    pub low: Quantity,
    pub high: Quantity,
}

impl SetPointResult {
    /// Whether it is a time-weighted alarm beside the ranked ones.
    pub fn is_beside(&self) -> bool {
        self.averaging != Averaging::Instant && self.rank == self.averaging.label()
    }
}

/// A set-point with its reason.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SetPointResult {
    pub value: Quantity,
    pub rising: bool,
    /// "first", "second", "third"; "8-hour average" for a time-weighted alarm beside them.
    pub rank: String,
    /// Over what time the reading is averaged.
    pub averaging: Averaging,
    pub reason: String,
}

/// A bus segment, routed and computed.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SegmentResult {
    /// One cable per hop, from the panel on.
    pub cables: Vec<CableResult>,
    pub length: Quantity,
    /// Longest it may be, spare kept.
    pub length_limit: Option<Quantity>,
    /// Volts at each device in the order of the cable.
    pub volts: Vec<DeviceVolts>,
    /// Device with the least margin.
    pub worst: Option<DeviceId>,
    pub current: Quantity,
    /// Most it may be, spare kept.
    pub current_limit: Option<Quantity>,
    pub n_devices: Quantity,
    pub device_limit: Option<Quantity>,
    pub measuring_points: Quantity,
    pub supply: Option<Quantity>,
}

/// One cable from a panel or device to the next device.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CableResult {
    /// Such as "W1.03".
    pub tag: String,
    pub from: String,
    pub to: String,
    pub part: String,
    /// Corners of the route in three dimensions.
    pub path: Vec<PathPoint>,
    pub horizontal: Quantity,
    pub vertical: Quantity,
    pub terminations: Quantity,
    pub slack: Quantity,
    /// To be ordered: the sum.
    pub length: Quantity,
    pub crossings: Vec<Crossing>,
    pub resistance: Quantity,
    pub drop: Quantity,
}

/// A corner of a cable route.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct PathPoint {
    pub floor: FloorId,
    pub at: Point,
    /// Above the finished floor of `floor`, m.
    pub height: f64,
}

/// A place where a cable goes through a wall or a floor.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Crossing {
    pub floor: FloorId,
    pub at: Point,
    pub through: CrossingKind,
}

/// What is gone through.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum CrossingKind {
    Wall,
    /// Over or through an opening: counted, too.
    Opening,
    Slab,
}

/// Voltage at a device.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DeviceVolts {
    pub device: DeviceId,
    pub tag: String,
    /// Cable metres from the panel.
    pub distance: Quantity,
    pub volts: Quantity,
    pub least: Quantity,
    pub current: Quantity,
}

/// What a panel carries.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct PanelResult {
    pub connections: Quantity,
    pub connection_limit: Option<Quantity>,
    pub measuring_points: Quantity,
    pub measuring_point_limit: Option<Quantity>,
}

/// The take-off: schedules, bill of materials, price.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct TakeOff {
    pub detectors: Vec<DetectorRow>,
    pub cables: Vec<CableRow>,
    pub bill: Vec<BillRow>,
    pub totals: Option<Totals>,
}

/// A row of the detector schedule.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct DetectorRow {
    pub detector: DetectorId,
    pub tag: String,
    pub device: String,
    pub address: String,
    pub floor: String,
    pub room: String,
    pub substance: String,
    pub hazard: Hazard,
    pub band: Band,
    pub height: Quantity,
    pub principle: String,
    pub range: Option<Range>,
    pub set_points: Vec<SetPointResult>,
    pub part: String,
    pub segment: String,
    pub origin: Origin,
}

/// A row of the cable schedule.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CableRow {
    pub segment: SegmentId,
    pub cable: CableResult,
    pub description: String,
}

/// A row of the bill of materials.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct BillRow {
    pub group: BillGroup,
    pub part: String,
    pub description: String,
    pub quantity: Quantity,
    pub unit_price: Quantity,
    pub amount: Quantity,
}

/// Groups of the bill of materials, in order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum BillGroup {
    FieldDevices,
    Panels,
    Cable,
    Accessories,
    Labour,
    Commissioning,
}

impl BillGroup {
    /// The heading.
    pub const fn label(self) -> &'static str {
        match self {
            BillGroup::FieldDevices => "Field devices",
            BillGroup::Panels => "Control panels and power",
            BillGroup::Cable => "Cable",
            BillGroup::Accessories => "Accessories",
            BillGroup::Labour => "Labour",
            BillGroup::Commissioning => "Commissioning",
        }
    }
}

/// What the title block says.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Totals {
    pub detectors: Quantity,
    pub field_devices: Quantity,
    pub cable: Quantity,
    pub price: Quantity,
    /// What the price holds and what it does not, in one sentence.
    pub price_holds: String,
}

/// Something the surveyor did not know; printed as a question to the client.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Question {
    pub about: ItemKey,
    /// "What is the ceiling height of G.02 Gas laboratory?"
    pub question: String,
    /// "Assumed 3.00 m until answered."
    pub assumed: Quantity,
}
