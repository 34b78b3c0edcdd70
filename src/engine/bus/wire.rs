//! The wiring the engine offers: field devices for detectors that lack one, and segments through
//! all devices for the least cable. It offers; only the designer's acceptance changes the project.

use std::collections::{BTreeMap, BTreeSet};

use crate::engine::bus::{conductor, line, segment};
use crate::engine::progress::Progress;
use crate::engine::routing::{Router, Terminal};
use crate::engine::solve::lines::{Problem, Solution, solve};
use crate::engine::suggestion::Suggestion;
use crate::engine::trace::Trace;
use crate::model::basis::{SLACK, SPARE, TERMINATION, TERMINATION_PANEL};
use crate::model::catalogue::PanelLimits;
use crate::model::*;

/// Offers the wiring of the whole project. Segments with an existing device on them stay as they
/// are; all others are laid anew.
pub fn wire(project: &Project, progress: &dyn Progress) -> Suggestion {
    let mut remarks = Vec::new();
    if project.panels.is_empty() {
        remarks.push("There is no control panel; place a control panel, then wire.".to_owned());
        return nothing(remarks);
    }
    progress.report("field devices", 0, 3, None);
    let devices = new_devices(project, &mut remarks);
    let add = |device: &FieldDevice| Edit::Add {
        item: Item::Device(device.clone()),
    };
    let mut edits: Vec<Edit> = devices.iter().map(add).collect();
    let with_devices = Edit::All {
        label: "field devices".to_owned(),
        edits: edits.clone(),
    };
    let Ok(project) = apply(project, &with_devices) else {
        remarks.push("Field devices could not be added; see the findings.".to_owned());
        return nothing(remarks);
    };
    progress.report("cable routes", 1, 3, None);
    let layout = Layout::new(&project);
    if layout.panels.is_empty() {
        remarks.push("No panel's part is a panel of the catalogue; choose parts first.".to_owned());
        return nothing(remarks);
    }
    progress.report("shortest wiring", 2, 3, None);
    let (solution, with_spare) = layout.solve(progress);
    let (segments, replaced) = layout.edits(&solution, &mut remarks);
    let n_removed = replaced.saturating_sub(segments.len());
    let n_segments = segments.len();
    edits.extend(segments);
    let length = layout.kept_length + solution.cost;
    layout.remark(&solution, with_spare, &mut remarks);
    let panels: BTreeSet<&str> = solution
        .lines
        .iter()
        .map(|(panel, _)| layout.panels[*panel].0.tag.as_str())
        .collect();
    let panels: Vec<&str> = panels.into_iter().collect();
    let summary = format!(
        "{} on {}, {:.0} m of cable",
        counted(solution.lines.len(), "segment"),
        panels.join(", "),
        length
    );
    let n_added = devices.len() + n_segments - n_removed.min(n_segments);
    if edits.is_empty() {
        remarks.push("There is nothing to wire; place detectors first.".to_owned());
        return nothing(remarks);
    }
    Suggestion {
        edit: Edit::All {
            label: format!("Wiring: {summary}"),
            edits,
        },
        summary,
        remarks,
        proven: !solution.stopped && (solution.cost - solution.bound) < 1e-6,
        n_added,
        n_removed,
        cable_change_m: Some(length - layout.old_length),
    }
}

fn nothing(remarks: Vec<String>) -> Suggestion {
    Suggestion {
        edit: Edit::All {
            label: "Wiring: nothing changed".to_owned(),
            edits: Vec::new(),
        },
        summary: "nothing to wire".to_owned(),
        remarks,
        proven: false,
        n_added: 0,
        n_removed: 0,
        cable_change_m: None,
    }
}

fn counted(n: usize, noun: &str) -> String {
    format!("{n} {noun}{}", if n == 1 { "" } else { "s" })
}

/// A field device for every detector that lacks one and has a part.
fn new_devices(project: &Project, remarks: &mut Vec<String>) -> Vec<FieldDevice> {
    let taken: BTreeSet<&str> = (project.devices.iter().map(|d| d.tag.as_str()))
        .chain(project.detectors.iter().map(|d| d.tag.as_str()))
        .chain(project.panels.iter().map(|p| p.tag.as_str()))
        .chain(project.segments.iter().map(|s| s.tag.as_str()))
        .collect();
    let mut tags = (1u32..)
        .map(|n| format!("FD-{n:02}"))
        .filter(|t| !taken.contains(t.as_str()));
    let mut devices = Vec::new();
    let mut without: Vec<&str> = Vec::new();
    let mut next: u32 = project.devices.next_id().into();
    for detector in &project.detectors {
        if project.device_of(detector.id).is_some() {
            continue;
        }
        let existing = detector.origin == Origin::Existing;
        let offered = || {
            let item = project
                .catalogue
                .detector_for(&detector.watches)
                .filter(|_| !existing)?;
            Some(item.part.clone())
        };
        let Some(part) = detector.part.clone().or_else(offered) else {
            without.push(&detector.tag);
            continue;
        };
        devices.push(FieldDevice {
            id: DeviceId(next),
            tag: tags.next().expect("tags without end"),
            floor: detector.floor,
            at: detector.at,
            height: detector.height,
            part,
            detectors: vec![detector.id],
            existing,
        });
        next += 1;
    }
    if !without.is_empty() {
        remarks.push(format!(
            "No field device for {}: no part is known for it. Choose parts, then wire again.",
            without.join(", ")
        ));
    }
    devices
}

/// A panel that devices can be wired to.
type Panel<'p> = (&'p ControlPanel, &'p PanelLimits);

/// Everything the search needs, read from the project once.
struct Layout<'p> {
    project: &'p Project,
    panels: Vec<Panel<'p>>,
    devices: Vec<&'p FieldDevice>,
    loads: Vec<catalogue::DeviceLoad>,
    from_panel: Vec<Vec<f64>>,
    between: Vec<Vec<f64>>,
    /// Cables of the catalogue from the thinnest up, with ohm per kilometre.
    cables: Vec<(&'p str, f64)>,
    kept: Vec<&'p Segment>,
    kept_length: f64,
    old_length: f64,
}

impl<'p> Layout<'p> {
    fn new(project: &'p Project) -> Self {
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
        let (devices, loads): (Vec<&FieldDevice>, Vec<catalogue::DeviceLoad>) = project
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
    fn solve(&self, progress: &dyn Progress) -> (Solution, bool) {
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

    fn hops(&self, panel: usize, sites: &[usize]) -> Vec<f64> {
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
    fn cable(&self, panel: usize, sites: &[usize]) -> &'p str {
        let lengths = self.hops(panel, sites);
        let holds = |cable: &&(&str, f64)| self.volts_hold(panel, sites, &lengths, cable.1);
        self.cables
            .iter()
            .find(holds)
            .or(self.cables.last())
            .map_or("", |cable| cable.0)
    }

    /// Segments in place of those that are not kept; also how many were replaced.
    fn edits(&self, solution: &Solution, remarks: &mut Vec<String>) -> (Vec<Edit>, usize) {
        let old: Vec<&Segment> = self
            .project
            .segments
            .iter()
            .filter(|segment| !self.kept.iter().any(|kept| kept.id == segment.id))
            .collect();
        if self.cables.is_empty() && !solution.lines.is_empty() {
            remarks.push("The catalogue has no cable; add one, then wire.".to_owned());
            return (Vec::new(), 0);
        }
        let taken: BTreeSet<&str> = (self.kept.iter().map(|s| s.tag.as_str()))
            .chain(self.project.devices.iter().map(|d| d.tag.as_str()))
            .chain(self.project.detectors.iter().map(|d| d.tag.as_str()))
            .chain(self.project.panels.iter().map(|p| p.tag.as_str()))
            .collect();
        let mut tags = (1u32..)
            .map(|n| format!("S{n}"))
            .filter(|t| !taken.contains(t.as_str()));
        let mut connections: BTreeMap<PanelId, BTreeSet<u32>> = BTreeMap::new();
        for kept in &self.kept {
            connections
                .entry(kept.panel)
                .or_default()
                .insert(kept.connection);
        }
        let first_new: u32 = self.project.segments.next_id().into();
        let mut edits = Vec::new();
        for (number, (panel, sites)) in solution.lines.iter().enumerate() {
            let panel_id = self.panels[*panel].0.id;
            let used = connections.entry(panel_id).or_default();
            let connection = (1..)
                .find(|c| !used.contains(c))
                .expect("numbers without end");
            used.insert(connection);
            let reused = old.get(number).map(|segment| segment.id);
            let beyond = number.saturating_sub(old.len()) as u32;
            let item = Item::Segment(Segment {
                id: reused.unwrap_or(SegmentId(first_new + beyond)),
                tag: tags.next().expect("tags without end"),
                panel: panel_id,
                connection,
                topology: Topology::Line,
                cable: self.cable(*panel, sites).to_owned(),
                devices: sites.iter().map(|&site| self.devices[site].id).collect(),
            });
            edits.push(match reused {
                Some(_) => Edit::Change { item },
                None => Edit::Add { item },
            });
        }
        for gone in old.iter().skip(solution.lines.len()) {
            edits.push(Edit::Remove {
                key: ItemKey::Segment(gone.id),
            });
        }
        (edits, old.len())
    }

    fn remark(&self, solution: &Solution, with_spare: bool, remarks: &mut Vec<String>) {
        for (number, (panel, sites)) in solution.lines.iter().enumerate() {
            let lengths = self.hops(*panel, sites);
            remarks.push(format!(
                "Line {} from {}: {}, {:.0} m of {}.",
                number + 1,
                self.panels[*panel].0.tag,
                counted(sites.len(), "device"),
                lengths.iter().sum::<f64>(),
                self.cable(*panel, sites)
            ));
        }
        if !solution.lines.is_empty() {
            let over = 100.0 * (solution.cost / solution.bound.max(1e-9) - 1.0);
            remarks.push(format!(
                "{:.0} m of cable in all; no lines along these routes can do with less than \
                 {:.0} m (spanning tree), so at most {over:.0} % could be saved.",
                solution.cost, solution.bound
            ));
        }
        if !with_spare {
            remarks.push(
                "The panels cannot keep the spare of the basis of design; the lines use it up."
                    .to_owned(),
            );
        }
        if solution.stopped {
            remarks.push("The search was stopped; a longer one may save cable.".to_owned());
        }
        if !self.kept.is_empty() {
            let tags: Vec<&str> = self
                .kept
                .iter()
                .map(|segment| segment.tag.as_str())
                .collect();
            remarks.push(format!(
                "Kept as it is, with existing devices: {}.",
                tags.join(", ")
            ));
        }
        if !solution.left_out.is_empty() {
            let tags: Vec<&str> = solution
                .left_out
                .iter()
                .map(|&site| self.devices[site].tag.as_str())
                .collect();
            remarks.push(format!(
                "Not wired: {}. No panel has room for it, or no riser joins its floor to a panel.",
                tags.join(", ")
            ));
        }
        let unknown: Vec<&str> = self
            .project
            .devices
            .iter()
            .filter(|device| {
                self.project
                    .catalogue
                    .item(&device.part)
                    .and_then(CatalogueItem::load)
                    .is_none()
                    && self.project.segment_of(device.id).is_none()
            })
            .map(|device| device.tag.as_str())
            .collect();
        if !unknown.is_empty() {
            let tags = unknown.join(", ");
            remarks.push(format!(
                "Not wired: {tags}. Its part is no device of the catalogue."
            ));
        }
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
