//! What the search for the wiring needs of a project, and the limits it keeps.

use std::collections::BTreeSet;

use crate::engine::bus::{conductor, line, segment};
use crate::engine::progress::Progress;
use crate::engine::routing::{Router, Terminal};
use crate::engine::solve::lines::{Problem, Solution, solve};
use crate::engine::trace::Trace;
use crate::model::basis::{SLACK, SPARE, TERMINATION, TERMINATION_PANEL};
use crate::model::catalogue::{DeviceLoad, PanelLimits};
use crate::model::{ControlPanel, DeviceId, FieldDevice, PanelId, Project, Segment};

/// A panel that devices can be wired to.
pub type Panel<'p> = (&'p ControlPanel, &'p PanelLimits);

/// Everything the search needs, read from the project once.
pub struct Layout<'p> {
    pub project: &'p Project,
    pub panels: Vec<Panel<'p>>,
    pub devices: Vec<&'p FieldDevice>,
    loads: Vec<DeviceLoad>,
    from_panel: Vec<Vec<f64>>,
    between: Vec<Vec<f64>>,
    /// Cables of the catalogue from the thinnest up, with ohm per kilometre.
    pub cables: Vec<(&'p str, f64)>,
    pub kept: Vec<&'p Segment>,
    pub kept_length: f64,
    pub old_length: f64,
}

impl<'p> Layout<'p> {
    /// Reads the project and measures every way between its devices.
    pub fn new(project: &'p Project) -> Self {
        let existing = |id: &DeviceId| project.devices.get(*id).is_some_and(|d| d.existing);
        let kept: Vec<&Segment> = project
            .segments
            .iter()
            .filter(|s| s.devices.iter().any(existing))
            .collect();
        let on_kept: BTreeSet<DeviceId> = kept
            .iter()
            .flat_map(|segment| segment.devices.iter().copied())
            .collect();
        let panels: Vec<Panel> = project
            .panels
            .iter()
            .filter_map(|panel| Some((panel, segment::panel_limits(project, panel.id)?)))
            .collect();
        let load = |device: &FieldDevice| project.catalogue.item(&device.part)?.load();
        let (devices, loads): (Vec<&FieldDevice>, Vec<DeviceLoad>) = project
            .devices
            .iter()
            .filter(|device| !on_kept.contains(&device.id))
            .filter_map(|device| Some((device, load(device)?)))
            .unzip();
        let router = Router::new(project);
        let mut terminals: Vec<Terminal> = panels
            .iter()
            .map(|(panel, _)| Terminal::Panel(panel.id))
            .collect();
        terminals.extend(devices.iter().map(|device| Terminal::Device(device.id)));
        let lengths = router.lengths(&terminals);
        let basis = &project.basis;
        let (slack, end) = (1.0 + basis.get(&SLACK) / 100.0, basis.get(&TERMINATION));
        let metres = |a: usize, b: usize, ends: f64| {
            lengths[a][b].map_or(f64::INFINITY, |route| route * slack + ends)
        };
        let (n, first) = (devices.len(), panels.len());
        let at_panel = basis.get(&TERMINATION_PANEL) + end;
        let from_panel = (0..first)
            .map(|panel| {
                (0..n)
                    .map(|to| metres(panel, first + to, at_panel))
                    .collect()
            })
            .collect();
        let between = (0..n)
            .map(|a| {
                (0..n)
                    .map(|b| metres(first + a, first + b, 2.0 * end))
                    .collect()
            })
            .collect();
        let measure = |segments: &[&Segment]| segments_length(project, &router, segments);
        let all: Vec<&Segment> = project.segments.iter().collect();
        Layout {
            project,
            panels,
            devices,
            loads,
            from_panel,
            between,
            cables: cables(project),
            kept_length: measure(&kept),
            old_length: measure(&all),
            kept,
        }
    }

    /// With the spare kept, or, where devices would be left out, without.
    pub fn solve(&self, progress: &dyn Progress) -> (Solution, bool) {
        let spare = self.project.basis.get(&SPARE) / 100.0;
        let solution = self.solve_with(1.0 - spare, progress);
        if solution.left_out.is_empty() || spare == 0.0 {
            return (solution, true);
        }
        let without = self.solve_with(1.0, progress);
        if without.left_out.len() < solution.left_out.len() {
            (without, false)
        } else {
            (solution, true)
        }
    }

    fn solve_with(&self, share: f64, progress: &dyn Progress) -> Solution {
        let part = |limit: u32| (f64::from(limit) * share + 1e-9).floor().max(1.0);
        let points = |devices: &[DeviceId]| -> usize {
            devices
                .iter()
                .filter_map(|&id| self.project.devices.get(id))
                .map(|device| device.detectors.len())
                .sum()
        };
        let n_lines: Vec<usize> = self
            .panels
            .iter()
            .map(|(panel, limits)| {
                (part(limits.connections) as usize).saturating_sub(self.kept_on(panel.id).count())
            })
            .collect();
        let capacities: Vec<f64> = self
            .panels
            .iter()
            .map(|(panel, limits)| {
                let kept = self.kept_on(panel.id);
                let used: usize = kept.map(|segment| points(&segment.devices)).sum();
                part(limits.measuring_points) - used as f64
            })
            .collect();
        let weights: Vec<f64> = self
            .devices
            .iter()
            .map(|device| device.detectors.len() as f64)
            .collect();
        solve(&Problem {
            from_depot: &self.from_panel,
            between: &self.between,
            n_lines: &n_lines,
            weights: &weights,
            capacities: &capacities,
            allowed: &|panel, sites| self.allowed(panel, sites, share),
            stop: &|| progress.cancelled(),
        })
    }

    /// The segments that are laid anew.
    pub fn replaced(&self) -> impl Iterator<Item = &'p Segment> {
        let kept = |segment: &&Segment| self.kept.iter().any(|kept| kept.id == segment.id);
        self.project
            .segments
            .iter()
            .filter(move |segment| !kept(segment))
    }

    /// Tags of devices on no kept segment whose part is no device of the catalogue.
    pub fn unknown_parts(&self) -> Vec<&'p str> {
        let catalogue = &self.project.catalogue;
        let known = |part: &str| {
            catalogue
                .item(part)
                .is_some_and(|item| item.load().is_some())
        };
        let kept = |id: DeviceId| {
            self.kept
                .iter()
                .any(|segment| segment.devices.contains(&id))
        };
        let devices = self.project.devices.iter();
        devices
            .filter(|device| !known(&device.part) && !kept(device.id))
            .map(|device| device.tag.as_str())
            .collect()
    }

    fn kept_on(&self, panel: PanelId) -> impl Iterator<Item = &Segment> {
        self.kept
            .iter()
            .copied()
            .filter(move |segment| segment.panel == panel)
    }

    fn allowed(&self, panel: usize, sites: &[usize], share: f64) -> bool {
        let limits = self.panels[panel].1;
        let most = (f64::from(limits.devices_per_connection) * share + 1e-9)
            .floor()
            .max(1.0);
        let amperes: f64 = sites.iter().map(|&site| self.loads[site].alarm.get()).sum();
        let lengths = self.hops(panel, sites);
        let (thickest, metres) = (self.cables.last(), lengths.iter().sum::<f64>());
        sites.len() as f64 <= most
            && amperes <= limits.current_per_connection.get() * share + 1e-9
            && metres <= limits.longest_segment_m * share + 1e-9
            && thickest.is_none_or(|(_, ohms)| self.volts_hold(panel, sites, &lengths, *ohms))
    }

    /// The cables of a line, m, as they are ordered.
    pub fn hops(&self, panel: usize, sites: &[usize]) -> Vec<f64> {
        let first = sites.first().map(|&site| self.from_panel[panel][site]);
        let rest = sites.windows(2).map(|pair| self.between[pair[0]][pair[1]]);
        first.into_iter().chain(rest).collect()
    }

    fn volts_hold(&self, panel: usize, sites: &[usize], lengths: &[f64], ohms: f64) -> bool {
        let supply = self.panels[panel].1.bus_voltage_least.get();
        let loads: Vec<f64> = sites
            .iter()
            .map(|&site| self.loads[site].alarm.get())
            .collect();
        let volts = line::volts(supply, ohms, lengths, &loads);
        volts
            .iter()
            .zip(sites)
            .all(|(&at, &site)| at >= self.loads[site].least.get())
    }

    /// The thinnest cable that keeps every device's least voltage; the thickest where none does.
    pub fn cable(&self, panel: usize, sites: &[usize]) -> &'p str {
        let lengths = self.hops(panel, sites);
        let holds = |cable: &&(&str, f64)| self.volts_hold(panel, sites, &lengths, cable.1);
        self.cables
            .iter()
            .find(holds)
            .or(self.cables.last())
            .map_or("", |cable| cable.0)
    }
}

fn cables(project: &Project) -> Vec<(&str, f64)> {
    let mut scratch = Trace::default();
    let mut cables: Vec<(&str, f64, f64, f64)> = project
        .catalogue
        .items
        .iter()
        .filter_map(|item| {
            let (area, class) = conductor::cable(item)?;
            let ohms = conductor::resistance(project, (area, class), &mut scratch).value;
            Some((item.part.as_str(), ohms, area, item.price.get()))
        })
        .collect();
    cables.sort_by(|a, b| {
        a.2.total_cmp(&b.2)
            .then(a.3.total_cmp(&b.3))
            .then(a.1.total_cmp(&b.1))
            .then(a.0.cmp(b.0))
    });
    cables
        .into_iter()
        .map(|(part, ohms, ..)| (part, ohms))
        .collect()
}

/// Metres of cable on these segments, as the cable schedule counts them.
fn segments_length(project: &Project, router: &Router, segments: &[&Segment]) -> f64 {
    let mut trace = Trace::default();
    let shared = segment::Shared::new(project, &mut trace);
    let mut findings = Vec::new();
    segments
        .iter()
        .map(|one| {
            let found = segment::compute(project, one, router, &shared, &mut trace, &mut findings);
            found.length.value
        })
        .sum()
}
