//! What a candidate point costs: the part, a spur by a stated estimate, its nearness to sources,
//! access for calibration.

use std::collections::BTreeMap;

use crate::engine::airspace::Airspaces;
use crate::engine::coverage::{Group, InReach, Need, aim};
use crate::engine::placement::candidates::{Candidate, Fixing};
use crate::engine::placement::marked::hard_to_reach;
use crate::engine::placement::rules::COLUMN_COST;
use crate::engine::solve::cover::Column;
use crate::engine::trace::Trace;
use crate::geometry::{Point, Polygon, Segment};
use crate::model::basis;
use crate::model::*;

/// A detector that stays where it is costs this much less than a new one at its place.
const STAYS: f64 = 0.01;

/// What a candidate point costs.
pub struct Pricing<'a> {
    spaces: &'a Airspaces<'a>,
    needs: &'a [Need],
    group: &'a Group,
    price: f64,
    /// Price of a metre of the cheapest cable; 0 where the catalogue has none.
    pub cable: f64,
    /// Laid metre of cable.
    metre: f64,
    spur: f64,
    nearness: f64,
    post: f64,
    access: f64,
    /// Mounting height of the band in each room of the airspace, m.
    heights: BTreeMap<RoomId, f64>,
    ways: Vec<Segment>,
    corridors: Vec<&'a Polygon>,
}

impl<'a> Pricing<'a> {
    /// A price of 0 is taken where the catalogue has no part.
    pub fn new(
        project: &'a Project,
        spaces: &'a Airspaces<'a>,
        needs: &'a [Need],
        group: &'a Group,
        price: f64,
    ) -> Self {
        let basis = &project.basis;
        let floor = spaces.spaces[group.space].floor;
        let labour = basis.get(&basis::HOURS_CABLE) * basis.get(&basis::RATE_LABOUR);
        let cable = project
            .catalogue
            .items
            .iter()
            .filter(|item| matches!(item.kind, ItemKind::Cable { .. }))
            .map(|item| item.price.get())
            .min_by(f64::total_cmp);
        let cable = cable.unwrap_or(0.0);
        let metre = cable + labour;
        let mut ways: Vec<Segment> = Vec::new();
        for containment in project
            .containments
            .iter()
            .filter(|thing| thing.floor == floor)
        {
            ways.extend(
                containment
                    .line
                    .windows(2)
                    .map(|pair| Segment::new(pair[0], pair[1])),
            );
        }
        let panels = project.panels.iter().filter(|panel| panel.floor == floor);
        ways.extend(panels.map(|panel| Segment::new(panel.at, panel.at)));
        ways.extend(
            project
                .risers
                .iter()
                .map(|riser| Segment::new(riser.at, riser.at)),
        );
        let corridors = project
            .rooms_on(floor)
            .filter(|room| room.room_use == RoomUse::Corridor)
            .map(|room| spaces.outline(room.id))
            .collect();
        Pricing {
            spaces,
            needs,
            group,
            price,
            cable,
            metre: if metre > 0.0 { metre } else { 1.0 },
            spur: basis.get(&basis::SPUR_ESTIMATE),
            nearness: basis.get(&basis::NEARNESS),
            post: basis.get(&basis::POST),
            access: basis.get(&basis::ACCESS),
            heights: heights(project, spaces, needs, group),
            ways,
            corridors,
        }
    }

    /// Cable estimated for a detector at a place, m.
    pub fn spur(&self, at: Point) -> f64 {
        let corridor = |outline: &&Polygon| match outline.contains(at) {
            true => 0.0,
            false => outline.boundary_distance(at),
        };
        let nearest = (self.ways.iter().map(|way| way.distance_to(at)))
            .chain(self.corridors.iter().map(corridor))
            .min_by(f64::total_cmp)
            .unwrap_or(0.0);
        self.spur * nearest
    }

    /// The column of a candidate point.
    pub fn column(&self, candidate: &Candidate) -> Column {
        let place = (candidate.at, candidate.height);
        let hangs = candidate.height.unwrap_or(self.heights[&candidate.room]);
        Column {
            id: format!("b{}", place_id(place.0, place.1)),
            cost: self.cost(place, hangs, candidate.fixing, &candidate.reached),
        }
    }

    /// The column of a suggested detector that stands at `place` already and hangs at `hangs`, m.
    pub fn standing(
        &self,
        place: (Point, Option<f64>),
        hangs: f64,
        fixing: Fixing,
        reached: &InReach,
    ) -> Column {
        Column {
            id: format!("a{}", place_id(place.0, place.1)),
            cost: (self.cost(place, hangs, fixing, reached) - STAYS).max(0.0),
        }
    }

    /// The column of a detector that stays in any case.
    pub fn kept(at: Point) -> Column {
        Column {
            id: format!("a{}", place_id(at, None)),
            cost: 0.0,
        }
    }

    /// `place` is the point and, where the band has several, the height; off the mounting height of
    /// a source counts as far from it.
    fn cost(
        &self,
        place: (Point, Option<f64>),
        hangs: f64,
        fixing: Fixing,
        reached: &InReach,
    ) -> f64 {
        let (at, height) = place;
        let hard = hard_to_reach(self.spaces, self.group.space, at, hangs);
        let sources: Vec<f64> = self
            .group
            .needs
            .iter()
            .zip(&reached.distances)
            .filter(|(idx, _)| !self.needs[**idx].is_floor())
            .filter_map(|(idx, distance)| {
                let off = height.map_or(0.0, |height| (height - self.needs[*idx].height).abs());
                Some((*distance)? + off)
            })
            .collect();
        let mean = match sources.len() {
            0 => 0.0,
            n => sources.iter().sum::<f64>() / n as f64,
        };
        let post = if fixing == Fixing::Post {
            self.post
        } else {
            0.0
        };
        let inputs = [
            self.price,
            self.metre,
            self.spur(at),
            self.nearness * mean,
            post,
            hard.map_or(0.0, |_| self.access),
        ];
        ((COLUMN_COST.compute)(&inputs) * 100.0).round() / 100.0
    }
}

fn heights(
    project: &Project,
    spaces: &Airspaces<'_>,
    needs: &[Need],
    group: &Group,
) -> BTreeMap<RoomId, f64> {
    let rooms = spaces.spaces[group.space].rooms.iter();
    let height = |room: &&Room| {
        let place = (spaces.outline(room.id).label_point(), None);
        let aim = aim(project, needs, group, room, place, &mut Trace::default());
        (room.id, aim.value)
    };
    rooms.map(height).collect()
}

/// An identifier that sorts by place, whatever the order of the input.
fn place_id(at: Point, height: Option<f64>) -> String {
    let place = format!("{:014.3}/{:014.3}", at.x + 1e6, at.y + 1e6);
    match height {
        Some(height) => format!("{place}/{:09.3}", height + 1e3),
        None => place,
    }
}
