//! Air terminals: detectors keep off supply air, and each terminal stands where its air is.

use crate::engine::airspace::Airspaces;
use crate::engine::finding::{Finding, Severity};
use crate::engine::mounting::is_open;
use crate::engine::trace::Trace;
use crate::model::basis;
use crate::model::*;
use crate::units::Unit;

/// One warning per detector that stands too near a supply air terminal, and one per terminal that
/// stands where it can mean nothing.
pub fn check(spaces: &Airspaces<'_>, trace: &mut Trace) -> Vec<Finding> {
    let project = spaces.project;
    if project.terminals.iter().next().is_none() {
        return Vec::new();
    }
    let detectors = project.detectors.iter();
    let mut found: Vec<Finding> = detectors
        .filter_map(|detector| blown_at(spaces, detector, trace))
        .collect();
    let terminals = project.terminals.iter();
    found.extend(terminals.filter_map(|terminal| misplaced(spaces, terminal)));
    found
}

/// A detector in the air that a supply terminal blows sees the gas thinned.
fn blown_at(spaces: &Airspaces<'_>, detector: &Detector, trace: &mut Trace) -> Option<Finding> {
    let project = spaces.project;
    let space = |floor, at| {
        let found = spaces.room_beside(floor, at);
        found.map(|(room, _)| spaces.space_of(room.id))
    };
    let own = space(detector.floor, detector.at)?;
    let supplies = project.terminals.iter().filter(|terminal| {
        terminal.kind == AirTerminalKind::Supply && space(terminal.floor, terminal.at) == Some(own)
    });
    let away = |terminal: &AirTerminal| terminal.at.distance(detector.at);
    let nearest = supplies.min_by(|a, b| away(a).total_cmp(&away(b)))?;
    let (distance, item) = (away(nearest), &basis::SUPPLY_CLEAR);
    if distance >= project.basis.get(item) - 1e-6 {
        return None;
    }
    let (tag, name) = (&detector.tag, nearest.name());
    let title = format!("{tag} from {name}, on plan");
    let stands = trace.measured(title, distance, Unit::Metre);
    let limit = trace.basis(&project.basis, item);
    let message = format!(
        "{tag} stands {distance:.2} m from {name}, which blows gas away from it; {} m is to be \
         kept clear.",
        limit.value
    );
    let remedy = "Move the detector out of the supply air, or prove the place with a smoke test.";
    let id = format!("air.supply_near/detector-{}", detector.id);
    let finding = Finding::new(id, Severity::Warning, message, remedy);
    let finding = finding.about(ItemKey::Detector(detector.id));
    let finding = finding.at(detector.floor, detector.at);
    Some(finding.held_against(stands, limit))
}

/// A terminal that stands in no room, or an intake indoors, has nothing held against it.
fn misplaced(spaces: &Airspaces<'_>, terminal: &AirTerminal) -> Option<Finding> {
    let room = spaces.room_beside(terminal.floor, terminal.at);
    let name = terminal.name();
    let (message, remedy) = match room {
        None => (
            format!("The {name} lies in no room and no outdoor area, so it is not watched."),
            "Move it into the room whose air goes through it.",
        ),
        Some((room, _)) if terminal.kind == AirTerminalKind::Intake && !is_open(Some(room)) => (
            format!("The {name} stands indoors, so no source in the open is held against it."),
            "Move it to the outside of the wall, into the outdoor area that it draws from.",
        ),
        _ => return None,
    };
    let id = format!("air.misplaced/terminal-{}", terminal.id);
    let finding = Finding::new(id, Severity::Warning, message, remedy);
    let finding = finding.about(ItemKey::Terminal(terminal.id));
    Some(finding.at(terminal.floor, terminal.at))
}
