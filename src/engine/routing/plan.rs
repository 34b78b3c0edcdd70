//! One floor as a cable sees it: areas with their cable height, walls, and what a straight run
//! goes through. It knows nothing of graphs.

use crate::geometry::segment::turn;
use crate::geometry::{Bounds, Point, Polygon, Segment};
use crate::model::basis::{
    CABLE_HEIGHT_BELOW_CEILING, CABLE_WALL_OFFSET, CEILING_UNKNOWN, CONTAINMENT_FACTOR,
    OUTDOOR_FACTOR, UNDRAWN_FACTOR,
};
use crate::model::{Enclosure, FloorId, Project, Room, RoomUse};

use crate::engine::results::CrossingKind;

/// Two faces no farther apart than this, with no room between, are one wall, m.
pub const WALL_THICKEST_M: f64 = 0.6;

/// A run nearer to the line of a wall than this runs in the wall, m.
const IN_LINE_M: f64 = 0.02;

/// A room indoors.
#[derive(Debug, Clone)]
struct Area {
    polygon: Polygon,
    bounds: Bounds,
    factor: f64,
    height: f64,
}

/// One floor.
#[derive(Debug, Clone)]
pub struct FloorPlan {
    areas: Vec<Area>,
    /// Walls a cable at cable height goes through.
    faces: Vec<Segment>,
    /// Pieces of barriers that end below the cables of their own area, with how high they reach: a
    /// wall for a cable that has come down, on its way into a lower area.
    low: Vec<(Segment, f64)>,
    /// Outlines of rooms, which are walls at every height.
    walls: Vec<Segment>,
    /// Barriers with how high they reach.
    barriers: Vec<(Segment, f64)>,
    openings: Vec<Segment>,
    /// Drawn areas in the open, which have no walls.
    outdoors: Vec<Polygon>,
    /// Where cables run outside every room.
    outdoor_height: f64,
    /// What a metre counts as in the open, and where nothing is drawn.
    outdoor_factor: f64,
    undrawn_factor: f64,
    wall_offset: f64,
}

/// A stretch of a run in one area.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Piece {
    pub from: f64,
    pub to: f64,
    /// What a metre counts as.
    pub factor: f64,
    /// Height of cables there, m above finished floor.
    pub height: f64,
    /// It would run inside a wall.
    pub blocked: bool,
}

/// A wall gone through.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pass {
    pub from: f64,
    pub to: f64,
    pub through: CrossingKind,
    /// A cable above this passes over it, m; infinite for what reaches the cables.
    pub top: f64,
}

/// A straight run and what it goes through, by distance from `start`.
#[derive(Debug, Clone)]
pub struct Run {
    pub start: Point,
    pub end: Point,
    pub length: f64,
    pub pieces: Vec<Piece>,
    pub passes: Vec<Pass>,
    /// Stretches on the line of a wall, with how high it reaches as in [`Pass::top`].
    pub in_line: Vec<(f64, f64, f64)>,
}

impl FloorPlan {
    /// What of the project lies on this floor.
    pub fn new(project: &Project, floor: FloorId) -> Self {
        let below = project.basis.get(&CABLE_HEIGHT_BELOW_CEILING);
        let unknown = project.basis.get(&CEILING_UNKNOWN);
        let corridor = project.basis.get(&CONTAINMENT_FACTOR);
        let mut plan = FloorPlan {
            areas: Vec::new(),
            faces: Vec::new(),
            low: Vec::new(),
            walls: Vec::new(),
            barriers: Vec::new(),
            openings: Vec::new(),
            outdoors: outdoor_areas(project, floor),
            outdoor_height: (unknown - below).max(0.0),
            outdoor_factor: project.basis.get(&OUTDOOR_FACTOR),
            undrawn_factor: project.basis.get(&UNDRAWN_FACTOR),
            wall_offset: project.basis.get(&CABLE_WALL_OFFSET),
        };
        for room in walled_rooms(project, floor) {
            let polygon = Polygon::new(room.outline.clone());
            let Some(bounds) = polygon.bounds() else {
                continue;
            };
            plan.walls.extend(polygon.edges());
            let ceiling = room.ceiling.map_or(unknown, |height| height.get());
            plan.areas.push(Area {
                polygon,
                bounds,
                factor: if room.room_use == RoomUse::Corridor {
                    corridor
                } else {
                    1.0
                },
                height: (ceiling - below).max(0.0),
            });
        }
        for barrier in project
            .barriers
            .iter()
            .filter(|barrier| barrier.floor == floor)
        {
            let top = barrier.height.map_or(f64::INFINITY, |height| height.get());
            let pairs = barrier.line.windows(2);
            plan.barriers
                .extend(pairs.map(|pair| (Segment::new(pair[0], pair[1]), top)));
        }
        let openings = project
            .openings
            .iter()
            .filter(|opening| opening.floor == floor);
        plan.openings = openings.map(|o| Segment::new(o.a, o.b)).collect();
        let (mut faces, mut low) = (plan.walls.clone(), Vec::new());
        for (line, top) in &plan.barriers {
            for piece in plan.in_pieces(line) {
                match *top >= plan.height_at(piece.point_at(0.5)) - 1e-9 {
                    true => faces.push(piece),
                    false => low.push((piece, *top)),
                }
            }
        }
        FloorPlan { faces, low, ..plan }
    }

    /// The floor as a cable in containment at this height sees it.
    pub fn at_height(&self, height: f64) -> Self {
        let reach = self
            .barriers
            .iter()
            .filter(|(_, top)| *top >= height - 1e-9);
        let lines = reach.map(|(line, _)| *line);
        FloorPlan {
            faces: self.walls.iter().copied().chain(lines).collect(),
            low: Vec::new(),
            ..self.clone()
        }
    }

    /// A line cut where it meets walls, so that each piece lies in one area.
    fn in_pieces(&self, line: &Segment) -> Vec<Segment> {
        let cuts = self.walls.iter().filter_map(|w| cut(line.from, line.to, w));
        let mut cuts: Vec<f64> = cuts.filter(|t| *t > 0.0 && *t < 1.0).collect();
        cuts.sort_by(f64::total_cmp);
        cuts.dedup();
        let inner = cuts.into_iter().map(|t| line.point_at(t));
        let points: Vec<Point> = [line.from]
            .into_iter()
            .chain(inner)
            .chain([line.to])
            .collect();
        points
            .windows(2)
            .filter(|pair| pair[0] != pair[1])
            .map(|pair| Segment::new(pair[0], pair[1]))
            .collect()
    }

    /// Corners of the rooms, set off into the room by the cables' distance from walls.
    pub fn inset_corners(&self) -> Vec<Point> {
        let mut corners = Vec::new();
        for area in &self.areas {
            let ring = area.polygon.points();
            let n = ring.len();
            for idx in 0..n {
                let (before, at, after) = (ring[(idx + n - 1) % n], ring[idx], ring[(idx + 1) % n]);
                corners.extend(self.inset_corner(area, before, at, after));
            }
        }
        corners
    }

    /// The middles of the openings.
    pub fn opening_middles(&self) -> Vec<Point> {
        self.openings
            .iter()
            .map(|opening| opening.point_at(0.5))
            .collect()
    }

    /// The extent of everything on the floor that has walls.
    pub fn corners(&self) -> impl Iterator<Item = Point> + '_ {
        self.faces.iter().map(|face| face.from)
    }

    /// Cable height at a place, m.
    pub fn height_at(&self, at: Point) -> f64 {
        self.area_at(at)
            .map_or(self.outdoor_height, |area| area.height)
    }

    /// Where a cable from this place joins the grid: the place itself, or, for a place on or in a
    /// wall, the nearest point that is clear of it.
    pub fn entry(&self, at: Point) -> Point {
        let clear = |p: Point| {
            self.faces
                .iter()
                .all(|face| face.distance_to(p) > IN_LINE_M)
        };
        if clear(at) && (self.area_at(at).is_some() || !self.in_wall(at)) {
            return at;
        }
        let offset = self.wall_offset.max(2.0 * IN_LINE_M);
        let mut best: Option<(f64, Point)> = None;
        for face in &self.faces {
            let length = face.length();
            let foot = face.nearest_point(at);
            for side in [1.0, -1.0] {
                let off = side * offset / length;
                let point = Point::new(
                    foot.x - (face.to.y - face.from.y) * off,
                    foot.y + (face.to.x - face.from.x) * off,
                );
                let distance = point.distance(at);
                let nearer = best.is_none_or(|(nearest, _)| distance < nearest - 1e-9);
                if nearer && clear(point) && self.area_at(point).is_some() {
                    best = Some((distance, point));
                }
            }
        }
        best.map_or(at, |(_, point)| point)
    }

    /// What a straight run from `start` to `end` goes through.
    pub fn run(&self, start: Point, end: Point) -> Run {
        let length = start.distance(end);
        let mut run = Run {
            start,
            end,
            length,
            pieces: Vec::new(),
            passes: Vec::new(),
            in_line: self.in_line(start, end, length),
        };
        let mut cuts: Vec<f64> = self
            .faces
            .iter()
            .filter_map(|face| cut(start, end, face))
            .map(|t| t * length)
            .collect();
        cuts.sort_by(f64::total_cmp);
        let mut open: Option<(f64, f64)> = None;
        let mut from = 0.0;
        for idx in 0..=cuts.len() {
            let to = cuts.get(idx).copied().unwrap_or(length);
            let between = idx > 0 && idx < cuts.len();
            if let Some(piece) = self.piece(start, end, (from, to), between) {
                if let Some(faces) = open.take() {
                    run.passes.push(self.pass(start, end, faces));
                }
                run.pieces.push(piece);
            }
            if idx < cuts.len() {
                open = Some((open.map_or(to, |faces| faces.0), to));
            }
            from = to;
        }
        if let Some(faces) = open {
            run.passes.push(self.pass(start, end, faces));
        }
        self.low_passes(&mut run);
        run
    }

    /// Adds the barriers that only a cable below the cable height of their area goes through.
    fn low_passes(&self, run: &mut Run) {
        let n_high = run.passes.len();
        for (face, top) in &self.low {
            let Some(along) = cut(run.start, run.end, face).map(|t| t * run.length) else {
                continue;
            };
            let within = |pass: &Pass| pass.from <= along && along <= pass.to;
            if !run.passes[..n_high].iter().any(within) {
                let pass = self.pass(run.start, run.end, (along, along));
                run.passes.push(Pass { top: *top, ..pass });
            }
        }
        run.passes.sort_by(|a, b| a.from.total_cmp(&b.from));
    }

    /// The stretch `span` of a run as a piece; `None` where it is the thickness of a wall.
    fn piece(&self, a: Point, b: Point, span: (f64, f64), between: bool) -> Option<Piece> {
        let (from, to) = span;
        let long = to - from;
        if between && long <= 1e-6 {
            return None;
        }
        let length = a.distance(b).max(1e-9);
        let middle = a.lerp(b, (from + to) / 2.0 / length);
        if let Some(area) = self.area_at(middle) {
            let (factor, height) = (area.factor, area.height);
            return Some(Piece {
                from,
                to,
                factor,
                height,
                blocked: false,
            });
        }
        if between && long <= WALL_THICKEST_M + 1e-6 {
            return None;
        }
        Some(Piece {
            from,
            to,
            factor: match self.outdoors.iter().any(|area| area.contains(middle)) {
                true => self.outdoor_factor,
                false => self.undrawn_factor,
            },
            height: self.outdoor_height,
            blocked: self.in_wall(middle),
        })
    }

    fn pass(&self, a: Point, b: Point, (from, to): (f64, f64)) -> Pass {
        let length = a.distance(b).max(1e-9);
        let opened = [from, to].into_iter().any(|along| {
            let at = a.lerp(b, along / length);
            self.openings
                .iter()
                .any(|opening| in_opening(opening, at, a, b))
        });
        let through = if opened {
            CrossingKind::Opening
        } else {
            CrossingKind::Wall
        };
        let top = f64::INFINITY;
        Pass {
            from,
            to,
            through,
            top,
        }
    }

    fn area_at(&self, p: Point) -> Option<&Area> {
        self.areas.iter().find(|area| {
            let Bounds { min, max } = area.bounds;
            let near = min.x <= p.x && p.x <= max.x && min.y <= p.y && p.y <= max.y;
            near && area.polygon.contains(p)
        })
    }

    /// Whether a point outside every room has a face on two opposite sides, a wall's thickness
    /// apart.
    fn in_wall(&self, p: Point) -> bool {
        let mut nearest = [f64::INFINITY; 4];
        for face in &self.faces {
            for (way, (dx, dy)) in [(1.0, 0.0), (-1.0, 0.0), (0.0, 1.0), (0.0, -1.0)]
                .into_iter()
                .enumerate()
            {
                let far = Point::new(p.x + dx * WALL_THICKEST_M, p.y + dy * WALL_THICKEST_M);
                if let Some(t) = cut(p, far, face) {
                    nearest[way] = nearest[way].min(t * WALL_THICKEST_M);
                }
            }
        }
        let thin = WALL_THICKEST_M + 1e-6;
        nearest[0] + nearest[1] <= thin || nearest[2] + nearest[3] <= thin
    }

    fn in_line(&self, a: Point, b: Point, length: f64) -> Vec<(f64, f64, f64)> {
        if length <= 0.0 {
            return Vec::new();
        }
        let along = |p: Point| ((p.x - a.x) * (b.x - a.x) + (p.y - a.y) * (b.y - a.y)) / length;
        let mut stretches = Vec::new();
        let high = self.faces.iter().map(|face| (face, f64::INFINITY));
        for (face, top) in high.chain(self.low.iter().map(|(face, top)| (face, *top))) {
            let off = |p: Point| turn(a, b, p).abs() / length;
            if off(face.from) <= IN_LINE_M && off(face.to) <= IN_LINE_M {
                let (s, t) = (along(face.from), along(face.to));
                stretches.push((s.min(t), s.max(t), top));
            }
        }
        stretches
    }

    fn inset_corner(&self, area: &Area, before: Point, at: Point, after: Point) -> Option<Point> {
        let unit = |from: Point, to: Point| {
            let d = from.distance(to);
            Point::new((to.x - from.x) / d, (to.y - from.y) / d)
        };
        let (u, v) = (unit(before, at), unit(at, after));
        let sense = area.polygon.signed_area().signum();
        let (n1, n2) = (
            Point::new(-u.y * sense, u.x * sense),
            Point::new(-v.y * sense, v.x * sense),
        );
        let straight = 1.0 + n1.x * n2.x + n1.y * n2.y;
        if straight < 0.1 {
            return None;
        }
        let scale = self.wall_offset.max(2.0 * IN_LINE_M) / straight;
        let corner = Point::new(at.x + (n1.x + n2.x) * scale, at.y + (n1.y + n2.y) * scale);
        area.polygon.contains(corner).then_some(corner)
    }
}

impl Run {
    /// The piece a point of the run lies in, clear of walls by 1 cm.
    pub fn piece_at(&self, along: f64) -> Option<usize> {
        const CLEAR_M: f64 = 0.01;
        let after = self.pieces.partition_point(|piece| piece.to < along);
        let piece = self.pieces.get(after)?;
        let clear = |cut: f64, end: f64| (cut - end).abs() < 1e-9 || (along - cut).abs() >= CLEAR_M;
        let inside = piece.from <= along
            && !piece.blocked
            && clear(piece.from, 0.0)
            && clear(piece.to, self.length)
            && !self.runs_in_wall(along, along, piece.height);
        inside.then_some(after)
    }

    /// Whether the stretch lies on the line of something that reaches `height`.
    pub fn runs_in_wall(&self, from: f64, to: f64, height: f64) -> bool {
        let meets = |&(s, t, top): &(f64, f64, f64)| s <= to && from <= t && reaches(top, height);
        self.in_line.iter().any(meets)
    }

    /// The lowest cable height between two distances.
    pub fn lowest_between(&self, from: f64, to: f64) -> f64 {
        let heights = self.pieces_between(from, to).map(|(piece, _)| piece.height);
        heights.fold(f64::INFINITY, f64::min)
    }

    /// The point so far along.
    pub fn point_at(&self, along: f64) -> Point {
        self.start.lerp(self.end, along / self.length.max(1e-9))
    }

    /// The passes of a cable at `height` between two distances.
    pub fn passes_between(&self, from: f64, to: f64, height: f64) -> impl Iterator<Item = &Pass> {
        let (low, high) = (from.min(to), from.max(to));
        self.passes
            .iter()
            .filter(move |pass| low <= pass.from && pass.to <= high)
            .filter(move |pass| reaches(pass.top, height))
    }

    /// The pieces that share a stretch with two distances, and how long it is.
    pub fn pieces_between(&self, from: f64, to: f64) -> impl Iterator<Item = (&Piece, f64)> {
        let (low, high) = (from.min(to), from.max(to));
        self.pieces
            .iter()
            .map(move |piece| (piece, piece.to.min(high) - piece.from.max(low)))
            .filter(|(_, shared)| *shared > 1e-9)
    }
}

/// The enclosed and open-sided rooms of a floor: those whose outlines are walls.
pub fn walled_rooms(project: &Project, floor: FloorId) -> impl Iterator<Item = &Room> {
    project
        .rooms_on(floor)
        .filter(|room| room.enclosure != Enclosure::Outdoor)
}

fn outdoor_areas(project: &Project, floor: FloorId) -> Vec<Polygon> {
    let rooms = project.rooms_on(floor);
    rooms
        .filter(|room| room.enclosure == Enclosure::Outdoor)
        .map(|room| Polygon::new(room.outline.clone()))
        .collect()
}

/// Whether what ends at `top` is in the way of a cable at `height`.
fn reaches(top: f64, height: f64) -> bool {
    top >= height - 1e-9
}

/// The fraction of a to b at which the face is crossed. A point on the line counts as on its
/// negative side, so a way through a corner or a vertex on a wall crosses once.
fn cut(a: Point, b: Point, face: &Segment) -> Option<f64> {
    let (p, q) = (turn(a, b, face.from), turn(a, b, face.to));
    if (p > 0.0) == (q > 0.0) {
        return None;
    }
    let (s, t) = (turn(face.from, face.to, a), turn(face.from, face.to, b));
    ((s > 0.0) != (t > 0.0)).then(|| s / (s - t))
}

/// Whether a crossing of the run a to b at this point goes through or above the opening.
fn in_opening(opening: &Segment, at: Point, a: Point, b: Point) -> bool {
    let (dx, dy) = (opening.to.x - opening.from.x, opening.to.y - opening.from.y);
    let long = opening.length();
    let along = ((at.x - opening.from.x) * dx + (at.y - opening.from.y) * dy) / (long * long);
    let across = (dx * (b.x - a.x) + dy * (b.y - a.y)).abs() / (long * a.distance(b).max(1e-9));
    (0.0..=1.0).contains(&along)
        && across < 0.9
        && opening.distance_to(at) <= WALL_THICKEST_M / 2.0 + 0.01
}
