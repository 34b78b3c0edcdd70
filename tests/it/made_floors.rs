//! What the floors that cover solvers are compared on promise.

use std::collections::BTreeSet;

use brattice::geometry::Polygon;
use brattice::model::ProjectFile;

#[path = "../bench/made_floors.rs"]
mod made;

#[test]
fn made_floors_are_legal_and_hard_enough() {
    for seed in made::SEEDS {
        let project = made::floor(seed);
        let text = ProjectFile::new(project.clone(), Default::default()).write();
        ProjectFile::read(&text).unwrap_or_else(|fault| panic!("seed {seed}: {fault}"));
        assert_eq!(project.rooms.len(), 40, "seed {seed}");
        let area: f64 = (project.rooms.iter())
            .map(|room| Polygon::new(room.outline.clone()).area())
            .sum();
        assert!((area - 60.0 * 40.0).abs() < 1e-6, "seed {seed}: {area} m2");
        assert!(project.barriers.len() >= 8, "seed {seed}");
        let covers = made::covers(seed);
        let hard = covers.iter().filter(|one| one.solution.count_bound >= 6);
        let hard: BTreeSet<&str> = hard.map(|one| one.title.as_str()).collect();
        assert!(hard.len() >= 5, "seed {seed}: {hard:?}");
        let steps = (covers.iter()).filter(|one| one.holds_for.contains("every 1.0 m"));
        assert_eq!(steps.count(), covers.len(), "seed {seed}");
        let whole = made::whole(&covers, 2);
        assert!(whole.check().is_ok(), "seed {seed}");
        assert!(whole.rows.iter().any(|row| row.need == 2), "seed {seed}");
    }
}
