//! Findings: what a check has to say about the design.

use serde::Serialize;

use crate::engine::trace::Quantity;
use crate::geometry::Point;
use crate::model::{Edit, FloorId, ItemKey};

/// What a check found, with a remedy.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// Deterministic: the rule and the thing, such as "bus.volts/segment-3".
    pub id: String,
    pub severity: Severity,
    /// A colleague's sentence: what, where, the value and the limit.
    pub message: String,
    /// What to do about it.
    pub remedy: String,
    /// The thing it is about.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub about: Option<ItemKey>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub floor: Option<FloorId>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub at: Option<Point>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub value: Option<Quantity>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub limit: Option<Quantity>,
    /// The remedy as an edit, where it can be computed, with the words of its button.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fix: Option<Fix>,
}

/// A remedy that one button carries out.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Fix {
    pub label: String,
    pub edit: Edit,
}

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Severity {
    /// The design must not be issued so.
    Blocker,
    Warning,
    Note,
}

impl Finding {
    /// A finding about nothing in particular; the `with_*` functions say more.
    pub fn new(
        id: impl Into<String>,
        severity: Severity,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) -> Self {
        Finding {
            id: id.into(),
            severity,
            message: message.into(),
            remedy: remedy.into(),
            about: None,
            floor: None,
            at: None,
            value: None,
            limit: None,
            fix: None,
        }
    }

    /// The thing it is about.
    pub fn about(mut self, key: ItemKey) -> Self {
        self.about = Some(key);
        self
    }

    /// The place it is about.
    pub fn at(mut self, floor: FloorId, at: Point) -> Self {
        self.floor = Some(floor);
        self.at = Some(at);
        self
    }

    /// The value found and the limit it is held against.
    pub fn held_against(mut self, value: Quantity, limit: Quantity) -> Self {
        self.value = Some(value);
        self.limit = Some(limit);
        self
    }

    /// The remedy as an edit.
    pub fn with_fix(mut self, label: impl Into<String>, edit: Edit) -> Self {
        self.fix = Some(Fix {
            label: label.into(),
            edit,
        });
        self
    }
}
