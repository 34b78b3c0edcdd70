//! Where a figure or a rule comes from.

use std::borrow::Cow;

use serde::Serialize;

/// The ground a figure stands on; printed beside it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Citation {
    /// A published work. `from_memory` says that nobody held the clause beside the figure yet.
    Published {
        work: Cow<'static, str>,
        clause: Cow<'static, str>,
        from_memory: bool,
    },
    /// A fact of the trade without a published source.
    CommonPractice,
    /// The designer stated it in the project.
    Designer,
    /// The designer stated it of a substance, for this reason; `replaces` is the published figure
    /// that it stands in the place of, with its own citation.
    Stated {
        reason: String,
        #[serde(skip_serializing_if = "Option::is_none")]
        replaces: Option<String>,
    },
    /// The project's catalogue states it.
    Catalogue,
    /// It follows from the drawing: lengths, areas, counts.
    Geometry,
}

impl Citation {
    /// A published work that was seen to say so.
    pub const fn published(work: &'static str, clause: &'static str) -> Self {
        Citation::Published {
            work: Cow::Borrowed(work),
            clause: Cow::Borrowed(clause),
            from_memory: false,
        }
    }

    /// A published work quoted from memory: the clause is a pointer to be checked.
    pub const fn from_memory(work: &'static str, clause: &'static str) -> Self {
        Citation::Published {
            work: Cow::Borrowed(work),
            clause: Cow::Borrowed(clause),
            from_memory: true,
        }
    }

    /// The citation as one line of print.
    pub fn text(&self) -> String {
        match self {
            Citation::Published {
                work,
                clause,
                from_memory,
            } => {
                let comma = if clause.is_empty() { "" } else { ", " };
                let memory = if *from_memory {
                    " (from memory, check the edition)"
                } else {
                    ""
                };
                format!("{work}{comma}{clause}{memory}")
            }
            Citation::CommonPractice => "common practice, no source".to_owned(),
            Citation::Designer => "stated in the project".to_owned(),
            Citation::Stated { reason, replaces } => {
                let reason = reason.trim();
                let instead = replaces.as_ref().map(|of| format!("; in place of {of}"));
                let instead = instead.unwrap_or_default();
                format!("stated for this project: {reason}{instead}")
            }
            Citation::Catalogue => "the project's catalogue".to_owned(),
            Citation::Geometry => "measured on the drawing".to_owned(),
        }
    }
}
