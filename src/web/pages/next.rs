//! What to do next in a project, as one sentence with the place to do it.

use crate::engine::Severity;
use crate::model::Project;
use crate::web::words::counted;
use crate::workflow::Opened;

/// The next step of the job.
pub(super) struct Next {
    pub(super) sentence: String,
    /// Words of the link and its address.
    pub(super) link: &'static str,
    pub(super) address: String,
}

/// The first step that still waits, in the order of the job.
pub(super) fn next(opened: &Opened) -> Next {
    let project = opened.project();
    let base = format!("/projects/{}", opened.id);
    let floor = |link, sentence: String| Next {
        sentence,
        link,
        address: match waiting_floor(project) {
            Some(floor) => format!("{base}/floors/{floor}"),
            None => format!("{base}#floors"),
        },
    };
    let drawing = "Open the drawing";
    let n_blockers = opened
        .results
        .findings
        .iter()
        .filter(|finding| finding.severity == Severity::Blocker)
        .count();
    match () {
        () if project.floors.is_empty() => Next {
            sentence: "Add the first floor; its drawing is where the job goes on.".to_owned(),
            link: "Add a floor",
            address: format!("{base}#new-floor"),
        },
        () if project.rooms.is_empty() => floor(
            drawing,
            "Lay the client's plan under the drawing, set its scale and draw the rooms.".to_owned(),
        ),
        () if project.sources.is_empty() => floor(
            drawing,
            "Place the release sources: where gas can get out.".to_owned(),
        ),
        () if project.detectors.is_empty() => {
            floor(drawing, "Have the detectors suggested.".to_owned())
        }
        () if project.panels.is_empty() => floor(
            drawing,
            "Place a control panel; then have the wiring suggested.".to_owned(),
        ),
        () if project.segments.is_empty() => {
            floor(drawing, "Have the wiring suggested.".to_owned())
        }
        () if n_blockers > 0 => Next {
            sentence: format!(
                "{} to settle before the design is issued.",
                counted(n_blockers, "blocker")
            ),
            link: "Open the findings",
            address: format!("{base}/findings"),
        },
        () if !opened.results.questions.is_empty() => Next {
            sentence: format!(
                "{} to the client to settle; until then the design stands on assumptions.",
                counted(opened.results.questions.len(), "question")
            ),
            link: "Open the questions",
            address: format!("{base}/schedules?view=questions"),
        },
        () => Next {
            sentence: "Every step has been taken: read the documents and issue them.".to_owned(),
            link: "Open the documents",
            address: format!("{base}/documents"),
        },
    }
}

/// The lowest floor without a room, else the lowest.
fn waiting_floor(project: &Project) -> Option<crate::model::FloorId> {
    let floors = project.floors_upwards();
    let bare = floors
        .iter()
        .find(|floor| project.rooms_on(floor.id).next().is_none());
    bare.or(floors.first()).map(|floor| floor.id)
}
