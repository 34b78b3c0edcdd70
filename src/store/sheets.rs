//! The pictures of plan sheets, each once a project.

use std::collections::BTreeMap;

use sqlx::Row;

use crate::store::{ProjectId, Store, StoreError};

impl Store {
    /// Keeps a picture; the same picture again changes nothing.
    pub async fn put_sheet(
        &self,
        project: ProjectId,
        image: &str,
        png: &[u8],
    ) -> Result<(), StoreError> {
        sqlx::query(
            "INSERT INTO sheet (project_id, image, png) VALUES (?, ?, ?) ON CONFLICT DO NOTHING",
        )
        .bind(project)
        .bind(image)
        .bind(png)
        .execute(&self.pool)
        .await?;
        Ok(())
    }

    /// The PNG of this fingerprint.
    pub async fn sheet(
        &self,
        project: ProjectId,
        image: &str,
    ) -> Result<Option<Vec<u8>>, StoreError> {
        let row = sqlx::query("SELECT png FROM sheet WHERE project_id = ? AND image = ?")
            .bind(project)
            .bind(image)
            .fetch_optional(&self.pool)
            .await?;
        Ok(row.map(|row| row.try_get("png")).transpose()?)
    }

    /// The PNGs of these fingerprints, as far as they are kept.
    pub async fn sheets(
        &self,
        project: ProjectId,
        images: impl IntoIterator<Item = &str>,
    ) -> Result<BTreeMap<String, Vec<u8>>, StoreError> {
        let mut sheets = BTreeMap::new();
        for image in images {
            if let Some(png) = self.sheet(project, image).await? {
                sheets.insert(image.to_owned(), png);
            }
        }
        Ok(sheets)
    }
}
