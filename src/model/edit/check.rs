//! What must hold of every project: finite numbers, sensible ranges, references that
//! lead somewhere.

use std::collections::BTreeSet;

use crate::geometry::Point;
use crate::geometry::polygon::Polygon;
use crate::model::basis;
use crate::model::catalogue::{Catalogue, ItemKind};
use crate::model::edit::{EditError, limits, mixtures, points, substances};
use crate::model::floor::Floor;
use crate::model::ids::FloorId;
use crate::model::project::Project;
use crate::model::room::Room;
use crate::model::wiring::Segment;
use crate::units::Metres;

/// A coordinate beyond this is a slip of the hand: the largest site is a few kilometres.
const FARTHEST_M: f64 = 20_000.0;

/// Two points nearer than this are one.
const SAME_POINT_M: f64 = 0.001;

/// Checks a whole project.
///
/// # Errors
/// The first thing that cannot be as it is, by its field.
pub fn check(project: &Project) -> Result<(), EditError> {
    limits::check(project)?;
    if project.head.name.trim().is_empty() {
        return Err(EditError::field(
            "project name",
            "empty",
            "type a name for the project.",
        ));
    }
    for (key, value) in project.basis.changes() {
        basis_value(key, Some(value))?;
    }
    catalogue(&project.catalogue)?;
    mixtures::check(project)?;
    substances::check(project)?;
    floors(project)?;
    for room in &project.rooms {
        self::room(project, room)?;
    }
    lines(project)?;
    points::check(project)?;
    wiring(project)
}

/// Checks a value for the basis of design.
pub fn basis_value(key: &str, value: Option<f64>) -> Result<(), EditError> {
    let Some(item) = basis::item(key) else {
        return Err(EditError::field(
            "basis of design",
            format!("{key:?}"),
            "no assumption has that key; the basis of design lists them.",
        ));
    };
    match value {
        Some(value) if !(item.least <= value && value <= item.most) => Err(EditError::field(
            item.label,
            value,
            format!(
                "type a value from {} to {} {}.",
                item.least, item.most, item.unit
            ),
        )),
        Some(value) if item.is_whole() && value.fract() != 0.0 => Err(EditError::field(
            item.label,
            value,
            format!("type a whole number from {} to {}.", item.least, item.most),
        )),
        _ => Ok(()),
    }
}

fn catalogue(catalogue: &Catalogue) -> Result<(), EditError> {
    let mut parts = BTreeSet::new();
    for item in &catalogue.items {
        let field = format!("catalogue part {:?}", item.part);
        if item.part.trim().is_empty() {
            return Err(EditError::field(
                "catalogue part",
                "empty",
                "type a part number.",
            ));
        }
        if !parts.insert(item.part.as_str()) {
            return Err(EditError::field(
                field,
                "listed twice",
                "keep one of the two lines.",
            ));
        }
        if !(0.0 <= item.price.get() && item.price.is_finite()) {
            let price = item.price.get();
            return Err(EditError::field(
                format!("price of {field}"),
                price,
                "type a price of 0 or more.",
            ));
        }
        numbers_of(&field, &item.kind)?;
    }
    Ok(())
}

fn numbers_of(field: &str, kind: &ItemKind) -> Result<(), EditError> {
    let above_zero = |name: &str, value: f64| match value.is_finite() && value > 0.0 {
        true => Ok(()),
        false => Err(EditError::field(
            format!("{name} of {field}"),
            value,
            "type a value above 0.",
        )),
    };
    match kind {
        ItemKind::DetectorDevice {
            range_low,
            range_high,
            ..
        } if !(range_low.is_finite() && range_high.is_finite() && range_low < range_high) => {
            return Err(EditError::field(
                format!("range of {field}"),
                format!("{range_low} to {range_high}"),
                "the upper end must be above the lower.",
            ));
        }
        ItemKind::DetectorDevice { t90: Some(t90), .. } => {
            above_zero("time to 90 % of the reading", t90.get())?;
        }
        ItemKind::Panel(panel) => {
            above_zero("bus voltage", panel.bus_voltage.get())?;
            above_zero("least bus voltage", panel.bus_voltage_least.get())?;
            above_zero("current per connection", panel.current_per_connection.get())?;
            above_zero("longest segment", panel.longest_segment_m)?;
        }
        ItemKind::Cable {
            cross_section_mm2, ..
        } => above_zero("cross-section", *cross_section_mm2)?,
        ItemKind::Battery { capacity, .. } => above_zero("capacity", capacity.get())?,
        ItemKind::Accessory { each, .. } => above_zero("count", *each)?,
        _ => {}
    }
    Ok(())
}

fn floors(project: &Project) -> Result<(), EditError> {
    for floor in &project.floors {
        if floor.name.trim().is_empty() {
            return Err(EditError::field(
                "floor name",
                "empty",
                "type a name, such as Ground floor.",
            ));
        }
        height(
            &format!("elevation of {}", floor.name),
            Some(floor.elevation),
            -500.0,
        )?;
        sheet(floor)?;
    }
    Ok(())
}

fn sheet(floor: &Floor) -> Result<(), EditError> {
    let Some(sheet) = &floor.sheet else {
        return Ok(());
    };
    let of = format!("the plan sheet of {}", floor.name);
    if sheet.width_px == 0 || sheet.height_px == 0 {
        return Err(EditError::field(
            format!("size of {of}"),
            "0 px",
            "import the sheet again.",
        ));
    }
    if !sheet.rotation.is_finite() {
        return Err(EditError::field(
            format!("rotation of {of}"),
            sheet.rotation,
            "type degrees.",
        ));
    }
    if !(0.0..=1.0).contains(&sheet.fade) {
        return Err(EditError::field(
            format!("fade of {of}"),
            sheet.fade,
            "set 0 to 1.",
        ));
    }
    point(&format!("origin of {of}"), sheet.origin)?;
    let Some(scale) = sheet.scale else {
        return Ok(());
    };
    let length = scale.length.get();
    if !(0.0 < length && length <= FARTHEST_M) {
        return Err(EditError::field(
            format!("length for the scale of {of}"),
            format!("{length} m"),
            "type the true distance between the two points, above 0 m.",
        ));
    }
    if !(scale.a.is_finite() && scale.b.is_finite()) || scale.a.distance(scale.b) < 1.0 {
        return Err(EditError::field(
            format!("the two points for the scale of {of}"),
            "one and the same",
            "click two points that lie apart, best the ends of a dimension.",
        ));
    }
    Ok(())
}

fn room(project: &Project, room: &Room) -> Result<(), EditError> {
    let name = format!("room {} {}", room.number, room.name);
    on_floor(project, &name, room.floor)?;
    if room.outline.len() < 3 {
        let corners = room.outline.len();
        return Err(EditError::field(
            format!("outline of {name}"),
            format!("{corners} corners"),
            "draw at least three corners.",
        ));
    }
    line_points(&format!("outline of {name}"), &room.outline, true)?;
    if let Some((i, j)) = Polygon::new(room.outline.clone()).first_crossing() {
        let (first, second) = (i + 1, j + 1);
        return Err(EditError::field(
            format!("outline of {name}"),
            format!("crossed by itself: wall {first} meets wall {second}"),
            "move a corner so that no wall crosses another.",
        ));
    }
    height(&format!("ceiling height of {name}"), room.ceiling, 0.5)?;
    features(room, &name)?;
    match room.air_changes {
        Some(changes) if !(0.0..=1000.0).contains(&changes) => Err(EditError::field(
            format!("air changes of {name}"),
            format!("{changes} /h"),
            "type 0 to 1000, or say that they are not known.",
        )),
        _ => Ok(()),
    }
}

fn features(room: &Room, name: &str) -> Result<(), EditError> {
    let features = &room.features;
    let voids = [
        ("depth of the pit", features.pit),
        ("height of the void under the floor", features.raised_floor),
        (
            "height of the void above the ceiling",
            features.ceiling_void,
        ),
    ];
    for (what, size) in voids {
        match size.map(Metres::get) {
            Some(size) if !(0.0 < size && size <= 20.0) => {
                return Err(EditError::field(
                    format!("{what} of {name}"),
                    format!("{size} m"),
                    "type above 0 to 20 m, or leave it empty where there is none.",
                ));
            }
            _ => {}
        }
    }
    vents(room, name)
}

fn vents(room: &Room, name: &str) -> Result<(), EditError> {
    let features = &room.features;
    let areas = [
        ("free area of the low vents", features.low_vent),
        ("free area of the high vents", features.high_vent),
    ];
    for (what, area) in areas {
        match area {
            Some(area) if !(0.0 < area && area <= 100.0) => {
                return Err(EditError::field(
                    format!("{what} of {name}"),
                    format!("{area} m²"),
                    "type above 0 to 100 m², or leave it empty where there is none.",
                ));
            }
            _ => {}
        }
    }
    let highest = room.ceiling.map_or(60.0, Metres::get);
    match features.vent_rise.map(Metres::get) {
        Some(rise) if !(0.0 < rise && rise <= highest) => Err(EditError::field(
            format!("height between the vents of {name}"),
            format!("{rise} m"),
            format!("type above 0 to {highest} m, from the middle of one to that of the other."),
        )),
        _ => Ok(()),
    }
}

fn lines(project: &Project) -> Result<(), EditError> {
    for barrier in &project.barriers {
        let name = format!("barrier {}", barrier.id);
        on_floor(project, &name, barrier.floor)?;
        line_points(&name, &barrier.line, false)?;
        height(&format!("height of {name}"), barrier.height, 0.0)?;
        height(&format!("underside of {name}"), barrier.underside, 0.0)?;
        if let (Some(top), Some(underside)) = (barrier.height, barrier.underside)
            && underside.get() >= top.get()
        {
            return Err(EditError::field(
                format!("underside of {name}"),
                format!("{} m, its top {} m", underside.get(), top.get()),
                "the underside lies below the top.",
            ));
        }
    }
    for opening in &project.openings {
        let name = format!("opening {}", opening.id);
        on_floor(project, &name, opening.floor)?;
        line_points(&name, &[opening.a, opening.b], false)?;
        height(&format!("head of {name}"), opening.head, 0.1)?;
    }
    for containment in &project.containments {
        let name = format!("containment {}", containment.id);
        on_floor(project, &name, containment.floor)?;
        line_points(&name, &containment.line, false)?;
        height(&format!("height of {name}"), containment.height, 0.0)?;
    }
    Ok(())
}

fn wiring(project: &Project) -> Result<(), EditError> {
    let mut carried = BTreeSet::new();
    for device in &project.devices {
        for &detector in &device.detectors {
            if !project.detectors.has(detector) || !carried.insert(detector) {
                return Err(EditError::field(
                    format!("detectors of {}", device.tag),
                    format!("detector {detector}"),
                    "a field device carries detectors of the project, each on one device only.",
                ));
            }
        }
    }
    for riser in &project.risers {
        point(&format!("riser {}", riser.name), riser.at)?;
        on_floor(
            project,
            &format!("foot of riser {}", riser.name),
            riser.lowest,
        )?;
        on_floor(
            project,
            &format!("head of riser {}", riser.name),
            riser.highest,
        )?;
    }
    let mut wired = BTreeSet::new();
    let mut connections = BTreeSet::new();
    for segment in &project.segments {
        self::segment(project, segment)?;
        if !connections.insert((segment.panel, segment.connection)) {
            return Err(EditError::field(
                format!("connection of {}", segment.tag),
                segment.connection,
                "another segment is on it; choose a free one.",
            ));
        }
        if let Some(twice) = segment
            .devices
            .iter()
            .find(|&&device| !wired.insert(device))
        {
            return Err(EditError::field(
                format!("devices of {}", segment.tag),
                format!("field device {twice}, wired already"),
                "a field device is on one segment, once.",
            ));
        }
    }
    Ok(())
}

fn segment(project: &Project, segment: &Segment) -> Result<(), EditError> {
    if !project.panels.has(segment.panel) {
        return Err(EditError::field(
            format!("panel of {}", segment.tag),
            segment.panel,
            "there is no such panel; choose one of the project.",
        ));
    }
    if segment.connection == 0 {
        return Err(EditError::field(
            format!("connection of {}", segment.tag),
            0,
            "connections count from 1.",
        ));
    }
    match segment
        .devices
        .iter()
        .find(|&&device| !project.devices.has(device))
    {
        Some(gone) => Err(EditError::field(
            format!("devices of {}", segment.tag),
            format!("field device {gone}"),
            "there is no such device.",
        )),
        None => Ok(()),
    }
}

pub(super) fn on_floor(project: &Project, name: &str, floor: FloorId) -> Result<(), EditError> {
    match project.floors.has(floor) {
        true => Ok(()),
        false => Err(EditError::field(
            format!("floor of {name}"),
            floor,
            "there is no such floor; choose one of the project.",
        )),
    }
}

pub(super) fn point(name: &str, at: Point) -> Result<(), EditError> {
    match at.is_finite() && at.x.abs() <= FARTHEST_M && at.y.abs() <= FARTHEST_M {
        true => Ok(()),
        false => Err(EditError::field(
            format!("place of {name}"),
            format!("({}, {})", at.x, at.y),
            format!("coordinates are metres within {FARTHEST_M} of the origin."),
        )),
    }
}

pub(super) fn line_points(name: &str, line: &[Point], closed: bool) -> Result<(), EditError> {
    if line.len() < 2 {
        return Err(EditError::field(
            name,
            format!("{} points", line.len()),
            "draw at least two.",
        ));
    }
    for &at in line {
        point(name, at)?;
    }
    let close = closed.then(|| (line[line.len() - 1], line[0]));
    let mut pairs = line.windows(2).map(|pair| (pair[0], pair[1])).chain(close);
    match pairs.find(|(a, b)| a.distance(*b) < SAME_POINT_M) {
        Some((a, _)) => Err(EditError::field(
            name,
            format!("twice through ({:.3}, {:.3})", a.x, a.y),
            "two corners in a row must lie apart.",
        )),
        None => Ok(()),
    }
}

pub(super) fn height(name: &str, height: Option<Metres>, least: f64) -> Result<(), EditError> {
    match height.map(Metres::get) {
        Some(value) if !(least <= value && value <= 1000.0) => Err(EditError::field(
            name,
            format!("{value} m"),
            format!("type {least} to 1000 m above finished floor."),
        )),
        _ => Ok(()),
    }
}
