//! Where words and symbols stand so that they hide as little as possible.
//!
//! Boxes and lines of any one unit of length: metres of a floor or millimetres of paper. Each label
//! takes the cheapest of the places it is offered, then labels give way to one another in rounds
//! until none gains by moving. No chance is involved: the same input gives the same places.

use crate::geometry::{Point, Segment};

/// An upright box.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    pub middle: Point,
    pub width: f64,
    pub height: f64,
}

/// What labels have to mind.
#[derive(Debug, Clone, Default)]
pub struct Surroundings {
    /// Nothing may stand on these if there is any other place.
    pub taken: Vec<Frame>,
    /// Better not over these, each at its own price.
    pub lines: Vec<(Segment, f64)>,
    /// All should stand inside this box.
    pub window: Option<Frame>,
    /// Distance that labels keep from one another and from what is taken.
    pub gap: f64,
    /// Distance that labels keep from lines, which have some width.
    pub line_gap: f64,
}

/// Something to be placed.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    pub width: f64,
    pub height: f64,
    /// Middles it may take, at least one, each with what that place costs by itself.
    pub offers: Vec<(Point, f64)>,
    /// What the label belongs to: a line leads there from a label that stands off.
    pub home: Option<Home>,
}

/// What a label belongs to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Home {
    pub at: Point,
    /// A leader line ends this far from `at`.
    pub radius: f64,
    /// A label nearer to that end than this needs no leader line.
    pub near: f64,
}

/// Where the search begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Start {
    /// With an empty sheet: labels are placed in turn.
    Empty,
    /// With every label at its first offer: only those in the way of others move.
    Wished,
}

/// Cost of standing on another box; the share that is covered costs as much again.
const ON_BOX: f64 = 200.0;
const OUTSIDE: f64 = 500.0;
/// Cost of a leader line, and of each box or leader line that it crosses.
const LEADER: f64 = 3.0;
const LEADER_OVER: f64 = 60.0;
/// A leader line over a line costs this share of a label over it.
const LEADER_LINE_SHARE: f64 = 0.3;
const ROUNDS: usize = 6;
/// A place must be cheaper by this to be taken instead.
const GAIN: f64 = 1e-9;

/// The frame of each label, in the order of `labels`.
pub fn place(surroundings: &Surroundings, labels: &[Label], start: Start) -> Vec<Frame> {
    let near: Vec<Near> = labels
        .iter()
        .map(|label| Near::of(surroundings, label))
        .collect();
    let mut placed: Vec<Option<Frame>> = match start {
        Start::Empty => vec![None; labels.len()],
        Start::Wished => labels
            .iter()
            .map(|label| Some(label.frame(label.offers[0].0)))
            .collect(),
    };
    for round in 0..ROUNDS {
        let mut moved = false;
        for idx in 0..labels.len() {
            let best = cheapest(&near, labels, &placed, idx, surroundings.gap);
            moved |= placed[idx] != Some(best);
            placed[idx] = Some(best);
        }
        if !moved && round > 0 {
            break;
        }
    }
    let settled = placed.into_iter().zip(labels);
    settled
        .map(|(frame, label)| frame.unwrap_or_else(|| label.frame(label.offers[0].0)))
        .collect()
}

impl Label {
    /// The line from its home to a frame, where the frame stands off.
    pub fn leader(&self, frame: &Frame) -> Option<Segment> {
        let home = self.home?;
        let end = frame.nearest(home.at);
        let away = end.distance(home.at);
        if away - home.radius <= home.near {
            return None;
        }
        Some(Segment::new(home.at.lerp(end, home.radius / away), end))
    }

    fn frame(&self, middle: Point) -> Frame {
        Frame {
            middle,
            width: self.width,
            height: self.height,
        }
    }
}

impl Frame {
    /// Whether they share any area.
    pub fn overlaps(&self, other: &Frame) -> bool {
        self.shared(other) > 0.0
    }

    /// The place of the box nearest to `p`.
    pub fn nearest(&self, p: Point) -> Point {
        let (w, h) = (self.width / 2.0, self.height / 2.0);
        Point::new(
            p.x.clamp(self.middle.x - w, self.middle.x + w),
            p.y.clamp(self.middle.y - h, self.middle.y + h),
        )
    }

    /// Whether `other` lies wholly inside.
    pub fn holds(&self, other: &Frame) -> bool {
        let inside = |a: f64, b: f64, spare: f64| (a - b).abs() <= spare / 2.0 + 1e-9;
        inside(self.middle.x, other.middle.x, self.width - other.width)
            && inside(self.middle.y, other.middle.y, self.height - other.height)
    }

    /// Whether the segment runs through the box (Liang and Barsky's clipping, 1984).
    pub fn meets(&self, segment: &Segment) -> bool {
        let (a, b) = (segment.from, segment.to);
        let (dx, dy) = (b.x - a.x, b.y - a.y);
        let (w, h) = (self.width / 2.0, self.height / 2.0);
        let (mut enters, mut leaves) = (0.0_f64, 1.0_f64);
        for (step, room) in [
            (-dx, a.x - (self.middle.x - w)),
            (dx, self.middle.x + w - a.x),
            (-dy, a.y - (self.middle.y - h)),
            (dy, self.middle.y + h - a.y),
        ] {
            if step == 0.0 && room < 0.0 {
                return false;
            }
            if step < 0.0 {
                enters = enters.max(room / step);
            } else if step > 0.0 {
                leaves = leaves.min(room / step);
            }
        }
        enters <= leaves
    }

    /// The area they share.
    fn shared(&self, other: &Frame) -> f64 {
        let along = |a: f64, b: f64, one: f64, two: f64| {
            ((one + two) / 2.0 - (a - b).abs()).clamp(0.0, one.min(two).max(0.0))
        };
        along(self.middle.x, other.middle.x, self.width, other.width)
            * along(self.middle.y, other.middle.y, self.height, other.height)
    }

    /// The box with a margin all round.
    pub fn grown(&self, gap: f64) -> Frame {
        Frame {
            width: self.width + 2.0 * gap,
            height: self.height + 2.0 * gap,
            ..*self
        }
    }
}

/// The part of the surroundings that a label can meet at any of its offers.
struct Near {
    /// The box that holds the label at all its offers, and its home.
    reach: Frame,
    taken: Vec<Frame>,
    lines: Vec<(Segment, f64)>,
    window: Option<Frame>,
    line_gap: f64,
}

/// Other labels where they stand, with their leader lines.
type Others = [(Frame, Option<Segment>)];

impl Near {
    fn of(surroundings: &Surroundings, label: &Label) -> Self {
        let points = label.offers.iter().map(|(at, _)| *at);
        let points: Vec<Point> = points.chain(label.home.map(|home| home.at)).collect();
        let (mut min, mut max) = (points[0], points[0]);
        for p in points {
            (min.x, min.y) = (min.x.min(p.x), min.y.min(p.y));
            (max.x, max.y) = (max.x.max(p.x), max.y.max(p.y));
        }
        let reach = Frame {
            middle: min.lerp(max, 0.5),
            width: max.x - min.x + label.width,
            height: max.y - min.y + label.height,
        };
        let reach = reach.grown(surroundings.gap.max(surroundings.line_gap) + 1e-6);
        let taken = surroundings.taken.iter();
        let lines = surroundings.lines.iter();
        Near {
            reach,
            taken: taken
                .filter(|other| reach.overlaps(other))
                .copied()
                .collect(),
            lines: lines
                .filter(|(line, _)| reach.meets(line))
                .copied()
                .collect(),
            window: surroundings.window,
            line_gap: surroundings.line_gap,
        }
    }

    /// Whether a placed label, or its leader line, can be met from any offer.
    fn is_reached_by(&self, frame: &Frame, leader: Option<&Segment>) -> bool {
        self.reach.overlaps(frame) || leader.is_some_and(|leader| self.reach.meets(leader))
    }
}

/// The cheapest place of one label among the others; it keeps its place among equals.
fn cheapest(
    near: &[Near],
    labels: &[Label],
    placed: &[Option<Frame>],
    idx: usize,
    gap: f64,
) -> Frame {
    let label = &labels[idx];
    let others: Vec<(Frame, Option<Segment>)> = placed
        .iter()
        .zip(labels)
        .enumerate()
        .filter(|(other, _)| *other != idx)
        .filter_map(|(_, (frame, label))| frame.map(|frame| (frame, label.leader(&frame))))
        .filter(|(frame, leader)| near[idx].is_reached_by(frame, leader.as_ref()))
        .collect();
    let mut best: Option<(f64, Frame)> = None;
    for &(middle, own_cost) in &label.offers {
        let frame = label.frame(middle);
        let cost = own_cost + cost(&near[idx], label, &frame, &others, gap);
        let kept = placed[idx] == Some(frame);
        let limit = best.as_ref().map_or(f64::INFINITY, |(least, _)| *least);
        if cost < limit - GAIN || (kept && cost <= limit + GAIN) {
            best = Some((cost, frame));
        }
    }
    best.map_or_else(|| label.frame(label.offers[0].0), |(_, frame)| frame)
}

fn cost(near: &Near, label: &Label, frame: &Frame, others: &Others, gap: f64) -> f64 {
    let roomy = frame.grown(gap);
    let on = |other: &Frame| {
        let shared = roomy.shared(other);
        if shared > 0.0 {
            ON_BOX * (1.0 + shared / (frame.width * frame.height).max(1e-9))
        } else {
            0.0
        }
    };
    let mut sum = near.taken.iter().map(on).sum::<f64>();
    sum += others.iter().map(|(other, _)| on(other)).sum::<f64>();
    let under = others.iter().filter_map(|(_, leader)| leader.as_ref());
    sum += LEADER_OVER * under.filter(|leader| frame.meets(leader)).count() as f64;
    let off_lines = frame.grown(near.line_gap);
    let crossed = near.lines.iter();
    let crossed = crossed.filter(|(line, _)| off_lines.meets(line));
    sum += crossed.map(|(_, price)| price).sum::<f64>();
    if near.window.is_some_and(|window| !window.holds(frame)) {
        sum += OUTSIDE;
    }
    sum + leader_cost(near, label, frame, others)
}

fn leader_cost(near: &Near, label: &Label, frame: &Frame, others: &Others) -> f64 {
    let (Some(leader), Some(home)) = (label.leader(frame), label.home) else {
        return 0.0;
    };
    let at_home = Frame {
        middle: home.at,
        width: 1e-6,
        height: 1e-6,
    };
    let boxes = near
        .taken
        .iter()
        .chain(others.iter().map(|(frame, _)| frame));
    let over = boxes
        .filter(|other| !other.overlaps(&at_home) && other.meets(&leader))
        .count();
    let leaders = others.iter().filter_map(|(_, leader)| leader.as_ref());
    let crossed = leaders
        .filter(|other| other.meeting(&leader).is_some())
        .count();
    let lines = near
        .lines
        .iter()
        .filter(|(line, _)| line.meeting(&leader).is_some());
    LEADER
        + LEADER_OVER * (over + crossed) as f64
        + LEADER_LINE_SHARE * lines.map(|(_, price)| price).sum::<f64>()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn frame(x: f64, y: f64, width: f64, height: f64) -> Frame {
        Frame {
            middle: Point::new(x, y),
            width,
            height,
        }
    }

    fn label(offers: &[(f64, f64)]) -> Label {
        let offer = |(idx, &(x, y)): (usize, &(f64, f64))| (Point::new(x, y), idx as f64 * 0.1);
        Label {
            width: 4.0,
            height: 2.0,
            offers: offers.iter().enumerate().map(offer).collect(),
            home: None,
        }
    }

    #[test]
    fn a_label_goes_where_nothing_is() {
        let wall = Segment::new(Point::new(20.0, -50.0), Point::new(20.0, 50.0));
        let around = Surroundings {
            taken: vec![frame(0.0, 0.0, 8.0, 8.0)],
            lines: vec![(wall, 10.0)],
            ..Surroundings::default()
        };
        let offers = [(0.0, 2.0), (21.0, 0.0), (40.0, 0.0)];
        let twice = [label(&offers), label(&offers)];
        let placed = place(&around, &twice, Start::Empty);
        assert_eq!(placed[0].middle, Point::new(40.0, 0.0));
        // A wall is better than a text.
        assert_eq!(placed[1].middle, Point::new(21.0, 0.0));
    }

    #[test]
    fn the_first_gives_way_where_the_second_has_no_choice() {
        let labels = [label(&[(0.0, 0.0), (9.0, 0.0)]), label(&[(1.0, 0.0)])];
        let placed = place(&Surroundings::default(), &labels, Start::Empty);
        assert_eq!(placed[0].middle, Point::new(9.0, 0.0));
        assert!(!placed[0].overlaps(&placed[1]));
    }

    #[test]
    fn what_is_in_nobodys_way_stays_where_it_wished_to_be() {
        let labels = [
            label(&[(0.0, 0.0), (0.0, 9.0)]),
            label(&[(1.0, 0.0), (1.0, 9.0)]),
            label(&[(20.0, 0.0), (20.0, 9.0)]),
        ];
        let placed = place(&Surroundings::default(), &labels, Start::Wished);
        let ys: Vec<f64> = placed.iter().map(|frame| frame.middle.y).collect();
        assert_eq!(ys, [9.0, 0.0, 0.0]);
    }

    #[test]
    fn a_leader_line_runs_over_no_other_box() {
        let mut one = label(&[(12.0, 0.0), (0.0, 12.0)]);
        one.home = Some(Home {
            at: Point::new(0.0, 0.0),
            radius: 1.0,
            near: 2.0,
        });
        let around = Surroundings {
            taken: vec![frame(6.0, 0.0, 2.0, 2.0)],
            ..Surroundings::default()
        };
        let placed = place(&around, &[one.clone()], Start::Empty);
        assert_eq!(placed[0].middle, Point::new(0.0, 12.0));
        let leader = one.leader(&placed[0]).expect("it stands off");
        assert_eq!(leader.from, Point::new(0.0, 1.0));
        assert_eq!(leader.to, Point::new(0.0, 11.0));
    }

    #[test]
    fn a_label_keeps_off_a_line_by_its_gap() {
        let wall = Segment::new(Point::new(-50.0, 1.5), Point::new(50.0, 1.5));
        let mut around = Surroundings {
            lines: vec![(wall, 10.0)],
            ..Surroundings::default()
        };
        let offers = [label(&[(0.0, 0.0), (0.0, -3.0)])];
        let placed = place(&around, &offers, Start::Empty);
        assert_eq!(placed[0].middle, Point::new(0.0, 0.0));
        around.line_gap = 1.0;
        let placed = place(&around, &offers, Start::Empty);
        assert_eq!(placed[0].middle, Point::new(0.0, -3.0));
    }

    #[test]
    fn a_line_beside_a_box_does_not_meet_it() {
        let middle = frame(0.0, 0.0, 2.0, 2.0);
        let line = |ax, ay, bx, by| Segment::new(Point::new(ax, ay), Point::new(bx, by));
        assert!(middle.meets(&line(-5.0, 0.5, 5.0, 0.5)));
        assert!(!middle.meets(&line(-5.0, 1.5, 5.0, 1.5)));
        assert!(!middle.meets(&line(2.0, 0.0, 5.0, 0.0)));
    }
}
