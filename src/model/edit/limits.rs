//! How long texts and lines may be and how high ids may go, in every project.

use crate::model::catalogue::ItemKind;
use crate::model::edit::EditError;
use crate::model::project::Project;
use crate::model::register::{Entry, Register};

/// Names, tags, numbers and references: letters at most.
pub const LONGEST_NAME: usize = 200;
/// Descriptions: letters at most.
pub const LONGEST_DESCRIPTION: usize = 500;
/// Corners of one outline or line at most.
pub const MOST_CORNERS: usize = 500;
/// Ids are counted up, so the highest leaves room above it.
pub const HIGHEST_ID: u32 = 1 << 31;

/// Checks every id, text and line of a project.
///
/// # Errors
/// The first that goes beyond its limit, by its field.
pub fn check(project: &Project) -> Result<(), EditError> {
    ids(project)?;
    head(project)?;
    catalogue(project)?;
    plan(project)?;
    things(project)?;
    corners(project)
}

fn ids(project: &Project) -> Result<(), EditError> {
    highest(&project.floors)?;
    highest(&project.rooms)?;
    highest(&project.barriers)?;
    highest(&project.openings)?;
    highest(&project.sources)?;
    highest(&project.terminals)?;
    highest(&project.marked)?;
    highest(&project.detectors)?;
    highest(&project.devices)?;
    highest(&project.panels)?;
    highest(&project.containments)?;
    highest(&project.risers)?;
    highest(&project.segments)?;
    highest(&project.mixtures)?;
    highest(&project.substances)
}

fn highest<T: Entry>(register: &Register<T>) -> Result<(), EditError> {
    let last: u32 = register.iter().next_back().map_or(0, |one| one.id().into());
    match last > HIGHEST_ID {
        true => Err(EditError::field(
            format!("id of {}", T::NOUN),
            last,
            format!("give it an id of {HIGHEST_ID} at most."),
        )),
        false => Ok(()),
    }
}

fn head(project: &Project) -> Result<(), EditError> {
    let head = &project.head;
    name("project name", &head.name)?;
    name("client", &head.client)?;
    name("site", &head.site)?;
    name("project reference", &head.reference)?;
    name("revision", &head.revision)
}

fn catalogue(project: &Project) -> Result<(), EditError> {
    name("name of the catalogue", &project.catalogue.name)?;
    name("currency of the catalogue", &project.catalogue.currency)?;
    for item in &project.catalogue.items {
        name("part number in the catalogue", &item.part)?;
        let part = &item.part;
        let field = format!("description of catalogue part {part:?}");
        text(&field, &item.description, LONGEST_DESCRIPTION)?;
        if let ItemKind::DetectorDevice { measures, .. } = &item.kind {
            let field = format!("substance measured by catalogue part {part:?}");
            measures.iter().try_for_each(|key| name(&field, key))?;
        }
    }
    Ok(())
}

fn plan(project: &Project) -> Result<(), EditError> {
    for floor in &project.floors {
        name(&format!("name of floor {}", floor.id), &floor.name)?;
        if let Some(sheet) = &floor.sheet {
            let of = format!("the plan sheet of {}", floor.name);
            name(&format!("name of {of}"), &sheet.name)?;
            name(&format!("fingerprint of {of}"), &sheet.image)?;
        }
    }
    for mixture in &project.mixtures {
        name(&format!("name of mixture {}", mixture.id), &mixture.name)?;
        for part in &mixture.components {
            let field = format!("component of mixture {}", mixture.name);
            name(&field, &part.substance)?;
        }
    }
    for stated in &project.substances {
        name(&format!("name of substance {}", stated.id), &stated.name)?;
        let key = stated.of.as_deref().unwrap_or_default();
        name(&format!("substance of statement {}", stated.id), key)?;
    }
    for room in &project.rooms {
        name(&format!("number of room {}", room.id), &room.number)?;
        name(&format!("name of room {}", room.id), &room.name)?;
    }
    for source in &project.sources {
        name(
            &format!("name of release source {}", source.id),
            &source.name,
        )?;
        let field = format!("substance of release source {}", source.name);
        name(&field, &source.substance)?;
    }
    Ok(())
}

fn things(project: &Project) -> Result<(), EditError> {
    for detector in &project.detectors {
        name(&format!("tag of detector {}", detector.id), &detector.tag)?;
        name(&format!("substance of {}", detector.tag), &detector.watches)?;
        let part = detector.part.as_deref().unwrap_or_default();
        name(&format!("part of {}", detector.tag), part)?;
        let field = format!("reason for the set-points of {}", detector.tag);
        text(&field, &detector.set_points_reason, LONGEST_DESCRIPTION)?;
    }
    for device in &project.devices {
        name(&format!("tag of field device {}", device.id), &device.tag)?;
        name(&format!("part of {}", device.tag), &device.part)?;
    }
    for panel in &project.panels {
        name(&format!("tag of panel {}", panel.id), &panel.tag)?;
        name(&format!("part of {}", panel.tag), &panel.part)?;
    }
    for riser in &project.risers {
        name(&format!("name of riser {}", riser.id), &riser.name)?;
    }
    for segment in &project.segments {
        name(&format!("tag of segment {}", segment.id), &segment.tag)?;
        name(&format!("cable of {}", segment.tag), &segment.cable)?;
    }
    Ok(())
}

fn corners(project: &Project) -> Result<(), EditError> {
    let count = |field: String, n_points: usize| match n_points > MOST_CORNERS {
        true => Err(EditError::field(
            field,
            format!("{n_points} points long"),
            format!("draw it with {MOST_CORNERS} points at most, or in several parts."),
        )),
        false => Ok(()),
    };
    for room in &project.rooms {
        let field = format!("outline of room {} {}", room.number, room.name);
        count(field, room.outline.len())?;
    }
    for barrier in &project.barriers {
        count(
            format!("line of barrier {}", barrier.id),
            barrier.line.len(),
        )?;
    }
    for source in &project.sources {
        let n_points = source.extent.as_ref().map_or(0, |one| one.points().len());
        count(
            format!("extent of release source {}", source.name),
            n_points,
        )?;
    }
    for marked in &project.marked {
        count(
            format!("outline of {}", marked.name()),
            marked.outline.len(),
        )?;
    }
    for containment in &project.containments {
        let field = format!("line of containment {}", containment.id);
        count(field, containment.line.len())?;
    }
    Ok(())
}

fn name(field: &str, text: &str) -> Result<(), EditError> {
    self::text(field, text, LONGEST_NAME)
}

fn text(field: &str, text: &str, most: usize) -> Result<(), EditError> {
    let n_letters = text.chars().count();
    match n_letters > most {
        true => Err(EditError::field(
            field,
            format!("{n_letters} letters long"),
            format!("say it in {most} letters at most."),
        )),
        false => Ok(()),
    }
}
