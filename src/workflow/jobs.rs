//! Long searches beside the drawing: started, watched, cancelled; their result is only offered.

use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use tokio::sync::Semaphore;

use crate::engine::{self, Progress, Results, Scope, Silent, Suggestion, checks};
use crate::model::{Project, apply};
use crate::store::{ProjectId, Version};
use crate::workflow::labels::Found;
use crate::workflow::{Opened, Refusal, Workflow, WorkflowError, recalculate};

/// So many jobs are remembered; more than this cannot wait or run at once.
const KEPT: usize = 32;

/// What is searched for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Work {
    Detectors(Scope),
    Wiring,
}

/// How a job stands.
#[derive(Debug, Clone, PartialEq)]
pub enum JobReport {
    Running {
        step: String,
        done: usize,
        of: usize,
        bound: Option<usize>,
    },
    Done {
        suggestion: Box<Suggestion>,
        version: Version,
        /// The project as accepting it would leave it; `None` where it cannot be accepted.
        after: Option<Arc<After>>,
    },
    Cancelled,
    Failed(String),
}

/// A project as a suggestion would leave it, calculated, so that it can be drawn as it will be.
#[derive(Debug)]
pub struct After {
    pub project: Project,
    pub results: Results,
    pub(crate) labels: Found,
}

impl PartialEq for After {
    fn eq(&self, other: &Self) -> bool {
        self.project == other.project
    }
}

impl After {
    /// With what it changes of cable and price, as the title block will say it.
    fn of(opened: &Opened, suggestion: &mut Suggestion, is_wiring: bool) -> Option<Arc<After>> {
        let project = apply(opened.project(), &suggestion.edit).ok()?;
        let results = engine::run(&project, &Silent);
        let totals = [&opened.results, &results].map(|it| it.take_off.totals.as_ref());
        if let [Some(before), Some(after)] = totals {
            suggestion.cable_change_m = Some(after.cable.value - before.cable.value);
            suggestion.price_change = Some(after.price.value - before.price.value);
        }
        let undrawn = checks::undrawn_length(&project, &results);
        if is_wiring && undrawn >= checks::LEAST_UNDRAWN {
            let more = format!(", {undrawn:.0}\u{202f}m of it outside of the rooms drawn");
            suggestion.summary.push_str(&more);
        }
        let labels = Found::default();
        Some(Arc::new(After {
            project,
            results,
            labels,
        }))
    }
}

/// All jobs since the program started, the last of them remembered.
pub(crate) struct Jobs {
    last: AtomicU64,
    jobs: Mutex<BTreeMap<u64, Arc<Job>>>,
    turns: Semaphore,
}

struct Job {
    report: Mutex<JobReport>,
    cancelled: AtomicBool,
}

impl Jobs {
    pub(crate) fn new(at_once: usize) -> Self {
        Jobs {
            last: AtomicU64::new(0),
            jobs: Mutex::new(BTreeMap::new()),
            turns: Semaphore::new(at_once),
        }
    }

    pub(crate) fn cancel_all(&self) {
        for job in self.lock().values() {
            job.cancelled.store(true, Ordering::Relaxed);
        }
    }

    fn lock(&self) -> MutexGuard<'_, BTreeMap<u64, Arc<Job>>> {
        self.jobs.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// A new job, in the place of the oldest that has ended where the table is full.
    fn start(&self) -> Result<(u64, Arc<Job>), WorkflowError> {
        let mut jobs = self.lock();
        while jobs.len() >= KEPT {
            let ended = jobs.iter().find(|(_, job)| job.has_ended());
            let Some((&oldest, _)) = ended else {
                let message = format!(
                    "{KEPT} searches are running or waiting; let one end, or cancel one, and start \
                     this again."
                );
                return Err(Refusal::sentence("what", message).into());
            };
            jobs.remove(&oldest);
        }
        let number = self.last.fetch_add(1, Ordering::Relaxed) + 1;
        let waiting = JobReport::Running {
            step: "waiting for another search to end".to_owned(),
            done: 0,
            of: 0,
            bound: None,
        };
        let job = Arc::new(Job {
            report: Mutex::new(waiting),
            cancelled: AtomicBool::new(false),
        });
        jobs.insert(number, job.clone());
        Ok((number, job))
    }

    fn get(&self, name: &str) -> Result<Arc<Job>, WorkflowError> {
        let number = name.parse::<u64>().ok();
        let found = number.and_then(|number| self.lock().get(&number).cloned());
        found.ok_or_else(|| {
            let message = format!("There is no search {name}; start it again.");
            WorkflowError::Missing(message)
        })
    }
}

impl Job {
    fn set(&self, report: JobReport) {
        *self.report.lock().unwrap_or_else(PoisonError::into_inner) = report;
    }

    fn report(&self) -> JobReport {
        self.report
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .clone()
    }

    fn has_ended(&self) -> bool {
        !matches!(self.report(), JobReport::Running { .. })
    }
}

impl Progress for Job {
    fn report(&self, step: &str, done: usize, of: usize, bound: Option<usize>) {
        self.set(JobReport::Running {
            step: step.to_owned(),
            done,
            of,
            bound,
        });
    }

    fn cancelled(&self) -> bool {
        self.cancelled.load(Ordering::Relaxed)
    }
}

impl Workflow {
    /// Starts a search on the project as it stands at `version`; gives the job's name.
    pub async fn start(
        &self,
        id: ProjectId,
        version: Version,
        work: Work,
    ) -> Result<String, WorkflowError> {
        let opened = self.at_version(id, version).await?;
        let (number, job) = self.inner.jobs.start()?;
        let workflow = self.clone();
        tokio::spawn(async move {
            let _turn = workflow.inner.jobs.turns.acquire().await;
            if Progress::cancelled(&*job) {
                return job.set(JobReport::Cancelled);
            }
            let told = job.clone();
            let search = move || {
                let project = opened.project();
                let mut suggestion = match work {
                    Work::Detectors(scope) => engine::suggest(project, scope, &*told),
                    Work::Wiring => engine::wire(project, &*told),
                };
                let after = match Progress::cancelled(&*told) {
                    true => None,
                    false => After::of(&opened, &mut suggestion, work == Work::Wiring),
                };
                (suggestion, after)
            };
            job.set(match recalculate::off_pool(search).await {
                Ok(_) if Progress::cancelled(&*job) => JobReport::Cancelled,
                Ok((suggestion, after)) => JobReport::Done {
                    suggestion: Box::new(suggestion),
                    version,
                    after,
                },
                Err(error) => JobReport::Failed(error.to_string()),
            });
        });
        Ok(number.to_string())
    }

    /// How a job stands.
    pub fn job(&self, name: &str) -> Result<JobReport, WorkflowError> {
        Ok(self.inner.jobs.get(name)?.report())
    }

    /// Asks a job to stop; one that has ended stays as it is.
    pub fn cancel(&self, name: &str) -> Result<(), WorkflowError> {
        let job = self.inner.jobs.get(name)?;
        job.cancelled.store(true, Ordering::Relaxed);
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_table_drops_what_has_ended_and_keeps_what_runs() {
        let jobs = Jobs::new(1);
        let started: Vec<(u64, Arc<Job>)> = (0..KEPT)
            .map(|_| jobs.start().expect("there is room"))
            .collect();
        let (second, third) = (&started[1], &started[2]);
        third.1.set(JobReport::Cancelled);
        let (newest, _) = jobs.start().expect("one has ended");
        assert!(jobs.get(&third.0.to_string()).is_err());
        for kept in [started[0].0, second.0, newest] {
            assert!(jobs.get(&kept.to_string()).is_ok(), "{kept}");
        }
    }

    #[test]
    fn a_table_full_of_running_searches_takes_no_more_and_says_what_to_do() {
        let jobs = Jobs::new(1);
        let (number, job) = jobs.start().expect("there is room");
        (1..KEPT).for_each(|_| drop(jobs.start().expect("there is room")));
        let refused = jobs.start().err().expect("there is none").to_string();
        assert!(
            refused.contains("32") && refused.contains("cancel one"),
            "{refused}"
        );
        job.set(JobReport::Failed("it broke".to_owned()));
        assert!(jobs.start().is_ok());
        assert!(jobs.get(&number.to_string()).is_err());
    }
}
