//! The database: projects as logs of edits, snapshots, and the pictures of plan sheets.
//!
//! It knows rows and transactions, not engineering; times and authors are given to it.

mod log;
mod projects;
mod sheets;

use std::path::Path;
use std::time::Duration;

use sqlx::SqlitePool;
use sqlx::sqlite::{SqliteConnectOptions, SqliteJournalMode, SqlitePoolOptions, SqliteSynchronous};

pub use log::{Change, LogKind, Standing, Step};
pub use projects::{NewProject, ProjectRow};

/// Number of a project in the database.
pub type ProjectId = i64;

/// A version of a project: the sequence number of the last row of its log.
pub type Version = i64;

/// Why the database did not do it.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    #[error("There is no project {0}.")]
    NoProject(ProjectId),
    /// Somebody else changed the project: it stands at `now`.
    #[error("The project has changed since version {asked}; it stands at version {now}.")]
    Stale { asked: Version, now: Version },
    #[error("There is nothing to undo.")]
    NothingToUndo,
    #[error("There is nothing to redo.")]
    NothingToRedo,
    /// The log of a project cannot be read; nothing was changed.
    #[error("The log of project {project} cannot be read at row {seq}: {reason}")]
    Damaged {
        project: ProjectId,
        seq: i64,
        reason: String,
    },
    #[error("the database: {0}")]
    Database(#[from] sqlx::Error),
    #[error("the database's schema: {0}")]
    Schema(#[from] sqlx::migrate::MigrateError),
}

/// An open database.
#[derive(Debug, Clone)]
pub struct Store {
    pool: SqlitePool,
}

impl Store {
    /// Opens the database in this file; makes it, and brings its schema up to date, where needed.
    pub async fn open(file: &Path) -> Result<Store, StoreError> {
        let options = SqliteConnectOptions::new()
            .filename(file)
            .create_if_missing(true)
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full)
            .foreign_keys(true)
            .busy_timeout(Duration::from_secs(5));
        let pool = SqlitePoolOptions::new()
            .max_connections(4)
            .connect_with(options)
            .await?;
        sqlx::migrate!().run(&pool).await?;
        Ok(Store { pool })
    }

    /// Waits until everything is on the disk and closes the file.
    pub async fn close(&self) {
        self.pool.close().await;
    }
}
