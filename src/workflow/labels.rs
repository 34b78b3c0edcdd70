//! Where the words of a floor stand on a screen, found once for each version and step of zoom.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

use crate::documents::drawing::{FloorLabels, floor_labels};
use crate::engine::Results;
use crate::model::{FloorId, Project};
use crate::store::{ProjectId, Version};
use crate::workflow::jobs::{After, JobReport};
use crate::workflow::{Opened, Workflow, WorkflowError, recalculate};

/// A screen shows between these many pixels for a metre.
const LEAST: f64 = 1.0;
const MOST: f64 = 1000.0;

/// Steps for a doubling of the scale: so near that a word never stands visibly off its place.
const STEPS: f64 = 12.0;

/// What has been found for one version of a project, by floor and step.
#[derive(Debug, Default)]
pub(crate) struct Found(Mutex<BTreeMap<(FloorId, i32), Arc<FloorLabels>>>);

impl Found {
    fn get(&self, key: (FloorId, i32)) -> Option<Arc<FloorLabels>> {
        let found = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        found.get(&key).cloned()
    }

    fn put(&self, key: (FloorId, i32), labels: Arc<FloorLabels>) {
        let mut found = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        found.insert(key, labels);
    }
}

impl Workflow {
    /// The words of a floor for the step of zoom at or below `pixels_per_metre`, with the project
    /// as they hold for; `None` where there is no such floor.
    pub async fn floor_labels(
        &self,
        id: ProjectId,
        floor: FloorId,
        pixels_per_metre: f64,
    ) -> Result<Option<(Arc<Opened>, Arc<FloorLabels>)>, WorkflowError> {
        let opened = self.open(id).await?;
        let labels = found_or_made(opened.clone(), of_opened, floor, pixels_per_metre).await?;
        Ok(labels.map(|labels| (opened, labels)))
    }

    /// The same for the floor as a suggestion would leave it, with the version it was made for;
    /// `None` where the search has not ended with a suggestion that can be drawn.
    pub async fn suggested_labels(
        &self,
        job: &str,
        floor: FloorId,
        pixels_per_metre: f64,
    ) -> Result<Option<(Version, Arc<FloorLabels>)>, WorkflowError> {
        let JobReport::Done {
            version,
            after: Some(after),
            ..
        } = self.job(job)?
        else {
            return Ok(None);
        };
        let labels = found_or_made(after, of_after, floor, pixels_per_metre).await?;
        Ok(labels.map(|labels| (version, labels)))
    }
}

fn of_opened(it: &Opened) -> (&Project, &Results, &Found) {
    (it.project(), &it.results, &it.labels)
}

fn of_after(it: &After) -> (&Project, &Results, &Found) {
    (&it.project, &it.results, &it.labels)
}

/// The words of a floor of a project that stands, asked for again and again as somebody zooms.
async fn found_or_made<T: Send + Sync + 'static>(
    of: Arc<T>,
    parts: for<'a> fn(&'a T) -> (&'a Project, &'a Results, &'a Found),
    floor: FloorId,
    pixels_per_metre: f64,
) -> Result<Option<Arc<FloorLabels>>, WorkflowError> {
    let step = step_of(pixels_per_metre);
    if let Some(labels) = parts(&of).2.get((floor, step)) {
        return Ok(Some(labels));
    }
    let asked = of.clone();
    let labels = recalculate::off_pool(move || {
        let (project, results, _) = parts(&asked);
        let floor = project.floors.get(floor)?;
        Some(floor_labels(project, results, floor, scale_of(step)))
    })
    .await?;
    Ok(labels.map(|labels| {
        let labels = Arc::new(labels);
        parts(&of).2.put((floor, step), labels.clone());
        labels
    }))
}

/// The step at or below a scale; a scale that no screen has is taken to the nearest.
fn step_of(pixels_per_metre: f64) -> i32 {
    let scale = match pixels_per_metre.is_finite() {
        true => pixels_per_metre.clamp(LEAST, MOST),
        false => LEAST,
    };
    ((scale.log2() * STEPS) + 1e-6).floor() as i32
}

/// The scale of a step, pixels for a metre.
fn scale_of(step: i32) -> f64 {
    (f64::from(step) / STEPS).exp2()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_step_is_at_or_a_little_below_the_scale() {
        for scale in [1.0, 9.7, 20.0, 21.17, 333.3, 1000.0] {
            let taken = scale_of(step_of(scale));
            assert!(
                taken <= scale * 1.000_001 && taken > scale * 0.943,
                "{taken}"
            );
            assert_eq!(step_of(taken), step_of(scale));
        }
        assert_eq!(step_of(f64::NAN), 0);
        assert_eq!(step_of(1e9), step_of(MOST));
    }
}
