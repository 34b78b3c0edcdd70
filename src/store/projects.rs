//! Rows of projects: made, listed, deleted.

use std::collections::BTreeMap;

use sqlx::{Row, Sqlite, Transaction};

use crate::model::Project;
use crate::store::{ProjectId, Store, StoreError, Version};

/// What a list of projects shows without reading them.
#[derive(Debug, Clone, PartialEq)]
pub struct ProjectRow {
    pub id: ProjectId,
    pub name: String,
    pub version: Version,
    /// RFC 3339, UTC.
    pub created: String,
    /// RFC 3339, UTC: when the last row of the log was written.
    pub changed: String,
    /// Whether it came with the app, as an example.
    pub demo: bool,
}

/// A project to be put into the database.
#[derive(Debug)]
pub struct NewProject<'a> {
    pub project: &'a Project,
    /// The pictures of its plan sheets by fingerprint: PNG.
    pub sheets: &'a BTreeMap<String, Vec<u8>>,
    pub at: &'a str,
    pub author: &'a str,
    /// What the first row of the log says, such as "imported".
    pub label: &'a str,
    pub demo: bool,
}

impl Store {
    /// Puts a project into the database; its log begins with version 1.
    pub async fn create(&self, new: NewProject<'_>) -> Result<ProjectId, StoreError> {
        let mut transaction = self.pool.begin_with("BEGIN IMMEDIATE").await?;
        let id = insert_project(&mut transaction, &new).await?;
        for (image, png) in new.sheets {
            sqlx::query("INSERT INTO sheet (project_id, image, png) VALUES (?, ?, ?)")
                .bind(id)
                .bind(image)
                .bind(png.as_slice())
                .execute(&mut *transaction)
                .await?;
        }
        transaction.commit().await?;
        Ok(id)
    }

    /// All projects, the last changed first; the example last of all.
    pub async fn projects(&self) -> Result<Vec<ProjectRow>, StoreError> {
        let rows = sqlx::query(
            "SELECT p.id, p.name, p.version, p.created, p.demo, l.at AS changed
             FROM project p JOIN log l ON l.project_id = p.id AND l.seq = p.version
             ORDER BY p.demo, l.at DESC, p.id DESC",
        )
        .fetch_all(&self.pool)
        .await?;
        rows.iter()
            .map(|row| {
                Ok(ProjectRow {
                    id: row.try_get("id")?,
                    name: row.try_get("name")?,
                    version: row.try_get("version")?,
                    created: row.try_get("created")?,
                    changed: row.try_get("changed")?,
                    demo: row.try_get("demo")?,
                })
            })
            .collect()
    }

    /// Whether the database ever held a project.
    pub async fn is_new(&self) -> Result<bool, StoreError> {
        let used =
            sqlx::query("SELECT seq FROM sqlite_sequence WHERE name = 'project' AND seq > 0")
                .fetch_optional(&self.pool)
                .await?;
        Ok(used.is_none())
    }

    /// Deletes a project for good, with its log and pictures.
    pub async fn delete(&self, id: ProjectId) -> Result<(), StoreError> {
        let done = sqlx::query("DELETE FROM project WHERE id = ?")
            .bind(id)
            .execute(&self.pool)
            .await?;
        match done.rows_affected() {
            0 => Err(StoreError::NoProject(id)),
            _ => Ok(()),
        }
    }
}

async fn insert_project(
    transaction: &mut Transaction<'static, Sqlite>,
    new: &NewProject<'_>,
) -> Result<ProjectId, StoreError> {
    let id = sqlx::query(
        "INSERT INTO project (created, name, demo, version, head, tip) VALUES (?, ?, ?, 1, 1, 1)",
    )
    .bind(new.at)
    .bind(&new.project.head.name)
    .bind(new.demo)
    .execute(&mut **transaction)
    .await?
    .last_insert_rowid();
    sqlx::query(
        "INSERT INTO log (project_id, seq, kind, target, depth, at, author, label)
         VALUES (?, 1, 'create', 1, 0, ?, ?, ?)",
    )
    .bind(id)
    .bind(new.at)
    .bind(new.author)
    .bind(new.label)
    .execute(&mut **transaction)
    .await?;
    sqlx::query("INSERT INTO snapshot (project_id, seq, project) VALUES (?, 1, ?)")
        .bind(id)
        .bind(serde_json::to_string(new.project).expect("a project has only string keys"))
        .execute(&mut **transaction)
        .await?;
    Ok(id)
}
