//! The log of a project: appended to, replayed, walked back and forth.

use sqlx::sqlite::SqliteRow;
use sqlx::{Row, Sqlite, SqliteConnection, Transaction};

use crate::model::{Edit, Project, apply};
use crate::store::{ProjectId, Store, StoreError, Version};

/// A whole project is written after so many edits.
const SNAPSHOT_EVERY: i64 = 20;

/// Where a project stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    pub version: Version,
    pub project: Project,
    /// Label of the edit that undo would take back.
    pub undo: Option<String>,
    /// Label of the edit that redo would bring back.
    pub redo: Option<String>,
    /// The last row of the log.
    pub last: Step,
}

/// A row of the log, as it is told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    pub kind: LogKind,
    /// RFC 3339, UTC.
    pub at: String,
    pub author: String,
    pub label: String,
}

/// What a row of the log did.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LogKind {
    Create,
    Edit,
    Undo,
    Redo,
}

/// An edit to be appended, with the project it makes of the one before.
#[derive(Debug)]
pub struct Change<'a> {
    pub edit: &'a Edit,
    pub label: &'a str,
    pub after: &'a Project,
    pub at: &'a str,
    pub author: &'a str,
}

/// The pointers of a project's row.
struct Pointers {
    version: i64,
    head: i64,
    tip: i64,
}

impl Store {
    /// Where the project stands now.
    pub async fn standing(&self, id: ProjectId) -> Result<Standing, StoreError> {
        let mut transaction = self.pool.begin().await?;
        let at = pointers(&mut transaction, id).await?;
        let project = replay(&mut transaction, id, at.head).await?;
        let head = row(&mut transaction, id, at.head).await?;
        let next = next_of(&mut transaction, id, &at).await?;
        let last = step(&row(&mut transaction, id, at.version).await?, id)?;
        let undo = match kind(&head, id)? {
            LogKind::Create => None,
            _ => Some(head.try_get("label")?),
        };
        let redo = match next {
            Some(seq) => Some(row(&mut transaction, id, seq).await?.try_get("label")?),
            None => None,
        };
        Ok(Standing {
            version: at.version,
            project,
            undo,
            redo,
            last,
        })
    }

    /// The version the project stands at.
    pub async fn version(&self, id: ProjectId) -> Result<Version, StoreError> {
        let mut connection = self.pool.acquire().await?;
        Ok(pointers(&mut connection, id).await?.version)
    }

    /// Appends an edit made of `version`.
    ///
    /// # Errors
    /// [`StoreError::Stale`] where the project has moved on; then nothing is written.
    pub async fn append(
        &self,
        id: ProjectId,
        version: Version,
        change: Change<'_>,
    ) -> Result<Version, StoreError> {
        let (mut transaction, at) = self.begin(id, version).await?;
        let depth: i64 = row(&mut transaction, id, at.head).await?.try_get("depth")?;
        let (seq, depth) = (at.version + 1, depth + 1);
        sqlx::query(
            "INSERT INTO log (project_id, seq, kind, parent, target, depth, at, author, label, edit)
             VALUES (?, ?, 'edit', ?, ?, ?, ?, ?, ?, ?)",
        )
        .bind(id)
        .bind(seq)
        .bind(at.head)
        .bind(seq)
        .bind(depth)
        .bind(change.at)
        .bind(change.author)
        .bind(change.label)
        .bind(serde_json::to_string(change.edit).expect("an edit has only string keys"))
        .execute(&mut *transaction)
        .await?;
        if depth % SNAPSHOT_EVERY == 0 {
            sqlx::query("INSERT INTO snapshot (project_id, seq, project) VALUES (?, ?, ?)")
                .bind(id)
                .bind(seq)
                .bind(serde_json::to_string(change.after).expect("a project has only string keys"))
                .execute(&mut *transaction)
                .await?;
        }
        sqlx::query("UPDATE project SET version = ?, head = ?, tip = ?, name = ? WHERE id = ?")
            .bind(seq)
            .bind(seq)
            .bind(seq)
            .bind(&change.after.head.name)
            .bind(id)
            .execute(&mut *transaction)
            .await?;
        transaction.commit().await?;
        Ok(seq)
    }

    /// Goes back to before the last edit; the log says so.
    pub async fn undo(
        &self,
        id: ProjectId,
        version: Version,
        at: &str,
        author: &str,
    ) -> Result<Version, StoreError> {
        let (mut transaction, pointers) = self.begin(id, version).await?;
        let head = row(&mut transaction, id, pointers.head).await?;
        let Some(parent) = head.try_get::<Option<i64>, _>("parent")? else {
            return Err(StoreError::NothingToUndo);
        };
        let label: String = head.try_get("label")?;
        let turn = Turn {
            kind: "undo",
            to: parent,
            label,
            at,
            author,
        };
        self.turn(transaction, id, &pointers, turn).await
    }

    /// Brings back the edit that was undone last; the log says so.
    pub async fn redo(
        &self,
        id: ProjectId,
        version: Version,
        at: &str,
        author: &str,
    ) -> Result<Version, StoreError> {
        let (mut transaction, pointers) = self.begin(id, version).await?;
        let Some(next) = next_of(&mut transaction, id, &pointers).await? else {
            return Err(StoreError::NothingToRedo);
        };
        let label: String = row(&mut transaction, id, next).await?.try_get("label")?;
        let turn = Turn {
            kind: "redo",
            to: next,
            label,
            at,
            author,
        };
        self.turn(transaction, id, &pointers, turn).await
    }

    /// A transaction for writing, once it is sure that nobody else wrote since `version`.
    async fn begin(
        &self,
        id: ProjectId,
        version: Version,
    ) -> Result<(Transaction<'static, Sqlite>, Pointers), StoreError> {
        let mut transaction = self.pool.begin_with("BEGIN IMMEDIATE").await?;
        let at = pointers(&mut transaction, id).await?;
        match at.version == version {
            true => Ok((transaction, at)),
            false => Err(StoreError::Stale {
                asked: version,
                now: at.version,
            }),
        }
    }

    async fn turn(
        &self,
        mut transaction: Transaction<'static, Sqlite>,
        id: ProjectId,
        at: &Pointers,
        turn: Turn<'_>,
    ) -> Result<Version, StoreError> {
        let seq = at.version + 1;
        sqlx::query(
            "INSERT INTO log (project_id, seq, kind, parent, target, depth, at, author, label)
             SELECT project_id, ?, ?, ?, ?, depth, ?, ?, ? FROM log
             WHERE project_id = ? AND seq = ?",
        )
        .bind(seq)
        .bind(turn.kind)
        .bind(at.head)
        .bind(turn.to)
        .bind(turn.at)
        .bind(turn.author)
        .bind(turn.label)
        .bind(id)
        .bind(turn.to)
        .execute(&mut *transaction)
        .await?;
        let name = replay(&mut transaction, id, turn.to).await?.head.name;
        sqlx::query("UPDATE project SET version = ?, head = ?, name = ? WHERE id = ?")
            .bind(seq)
            .bind(turn.to)
            .bind(name)
            .bind(id)
            .execute(&mut *transaction)
            .await?;
        transaction.commit().await?;
        Ok(seq)
    }
}

/// A step back or forth along the edits.
struct Turn<'a> {
    kind: &'static str,
    to: i64,
    label: String,
    at: &'a str,
    author: &'a str,
}

async fn pointers(
    connection: &mut SqliteConnection,
    id: ProjectId,
) -> Result<Pointers, StoreError> {
    let row = sqlx::query("SELECT version, head, tip FROM project WHERE id = ?")
        .bind(id)
        .fetch_optional(connection)
        .await?
        .ok_or(StoreError::NoProject(id))?;
    Ok(Pointers {
        version: row.try_get("version")?,
        head: row.try_get("head")?,
        tip: row.try_get("tip")?,
    })
}

async fn row(
    connection: &mut SqliteConnection,
    id: ProjectId,
    seq: i64,
) -> Result<SqliteRow, StoreError> {
    sqlx::query(
        "SELECT seq, kind, parent, depth, at, author, label, edit FROM log
         WHERE project_id = ? AND seq = ?",
    )
    .bind(id)
    .bind(seq)
    .fetch_optional(connection)
    .await?
    .ok_or_else(|| damaged(id, seq, "the row is not there"))
}

fn damaged(project: ProjectId, seq: i64, reason: impl ToString) -> StoreError {
    StoreError::Damaged {
        project,
        seq,
        reason: reason.to_string(),
    }
}

fn kind(row: &SqliteRow, id: ProjectId) -> Result<LogKind, StoreError> {
    match row.try_get::<&str, _>("kind")? {
        "create" => Ok(LogKind::Create),
        "edit" => Ok(LogKind::Edit),
        "undo" => Ok(LogKind::Undo),
        "redo" => Ok(LogKind::Redo),
        other => Err(damaged(id, row.try_get("seq")?, format!("kind {other}"))),
    }
}

fn step(row: &SqliteRow, id: ProjectId) -> Result<Step, StoreError> {
    Ok(Step {
        kind: kind(row, id)?,
        at: row.try_get("at")?,
        author: row.try_get("author")?,
        label: row.try_get("label")?,
    })
}

/// The edit on the way from the head to the tip that stands on the head.
async fn next_of(
    connection: &mut SqliteConnection,
    id: ProjectId,
    at: &Pointers,
) -> Result<Option<i64>, StoreError> {
    let mut seq = at.tip;
    while seq != at.head {
        let parent: Option<i64> = row(connection, id, seq).await?.try_get("parent")?;
        match parent {
            Some(parent) if parent == at.head => return Ok(Some(seq)),
            Some(parent) => seq = parent,
            None => return Err(damaged(id, seq, "it does not lead to the present edit")),
        }
    }
    Ok(None)
}

/// The project after the row `head`: the nearest snapshot before it, and the edits since.
async fn replay(
    connection: &mut SqliteConnection,
    id: ProjectId,
    head: i64,
) -> Result<Project, StoreError> {
    let mut edits: Vec<(i64, Edit)> = Vec::new();
    let mut seq = head;
    let mut project: Project = loop {
        let snapshot = sqlx::query("SELECT project FROM snapshot WHERE project_id = ? AND seq = ?")
            .bind(id)
            .bind(seq)
            .fetch_optional(&mut *connection)
            .await?;
        if let Some(snapshot) = snapshot {
            let text: &str = snapshot.try_get("project")?;
            break serde_json::from_str(text).map_err(|error| damaged(id, seq, error))?;
        }
        let row = row(connection, id, seq).await?;
        let text: Option<&str> = row.try_get("edit")?;
        let edit =
            serde_json::from_str(text.unwrap_or("")).map_err(|error| damaged(id, seq, error))?;
        edits.push((seq, edit));
        let parent: Option<i64> = row.try_get("parent")?;
        seq = parent.ok_or_else(|| damaged(id, seq, "it stands on nothing"))?;
    };
    for (seq, edit) in edits.iter().rev() {
        project = apply(&project, edit).map_err(|error| damaged(id, *seq, error))?;
    }
    Ok(project)
}
