//! The engine: a project in, results out. Pure: no file, clock, network or chance.
//!
//! Each step uses only what stands above it.

pub mod formula;
pub mod trace;
pub mod finding;
pub mod results;
pub mod progress;
pub mod suggestion;
pub mod solve;
pub mod gas;
pub mod airspace;
pub mod atmosphere;
pub mod mounting;
pub mod datasheet;
pub mod setpoints;
pub mod coverage;
pub mod placement;
pub mod routing;
pub mod bus;
pub mod control;
pub mod takeoff;
pub mod checks;
#[cfg(test)]
pub mod drawn;
#[cfg(test)]
mod test_building;

use std::collections::BTreeSet;

use crate::engine::airspace::Airspaces;
use crate::engine::formula::{Formula, Rule};
use crate::model::{DetectorId, Project, ReleaseSource};

pub use bus::wire;
pub use finding::{Finding, Fix, Severity};
pub use progress::{Progress, Silent};
pub use results::Results;
pub use suggestion::{Scope, Suggestion};
pub use trace::{Quantity, Trace};

/// Everything the engine says of a project. It never fails for a legal project: what is wrong with
/// the design stands in the findings.
pub fn run(project: &Project, progress: &dyn Progress) -> Results {
    let mut results = Results::default();
    let spaces = Airspaces::new(project);
    results.substances = gas::stated::step(project, &mut results.trace, &mut results.findings);
    results.mixtures = gas::mixture::step(project, &mut results.trace, &mut results.findings);
    results.sources = mounting::mount(
        project,
        &spaces,
        &mut results.trace,
        &mut results.findings,
        &mut results.questions,
    );
    mounting::surroundings(
        project,
        &spaces,
        &results.sources,
        &mut results.trace,
        &mut results.findings,
    );
    mounting::ask_about_rooms(&spaces, &mut results.trace, &mut results.questions);
    let mut assessment = coverage::assess(
        project,
        &spaces,
        &results.sources,
        None,
        &mut results.trace,
        &mut results.findings,
    );
    results.rooms = placement::rooms(
        project,
        &spaces,
        &assessment,
        &mut results.trace,
        &mut results.findings,
        progress,
    );
    progress.report("releases", 0, 1, None);
    releases(project, &spaces, &assessment, None, &mut results);
    results.detectors = std::mem::take(&mut assessment.detectors);
    results.demands = assessment
        .needs
        .into_iter()
        .map(|need| need.demand)
        .collect();
    let (demands, releases) = (&results.demands, &results.releases);
    for (room, scenario) in coverage::scenarios(project, demands, releases, &mut results.trace) {
        if let Some(room) = results.rooms.get_mut(&room) {
            room.scenario = Some(scenario);
        }
    }
    progress.report("cable routes", 0, 3, None);
    let router = routing::Router::new(project);
    let (trace, findings) = (&mut results.trace, &mut results.findings);
    results.segments = bus::step(project, &router, trace, findings);
    results.panels = control::step(project, trace, findings);
    progress.report("take-off", 1, 3, None);
    results.take_off = takeoff::step(project, &results.detectors, &results.segments, trace);
    progress.report("checks", 2, 3, None);
    checks::step(&spaces, &mut results);
    results
}

/// Releases that a preview looks at.
const PREVIEWED: usize = 4;

/// What comes out of every source, what it does in its room and when that is noticed; with `only`,
/// of the first few sources that these detectors watch.
fn releases(
    project: &Project,
    spaces: &Airspaces<'_>,
    assessment: &coverage::Assessment,
    only: Option<&BTreeSet<DetectorId>>,
    results: &mut Results,
) {
    let (trace, findings) = (&mut results.trace, &mut results.findings);
    let (needs, detectors) = (&assessment.needs, &assessment.detectors);
    let mut watchers = coverage::watchers(project, needs, detectors, trace);
    if let Some(only) = only {
        let watches = |watcher: &atmosphere::Watcher| {
            let detector = watcher.detector;
            detector.is_some_and(|id| only.contains(&id))
        };
        watchers.retain(|_, all| all.iter().any(watches));
    }
    let of: Vec<&ReleaseSource> = match only {
        None => project.sources.iter().collect(),
        Some(_) => watchers
            .keys()
            .filter_map(|id| project.sources.get(*id))
            .take(PREVIEWED)
            .collect(),
    };
    let mut asked = Vec::new();
    let of = atmosphere::discharge::discharges(project, &of, trace, findings, &mut asked);
    let inputs = atmosphere::Inputs {
        project,
        spaces,
        discharges: &of,
        watchers: &watchers,
        questions: &asked,
    };
    results.releases = atmosphere::step(inputs, trace, findings);
    atmosphere::into_questions(project, &results.releases, &mut asked);
    results.questions.extend(asked);
}

/// What `only` these detectors do, for the picture while one is dragged: their heights, set-points
/// and reach, the demands in their airspaces, what coverage finds there, and the first few releases
/// that they watch. Airspaces they are not in, and the steps after coverage, are left out.
pub fn preview(project: &Project, only: &BTreeSet<DetectorId>) -> Results {
    let mut results = Results::default();
    let spaces = Airspaces::new(project);
    let (trace, findings) = (&mut results.trace, &mut results.findings);
    let touched = coverage::touched(project, &spaces, only);
    results.sources = mounting::mount_within(project, &spaces, &touched, trace, findings);
    let assessment = coverage::assess(
        project,
        &spaces,
        &results.sources,
        Some(only),
        trace,
        findings,
    );
    releases(project, &spaces, &assessment, Some(only), &mut results);
    results.detectors = assessment.detectors;
    results.demands = assessment
        .needs
        .into_iter()
        .map(|need| need.demand)
        .collect();
    results
}

/// Detectors for the rooms in `scope`: an edit the designer may accept. What was placed by hand or
/// stands already is kept and counted; what was suggested before stays where it still fits.
pub fn suggest(project: &Project, scope: Scope, progress: &dyn Progress) -> Suggestion {
    placement::suggest(project, scope, progress)
}

/// Every formula the engine may use, by module.
pub fn formulas() -> Vec<&'static Formula> {
    let discharge = atmosphere::discharge::FORMULAS.concat();
    let atmosphere = atmosphere::formulas();
    [
        gas::density::FORMULAS,
        gas::mixture::FORMULAS,
        gas::vapour::FORMULAS,
        gas::virial::FORMULAS,
        gas::air::FORMULAS,
        gas::state::FORMULAS,
        &discharge,
        &atmosphere,
        mounting::FORMULAS,
        setpoints::FORMULAS,
        placement::FORMULAS,
        bus::FORMULAS,
        takeoff::FORMULAS,
    ]
    .concat()
}

/// Every rule the engine may use, by module.
pub fn rules() -> Vec<&'static Rule> {
    let atmosphere = atmosphere::rules();
    [
        gas::vapour::RULES,
        gas::mixture::RULES,
        gas::virial::RULES,
        atmosphere::discharge::RULES,
        &atmosphere,
        mounting::RULES,
        setpoints::RULES,
        coverage::RULES,
        placement::RULES,
        routing::RULES,
    ]
    .concat()
}
