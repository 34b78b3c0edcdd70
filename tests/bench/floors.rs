//! Writes the made floors as cover JSON, for k = 1 and 2: `BENCH_FLOORS=DIR cargo bench --bench
//! floors`.

#![allow(clippy::disallowed_methods, reason = "a bench writes files")]

use std::path::Path;

use serde_json::json;

#[path = "made_floors.rs"]
mod made;

fn main() {
    let Some(folder) = std::env::var_os("BENCH_FLOORS") else {
        println!("BENCH_FLOORS names no folder: nothing to write");
        return;
    };
    let folder = Path::new(&folder);
    std::fs::create_dir_all(folder).expect("BENCH_FLOORS can be made");
    for seed in made::SEEDS {
        let covers = made::covers(seed);
        for k in [1, 2] {
            let whole = made::whole(&covers, k);
            let file = json!({
                "format": "cover-1",
                "title": format!("seed {seed}, reach {} m, k = {k}", made::reach(seed)),
                "columns": whole.columns,
                "rows": whole.rows,
                "fixed": whole.fixed,
                "objective": "count-then-cost",
            });
            let path = folder.join(format!("floor-{seed:02}-k{k}.json"));
            std::fs::write(&path, file.to_string()).expect("BENCH_FLOORS can be written to");
        }
    }
}
