//! A cut through the room of a release, to scale, with the gas at one time.

use crate::documents::drawing::caption::{SMALL, text};
use crate::documents::drawing::floor_marks::{
    RADIUS, SOURCE_HALF, hazard_letters, instrument, source,
};
use crate::documents::drawing::hatch::hatched;
use crate::documents::drawing::labels::{self, Block, Labels, Symbol, frame};
use crate::documents::drawing::measures::Measures;
use crate::documents::drawing::release::course::{Shape, shape_at, time_text};
use crate::documents::drawing::release::{FIGURE_WIDTH, band_of, figure};
use crate::documents::drawing::view::View;
use crate::documents::drawing::{Drawing, Ink, Mark, Pen, Spot};
use crate::documents::number::{self, Decimals};
use crate::engine::Results;
use crate::engine::results::{Motion, ReleaseCase, ReleaseResult};
use crate::geometry::{Bounds, Point, Polygon};
use crate::model::basis::ENTRAINMENT;
use crate::model::*;
use crate::units::Unit;

/// Beside the room: the height at the left, words at the right, mm.
const LEFT: f64 = 16.0;
const RIGHT: f64 = 40.0;
const TOP: f64 = 4.0;
const FOOT: f64 = 8.0;
/// Most a room may be high on the paper, mm.
const MOST_HIGH: f64 = 46.0;
/// The breathing band, m: noses of people who stand or sit. Common practice, no source.
const BREATHING: (f64, f64) = (1.2, 1.8);
/// A room this much longer than wide is cut along its length whatever stands in it.
const LONG_ROOM: f64 = 1.5;
const FRONT: Pen = Pen::MEDIUM.dashed(&[0.3, 0.9]);
const PLUME: Pen = Pen::THIN.dashed(&[1.2, 0.8]);
/// How much a text over the line of a pit matters.
const PIT_PRICE: f64 = 30.0;
/// How thick a pool is drawn, mm: its depth would not be seen to scale.
const POOL: f64 = 0.9;

/// The room with the gas at `seconds`; `None` where there is no room.
pub fn section_figure(
    project: &Project,
    results: &Results,
    (of, release): (&ReleaseSource, &ReleaseResult),
    case: &ReleaseCase,
    seconds: f64,
) -> Option<Drawing> {
    let room = project.rooms.get(release.room?)?;
    let ceiling = release.height.map(|height| height.value)?;
    let cut = Cut::through(project, room, ceiling)?;
    let entrainment = project.basis.get(&ENTRAINMENT);
    let shape = shape_at(release, case, seconds, ceiling, entrainment);
    let mut marks = cut.breathing();
    marks.extend(cut.gas(case.motion, &shape, of.at));
    marks.extend(release.pool.map(|pool| cut.pool(pool.value, of.at)));
    marks.extend(cut.building(room.enclosure, project.head.units));
    let window = frame(
        Spot::new(FIGURE_WIDTH / 2.0, cut.height_mm / 2.0),
        FIGURE_WIDTH - 1.0,
        cut.height_mm - 1.0,
    );
    let mut labels = Labels::within(window, Measures::PAPER);
    labels.take(frame(
        Spot::new(cut.left() - 10.0, cut.height_mm / 2.0),
        17.0,
        cut.height_mm,
    ));
    for line in cut.pit_lines() {
        labels.avoid(&line, PIT_PRICE);
    }
    marks.extend(cut.standing(project, results, (of, release), room, &mut labels));
    let about = ItemKey::Source(of.id);
    let seen = Seen {
        motion: case.motion,
        shape,
        pool: release.pool.map(|pool| pool.value),
    };
    cut.words(project.head.units, about, &seen, &mut labels);
    marks.extend(labels::marks(&labels.settle(|_| true)));
    let at = Spot::new(cut.left(), cut.height_mm - 1.6);
    let words = format!("1:{}", cut.view.scale);
    marks.push(text(at, SMALL, words).bold().mark());
    let shows = format!(
        "Section of the room {} after the beginning",
        time_text(seconds)
    );
    Some(figure("Section".to_owned(), shows, cut.height_mm, marks))
}

/// What of a release words stand beside.
struct Seen {
    motion: Motion,
    shape: Shape,
    /// m2.
    pool: Option<f64>,
}

/// How the room is cut: `view` takes metres along the cut and minus the height.
struct Cut {
    view: View,
    along_x: bool,
    from: f64,
    long: f64,
    ceiling: f64,
    /// Outlines of the pits of the room with their depths, m.
    pits: Vec<(Vec<Point>, f64)>,
    height_mm: f64,
}

impl Cut {
    fn through(project: &Project, room: &Room, ceiling: f64) -> Option<Cut> {
        let outline = Polygon::new(room.outline.clone());
        let bounds = outline.bounds()?;
        let things: Vec<Point> = things(project, room, &outline);
        let along_x = along_x(bounds, &things);
        let (from, long) = match along_x {
            true => (bounds.min.x, bounds.width()),
            false => (bounds.min.y, bounds.height()),
        };
        let pits = pits(project, room, &outline);
        let deepest = pits
            .iter()
            .fold(0.0, |most: f64, (_, depth)| most.max(*depth));
        let cut = Bounds {
            min: Point::new(0.0, -ceiling),
            max: Point::new(long, deepest),
        };
        let width = FIGURE_WIDTH - LEFT - RIGHT;
        let scale = View::fitting(cut, Spot::new(0.0, 0.0), width, MOST_HIGH).scale;
        let high = (ceiling + deepest) * 1000.0 / f64::from(scale);
        let corner = Spot::new(LEFT, TOP);
        Some(Cut {
            view: View::fitting(cut, corner, width, high.max(MOST_HIGH.min(high))),
            along_x,
            from,
            long,
            ceiling,
            pits,
            height_mm: high + TOP + FOOT,
        })
    }

    /// The place of a point of the floor at a height.
    fn spot(&self, at: Point, height: f64) -> Spot {
        let along = if self.along_x { at.x } else { at.y };
        self.view.spot(Point::new(along - self.from, -height))
    }

    fn left(&self) -> f64 {
        self.view.spot(Point::new(0.0, 0.0)).x
    }

    fn right(&self) -> f64 {
        self.view.spot(Point::new(self.long, 0.0)).x
    }

    fn y(&self, height: f64) -> f64 {
        self.view.spot(Point::new(0.0, -height)).y
    }

    /// The whole width of the room between two heights.
    fn slab(&self, low: f64, high: f64) -> Vec<Spot> {
        let (top, foot) = (self.y(high), self.y(low));
        let corner = Spot::new(self.left(), top);
        Mark::rectangle(corner, self.right() - self.left(), foot - top)
    }

    fn breathing(&self) -> Vec<Mark> {
        if BREATHING.1 >= self.ceiling {
            return Vec::new();
        }
        let slab = self.slab(BREATHING.0, BREATHING.1);
        let pen = Pen::solid(0.13, Ink::Of(Band::Breathing));
        let rims = [(slab[0], slab[1]), (slab[3], slab[2])];
        let area = Mark::Area {
            rings: vec![slab],
            ink: Ink::Of(Band::Breathing),
            opacity: 0.05,
        };
        let strokes = rims.to_vec();
        vec![area, Mark::Strokes { strokes, pen }]
    }

    fn gas(&self, motion: Motion, shape: &Shape, at: Point) -> Vec<Mark> {
        let (band, mut marks) = (band_of(motion), Vec::new());
        let mut fill = |ring: Vec<Spot>, opacity: f64| {
            marks.push(Mark::Area {
                rings: vec![ring.clone()],
                ink: Ink::Of(band),
                opacity,
            });
            marks.extend(hatched(vec![ring], band));
        };
        if shape.mixed.is_some() {
            fill(self.slab(0.0, self.ceiling), 0.06);
        }
        if let Some(layer) = shape.layer {
            fill(self.slab(layer.low, layer.high), 0.2);
        }
        if let Some(cone) = shape.cone {
            let half = self.view.long(cone.radius);
            let (tip, end) = (self.spot(at, cone.from), self.spot(at, cone.to));
            let ring = vec![
                tip.plus(-0.3, 0.0),
                end.plus(-half, 0.0),
                end.plus(half, 0.0),
                tip.plus(0.3, 0.0),
            ];
            fill(ring.clone(), 0.2);
            marks.push(Mark::ring(ring, PLUME));
        }
        if let Some(layer) = shape.layer {
            let y = self.y(if motion == Motion::Rises {
                layer.low
            } else {
                layer.high
            });
            let line = vec![Spot::new(self.left(), y), Spot::new(self.right(), y)];
            marks.push(Mark::line(line, FRONT));
        }
        marks
    }

    /// A round pool of `area` m2, its width to scale, no wider than the room.
    fn pool(&self, area: f64, at: Point) -> Mark {
        let half = self.view.long((area / std::f64::consts::PI).sqrt());
        let middle = self.spot(at, 0.0);
        let left = (middle.x - half).max(self.left());
        let right = (middle.x + half).min(self.right());
        Mark::Area {
            rings: vec![Mark::rectangle(
                Spot::new(left, middle.y - POOL),
                right - left,
                POOL,
            )],
            ink: Ink::Of(Band::Low),
            opacity: 1.0,
        }
    }

    /// Floor, walls and ceiling; the height at the left.
    fn building(&self, enclosure: Enclosure, units: UnitSystem) -> Vec<Mark> {
        let (left, right) = (self.left(), self.right());
        let (roof, floor) = (self.y(self.ceiling), self.y(0.0));
        let across = |y: f64| vec![Spot::new(left - 3.0, y), Spot::new(right + 3.0, y)];
        let up = |x: f64| vec![Spot::new(x, roof), Spot::new(x, floor)];
        let mut marks = vec![Mark::line(across(floor), Pen::HEAVY)];
        let pit = |line| Mark::line(line, Pen::MEDIUM.dashed(&[1.2, 0.9]));
        marks.extend(self.pit_lines().into_iter().map(pit));
        let open = Pen::MEDIUM.dashed(&[3.0, 1.4]);
        let roof_pen = if enclosure == Enclosure::Outdoor {
            open
        } else {
            Pen::HEAVY
        };
        marks.push(Mark::line(across(roof), roof_pen));
        if enclosure == Enclosure::Enclosed {
            marks.extend([left, right].map(|x| Mark::line(up(x), Pen::HEAVY)));
        }
        let x = left - 5.0;
        let tick = |y: f64| (Spot::new(x - 1.2, y), Spot::new(x + 1.2, y));
        marks.push(Mark::Strokes {
            strokes: vec![
                (Spot::new(x, roof), Spot::new(x, floor)),
                tick(roof),
                tick(floor),
            ],
            pen: Pen::THIN,
        });
        let words = metres(self.ceiling, units);
        let middle = Spot::new(x - 1.8, (roof + floor) / 2.0 + 1.0);
        marks.push(text(middle, SMALL, words).end().mark());
        marks
    }

    /// Each pit as it lies behind the cut, between the walls.
    fn pit_lines(&self) -> Vec<Vec<Spot>> {
        let line = |(outline, depth): &(Vec<Point>, f64)| {
            let xs = outline.iter().map(|at| self.spot(*at, 0.0).x);
            let xs = xs.map(|x| x.clamp(self.left(), self.right()));
            let (left, right) = xs.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), x| {
                (low.min(x), high.max(x))
            });
            let (top, foot) = (self.y(0.0), self.y(-depth));
            let corners = [(left, top), (left, foot), (right, foot), (right, top)];
            corners.map(|(x, y)| Spot::new(x, y)).to_vec()
        };
        self.pits.iter().map(line).collect()
    }

    /// The source and the room's detectors, each at its height.
    fn standing(
        &self,
        project: &Project,
        results: &Results,
        (of, release): (&ReleaseSource, &ReleaseResult),
        room: &Room,
        labels: &mut Labels,
    ) -> Vec<Mark> {
        let units = project.head.units;
        let watches = results.sources.get(&of.id).map(|found| &found.watches);
        let letters = hazard_letters(watches.into_iter().flatten());
        let at = self.spot(of.at, release.source_height.value);
        let mut marks = source(at, &letters);
        labels.take(frame(at, 7.2, 2.0 * SOURCE_HALF));
        let words = format!(
            "{}, {}",
            of.name,
            metres(release.source_height.value, units)
        );
        let triangle = symbol(at, 3.6, SOURCE_HALF);
        name(labels, ItemKey::Source(of.id), words, triangle);
        let outline = Polygon::new(room.outline.clone());
        let mut taken = vec![at];
        let inside = project
            .detectors
            .iter()
            .filter(|detector| detector.floor == room.floor && outline.contains(detector.at));
        for detector in inside {
            let home = self.spot(detector.at, detector.height.get());
            let at = aside(home, &taken);
            if at != home {
                marks.push(Mark::line(vec![home, at], Pen::THIN));
            }
            taken.push(at);
            let pen = Pen::solid(0.6, Ink::Of(detector.band));
            marks.extend(instrument(at, &detector.tag, pen));
            labels.take(frame(at, 2.0 * RADIUS, 2.0 * RADIUS));
            let words = metres(detector.height.get(), units);
            let circle = symbol(at, RADIUS, RADIUS);
            name(labels, ItemKey::Detector(detector.id), words, circle);
        }
        marks
    }

    /// What stands at the right: the front with its gas, the pool, the breathing band.
    fn words(&self, units: UnitSystem, about: ItemKey, seen: &Seen, labels: &mut Labels) {
        let shape = &seen.shape;
        let x = self.right() + 4.0;
        let vol = |gas: f64| {
            number::text(
                gas,
                Unit::PercentVolume,
                Decimals::Significant(2),
                units,
                "",
            )
        };
        let mut lines: Vec<(f64, Vec<String>)> = Vec::new();
        if BREATHING.1 < self.ceiling {
            let words = format!("breathing {:.1} to {:.1} m", BREATHING.0, BREATHING.1);
            let words = match units {
                UnitSystem::Metric => words.replace(" m", "\u{202f}m"),
                UnitSystem::UsCustomary => "breathing band".to_owned(),
            };
            lines.push((self.y(f64::midpoint(BREATHING.0, BREATHING.1)), vec![words]));
        }
        if let Some(layer) = shape.layer {
            let front = if seen.motion == Motion::Rises {
                layer.low
            } else {
                layer.high
            };
            let words = vec![
                format!("front {}", front_text(front, units)),
                format!("{} in the layer", vol(layer.gas)),
            ];
            lines.push((self.y(front), words));
        }
        if let Some(mixed) = shape.mixed {
            let words = vec!["mixed through the room".to_owned(), vol(mixed)];
            lines.push((self.y(self.ceiling) + 4.0, words));
        }
        if let Some(pool) = seen.pool {
            let two = Decimals::Significant(2);
            let area = number::text(pool, Unit::SquareMetre, two, units, "");
            lines.push((self.y(0.0), vec![format!("pool {area}")]));
        }
        for (y, words) in lines {
            let block = block(words);
            let (width, _) = block.size(&Measures::PAPER);
            let offers: Vec<(Spot, f64)> = [0.0, 3.0, -3.0, 6.0, -6.0, 9.0, -9.0]
                .into_iter()
                .map(|down: f64| (Spot::new(x + width / 2.0, y + down), down.abs()))
                .collect();
            labels.at_one_of(about, block, &offers);
        }
    }
}

/// A line of words that wants to stand beside its symbol.
fn name(labels: &mut Labels, about: ItemKey, words: String, symbol: Symbol) {
    let block = block(vec![words]);
    let offers = labels::around(&symbol, &block, &Measures::PAPER);
    labels.beside(about, block, symbol, &offers);
}

/// Sources and detectors of the room on plan.
fn things(project: &Project, room: &Room, outline: &Polygon) -> Vec<Point> {
    let sources = project.sources.iter().map(|thing| (thing.floor, thing.at));
    let detectors = project
        .detectors
        .iter()
        .map(|thing| (thing.floor, thing.at));
    let here = |(floor, at): &(FloorId, Point)| *floor == room.floor && outline.contains(*at);
    let both = sources.chain(detectors).filter(here);
    both.map(|(_, at)| at).collect()
}

/// The pits that lie in a room, with their depths, m.
fn pits(project: &Project, room: &Room, outline: &Polygon) -> Vec<(Vec<Point>, f64)> {
    let pits = project.marked.iter().filter(|area| {
        let middle = Polygon::new(area.outline.clone()).label_point();
        area.kind == MarkedKind::Pit && area.floor == room.floor && outline.contains(middle)
    });
    pits.map(|area| (area.outline.clone(), area.level_in(&project.basis)))
        .collect()
}

/// Along the longer side; in a room about square, so that what stands in it lies least behind one
/// another.
fn along_x(bounds: Bounds, things: &[Point]) -> bool {
    let (width, height) = (bounds.width(), bounds.height());
    let long = width >= height;
    if width.max(height) > LONG_ROOM * width.min(height) || things.len() < 2 {
        return long;
    }
    let gap = |along: fn(&Point) -> f64| {
        let mut places: Vec<f64> = things.iter().map(along).collect();
        places.sort_by(f64::total_cmp);
        let gaps = places.windows(2).map(|pair| pair[1] - pair[0]);
        gaps.fold(f64::INFINITY, f64::min)
    };
    let (across, down) = (gap(|p| p.x), gap(|p| p.y));
    if (across - down).abs() < 0.2 {
        long
    } else {
        across > down
    }
}

/// To the right until it covers nothing; the height stays true.
fn aside(home: Spot, taken: &[Spot]) -> Spot {
    let free = |at: &Spot| {
        taken
            .iter()
            .all(|other| other.distance(*at) >= 2.0 * RADIUS + 0.4)
    };
    let shifts = (0..60).flat_map(|n| [f64::from(n) * 0.5, f64::from(n) * -0.5]);
    let mut tried = shifts.map(|dx| home.plus(dx, 0.0));
    tried.find(free).unwrap_or(home)
}

const fn symbol(at: Spot, half_width: f64, half_height: f64) -> Symbol {
    Symbol {
        at,
        half_width,
        half_height,
    }
}

const fn block(lines: Vec<String>) -> Block {
    Block { lines, bold: false }
}

fn metres(value: f64, units: UnitSystem) -> String {
    number::text(value, Unit::Metre, Decimals::Places(2), units, "")
}

/// Height of a front: a layer thinner than the digits show is not said to be nothing.
fn front_text(value: f64, units: UnitSystem) -> String {
    let words = metres(value, units);
    let least = match units {
        UnitSystem::Metric => 0.01,
        UnitSystem::UsCustomary => 0.01 * 0.3048,
    };
    match value > 0.0 && words == metres(0.0, units) {
        true => format!("below {}", metres(least, units)),
        false => words,
    }
}
