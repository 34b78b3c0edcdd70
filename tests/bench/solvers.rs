//! Runs the solvers on public benchmark files: one JSON line for each instance.
//!
//! `BENCH_DATA=DIR cargo bench --bench solvers`; `BENCH_SECONDS` limits each instance (10 unless
//! told), `BENCH_THREADS` tells how many threads solve the separate parts of one (2 unless told).
//! Kinds: OR-Library set cover (`scp*.txt`, after J. E. Beasley, OR-Library, 1990: rows, columns,
//! costs, then for each row how many columns and which, from 1) and cover JSON (`cover-1`).
//! `best_known` is from the nearest `best_known.csv`, whose first columns are `file` and the value
//! under `best_known`. `gap` is found / best known - 1.

use std::collections::BTreeMap;
use std::ops::ControlFlow;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use brattice::engine::solve::allowance::Allowance;
use brattice::engine::solve::cover::{Column, CoverOptions, CoverProblem, Objective, Row};
use brattice::engine::solve::share::solve;
use serde::Deserialize;
use serde_json::json;

/// A cover in JSON.
#[derive(Deserialize)]
struct CoverFile {
    columns: Vec<Column>,
    rows: Vec<Row>,
    #[serde(default)]
    fixed: Vec<usize>,
    #[serde(default)]
    allowances: Vec<Allowance>,
    objective: String,
}

/// What a file asks for.
struct Asked {
    kind: &'static str,
    problem: CoverProblem,
    allowances: Vec<Allowance>,
    objective: Objective,
}

fn main() {
    let Some(root) = std::env::var_os("BENCH_DATA").map(PathBuf::from) else {
        println!("BENCH_DATA names no folder: nothing to run");
        return;
    };
    let seconds = setting("BENCH_SECONDS", 10.0);
    let threads = setting("BENCH_THREADS", 2.0) as usize;
    let pool = rayon::ThreadPoolBuilder::new().num_threads(threads.max(1));
    pool.build_global().expect("a pool of threads");
    let mut files = Vec::new();
    walk(&root, &mut files);
    files.sort();
    for file in files {
        let name = file.strip_prefix(&root).unwrap_or(&file);
        let Some(asked) = read(&file) else {
            continue;
        };
        if let Err(fault) = asked.problem.check() {
            eprintln!("{}: {fault}", name.display());
            continue;
        }
        let best_known = best_known(&file);
        println!(
            "{}",
            line(&name.to_string_lossy(), &asked, best_known, seconds)
        );
    }
}

fn setting(name: &str, default: f64) -> f64 {
    let told = std::env::var(name).ok();
    told.and_then(|value| value.parse().ok()).unwrap_or(default)
}

fn line(instance: &str, asked: &Asked, best_known: Option<f64>, seconds: f64) -> serde_json::Value {
    let start = Instant::now();
    let limit = Duration::from_secs_f64(seconds * 0.98);
    let options = CoverOptions {
        objective: asked.objective,
        max_nodes: u64::MAX,
    };
    let go_on = |_| match start.elapsed() < limit {
        true => ControlFlow::Continue(()),
        false => ControlFlow::Break(()),
    };
    let (problem, allowances) = (&asked.problem, &asked.allowances);
    let solution = solve(problem, allowances, &[], &options, &go_on);
    let took = start.elapsed().as_secs_f64();
    let (bound, found) = match asked.objective {
        Objective::CountThenCost => (solution.count_bound as f64, solution.count as f64),
        Objective::Cost => (solution.cost_bound, solution.cost),
    };
    json!({
        "instance": instance,
        "kind": asked.kind,
        "best_known": best_known,
        "bound": bound,
        "found": found,
        "gap": best_known.map(|best| found / best - 1.0),
        "seconds": (took * 1e3).round() / 1e3,
        "cost": solution.cost,
        "proven": solution.proven_cost,
        "unmet": solution.unmet.len(),
        "nodes": solution.nodes,
    })
}

fn walk(folder: &Path, files: &mut Vec<PathBuf>) {
    let Ok(entries) = std::fs::read_dir(folder) else {
        return;
    };
    for path in entries.flatten().map(|entry| entry.path()) {
        match path.is_dir() {
            true => walk(&path, files),
            false => files.push(path),
        }
    }
}

fn read(file: &Path) -> Option<Asked> {
    let name = file.file_name()?.to_str()?;
    if name.starts_with("scp") && name.ends_with(".txt") {
        let problem = or_library(&std::fs::read_to_string(file).ok()?);
        if problem.is_none() {
            eprintln!("{name}: not a set cover as OR-Library writes it");
        }
        return problem.map(|problem| Asked {
            kind: "scp",
            problem,
            allowances: Vec::new(),
            objective: Objective::Cost,
        });
    }
    if !name.ends_with(".json") {
        return None;
    }
    let value: serde_json::Value = serde_json::from_slice(&std::fs::read(file).ok()?).ok()?;
    if value["format"] != "cover-1" {
        return None;
    }
    let cover: CoverFile = match serde_json::from_value(value) {
        Ok(cover) => cover,
        Err(fault) => {
            eprintln!("{name}: {fault}");
            return None;
        }
    };
    let objective = match cover.objective.as_str() {
        "cost" => Objective::Cost,
        _ => Objective::CountThenCost,
    };
    let problem = CoverProblem {
        columns: cover.columns,
        rows: cover.rows,
        fixed: cover.fixed,
    };
    Some(Asked {
        kind: "cover",
        problem,
        allowances: cover.allowances,
        objective,
    })
}

fn or_library(text: &str) -> Option<CoverProblem> {
    let mut numbers = text.split_ascii_whitespace().map(str::parse::<u32>);
    let mut next = || numbers.next()?.ok();
    let (n_rows, n_columns) = (next()?, next()?);
    let columns = (0..n_columns).map(|n| {
        Some(Column {
            id: format!("{:06}", n + 1),
            cost: f64::from(next()?),
        })
    });
    let columns = columns.collect::<Option<Vec<Column>>>()?;
    let mut rows = Vec::new();
    for n in 0..n_rows {
        let count = next()?;
        let of = (0..count).map(|_| Some(next()?.checked_sub(1)? as usize));
        rows.push(Row {
            id: format!("{}", n + 1),
            need: 1,
            columns: of.collect::<Option<Vec<usize>>>()?,
        });
    }
    Some(CoverProblem {
        columns,
        rows,
        fixed: Vec::new(),
    })
}

/// From the nearest `best_known.csv` upwards, under the file's path below it or its name.
fn best_known(file: &Path) -> Option<f64> {
    for folder in file.ancestors().skip(1) {
        if let Ok(mut table) = csv::Reader::from_path(folder.join("best_known.csv")) {
            let below = file
                .strip_prefix(folder)
                .ok()?
                .to_string_lossy()
                .to_string();
            let name = file.file_name()?.to_string_lossy().to_string();
            let stem = file.file_stem()?.to_string_lossy().to_string();
            for row in table.deserialize::<BTreeMap<String, String>>().flatten() {
                let is_it = |key: &String| *key == below || *key == name || *key == stem;
                if row.get("file").is_some_and(is_it) {
                    return row.get("best_known")?.parse().ok();
                }
            }
            return None;
        }
    }
    None
}
