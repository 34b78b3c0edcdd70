//! The wiring the engine offers: field devices for detectors that lack one, and segments through
//! all devices for the least cable. It offers; only the designer's acceptance changes the project.

use std::collections::{BTreeMap, BTreeSet};

use crate::engine::bus::layout::Layout;
use crate::engine::placement;
use crate::engine::progress::Progress;
use crate::engine::solve::lines::{Line, Solution};
use crate::engine::suggestion::Suggestion;
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
    if layout.cables.is_empty() {
        remarks.push("The catalogue has no cable; add one, then wire.".to_owned());
        return nothing(remarks);
    }
    progress.report("shortest wiring", 2, 3, None);
    let (solution, with_spare) = layout.solve(progress);
    let segments = segments(&layout, &solution);
    remarks.extend(line_remarks(&layout, &solution, &segments));
    remarks.extend(closing_remarks(&layout, &solution, with_spare));
    edits.extend(segment_edits(&layout, &segments));
    if segments.is_empty() && edits.is_empty() {
        remarks.push("There is nothing to wire; place detectors first.".to_owned());
        return nothing(remarks);
    }
    let count = |kind: fn(&Edit) -> bool| edits.iter().filter(|edit| kind(edit)).count();
    let n_added = count(|edit| matches!(edit, Edit::Add { .. }));
    let n_removed = count(|edit| matches!(edit, Edit::Remove { .. }));
    let length = layout.kept_length + solution.cost;
    let summary = summary(&layout, &solution, length);
    Suggestion {
        edit: Edit::All {
            label: format!("Wiring: {summary}"),
            edits,
        },
        summary,
        remarks,
        proven: is_proven(&layout, &solution),
        n_added,
        n_removed,
        cable_change_m: Some(length - layout.old_length),
        price_change: None,
    }
}

/// Whether nothing is left out and no other lines along these routes take less cable.
fn is_proven(layout: &Layout, solution: &Solution) -> bool {
    let project = layout.project;
    let mut detectors = project.detectors.iter();
    let all_carried = detectors.all(|one| project.device_of(one.id).is_some());
    let all_wired = solution.left_out.is_empty() && layout.unknown_parts().is_empty();
    let least = !solution.stopped && (solution.cost - solution.bound) < 1e-6;
    all_carried && all_wired && least
}

fn summary(layout: &Layout, solution: &Solution, length: f64) -> String {
    let tag = |line: &Line| layout.panels[line.0].0.tag.as_str();
    let panels: BTreeSet<&str> = solution.lines.iter().map(tag).collect();
    let panels: Vec<&str> = panels.into_iter().collect();
    let segments = counted(solution.lines.len(), "segment");
    format!(
        "{segments} on {}, {length:.0} m of cable",
        panels.join(", ")
    )
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
        price_change: None,
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
        let offered = || match existing {
            true => None,
            false => placement::offered_part(project, detector),
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

/// The new segments, in the order of their tags; each takes the id of one that it replaces.
fn segments(layout: &Layout, solution: &Solution) -> Vec<Segment> {
    let project = layout.project;
    let taken: BTreeSet<&str> = (layout.kept.iter().map(|s| s.tag.as_str()))
        .chain(project.devices.iter().map(|d| d.tag.as_str()))
        .chain(project.detectors.iter().map(|d| d.tag.as_str()))
        .chain(project.panels.iter().map(|p| p.tag.as_str()))
        .collect();
    let mut tags = (1u32..)
        .map(|n| format!("S{n}"))
        .filter(|t| !taken.contains(t.as_str()));
    let mut connections: BTreeMap<PanelId, BTreeSet<u32>> = BTreeMap::new();
    for kept in &layout.kept {
        connections
            .entry(kept.panel)
            .or_default()
            .insert(kept.connection);
    }
    let next: u32 = project.segments.next_id().into();
    let new_ids = (next..).map(SegmentId);
    let mut ids = layout.replaced().map(|segment| segment.id).chain(new_ids);
    let mut segments = Vec::new();
    for (panel, sites) in &solution.lines {
        let panel_id = layout.panels[*panel].0.id;
        let used = connections.entry(panel_id).or_default();
        let connection = (1..)
            .find(|c| !used.contains(c))
            .expect("numbers without end");
        used.insert(connection);
        segments.push(Segment {
            id: ids.next().expect("ids without end"),
            tag: tags.next().expect("tags without end"),
            panel: panel_id,
            connection,
            topology: Topology::Line,
            cable: layout.cable(*panel, sites).to_owned(),
            devices: sites.iter().map(|&site| layout.devices[site].id).collect(),
        });
    }
    segments
}

/// What turns the segments of the project that are not kept into these.
fn segment_edits(layout: &Layout, segments: &[Segment]) -> Vec<Edit> {
    let now = &layout.project.segments;
    let mut edits = Vec::new();
    for segment in segments {
        let item = Item::Segment(segment.clone());
        match now.get(segment.id) {
            Some(before) if before == segment => {}
            Some(_) => edits.push(Edit::Change { item }),
            None => edits.push(Edit::Add { item }),
        }
    }
    let gone = layout
        .replaced()
        .filter(|old| !segments.iter().any(|new| new.id == old.id));
    edits.extend(gone.map(|old| Edit::Remove {
        key: ItemKey::Segment(old.id),
    }));
    edits
}

fn line_remarks(layout: &Layout, solution: &Solution, segments: &[Segment]) -> Vec<String> {
    let lines = solution.lines.iter().zip(segments);
    lines
        .map(|((panel, sites), segment)| {
            format!(
                "{} from {}: {}, {:.0} m of {}.",
                segment.tag,
                layout.panels[*panel].0.tag,
                counted(sites.len(), "device"),
                layout.hops(*panel, sites).iter().sum::<f64>(),
                segment.cable
            )
        })
        .collect()
}

fn closing_remarks(layout: &Layout, solution: &Solution, with_spare: bool) -> Vec<String> {
    let mut remarks = Vec::new();
    if !solution.lines.is_empty() {
        let over = 100.0 * (solution.cost / solution.bound.max(1e-9) - 1.0);
        remarks.push(format!(
            "{:.0} m of cable in all; no lines along these routes can do with less than {:.0} m \
             (spanning tree), so the lines lie at most {over:.0} % above the least.",
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
    let mut say = |words: &str, tags: Vec<&str>, reason: &str| {
        if !tags.is_empty() {
            remarks.push(format!("{words}: {}.{reason}", tags.join(", ")));
        }
    };
    let kept = layout
        .kept
        .iter()
        .map(|segment| segment.tag.as_str())
        .collect();
    say("Kept as it is, with existing devices", kept, "");
    let out = solution
        .left_out
        .iter()
        .map(|&site| layout.devices[site].tag.as_str())
        .collect();
    let reason = " No panel has room for it, or no riser joins its floor to a panel.";
    say("Not wired", out, reason);
    say(
        "Not wired",
        layout.unknown_parts(),
        " Its part is no device of the catalogue.",
    );
    remarks
}
