//! `brattice calculate` from outside: files, equal bytes, messages and exit status.

#![allow(
    clippy::disallowed_methods,
    reason = "the test starts the program and reads its files"
)]

use std::path::Path;
use std::process::{Command, Output};

use serde_json::{Value, json};

use crate::support::laboratory;

fn calculate(file: &Path, out: &Path, suggest: bool) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_brattice"));
    command.arg("calculate").arg(file).arg("--out").arg(out);
    if suggest {
        command.arg("--suggest");
    }
    command
        .env("SOURCE_DATE_EPOCH", "1767225600")
        .output()
        .unwrap()
}

fn written(folder: &Path, value: &Value) -> std::path::PathBuf {
    let file = folder.join("given.json");
    std::fs::write(&file, value.to_string()).unwrap();
    file
}

#[test]
fn equal_projects_give_equal_bytes() {
    let folder = tempfile::tempdir().unwrap();
    let file = written(folder.path(), &laboratory());
    let names = [
        "results.json",
        "detector-schedule.csv",
        "cable-schedule.csv",
        "bill-of-materials.csv",
        "project.pdf",
        "project.json",
    ];
    let outs = [folder.path().join("a"), folder.path().join("b")];
    for out in &outs {
        let done = calculate(&file, out, true);
        assert!(
            done.status.success(),
            "{}",
            String::from_utf8_lossy(&done.stderr)
        );
    }
    for name in names {
        let bytes = outs
            .each_ref()
            .map(|out| std::fs::read(out.join(name)).unwrap());
        assert!(!bytes[0].is_empty() && bytes[0] == bytes[1], "{name}");
    }
    let all = std::fs::read_dir(&outs[0]).unwrap();
    let all: Vec<_> = all.map(|entry| entry.unwrap().path()).collect();
    let is_cover = |path: &&std::path::PathBuf| {
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        name.starts_with("cover-") && name.ends_with(".json")
    };
    let covers: Vec<_> = all.iter().filter(is_cover).collect();
    let n_files = all.len() - covers.len();
    assert_eq!(n_files, names.len(), "nothing half-written is left");
    assert!(!covers.is_empty());
    let check = || {
        let script = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/check_cover.py");
        let done = Command::new("python3").arg(script).args(&covers).output();
        done.unwrap().status.success()
    };
    assert!(
        check(),
        "the exported covers are checked by another program"
    );
    let mut cover: Value = serde_json::from_slice(&std::fs::read(covers[0]).unwrap()).unwrap();
    cover["solution"]["chosen"] = serde_json::json!([]);
    std::fs::write(covers[0], cover.to_string()).unwrap();
    assert!(!check(), "a cover that meets nothing is found out");
    // Two cells of which one may stay short.
    let rows = [0, 1].map(|idx| json!({"id": idx.to_string(), "need": 1, "columns": [idx]}));
    let columns = [0, 1].map(|idx| json!({"id": idx.to_string(), "cost": 1.0}));
    let solution = json!({"chosen": [0], "unmet": [], "count": 1, "count_bound": 1, "cost": 1.0});
    let mut cover = json!({"columns": columns, "rows": rows, "fixed": [], "solution": solution});
    for (most, holds) in [(2, true), (1, false)] {
        cover["allowances"] = json!([{"rows": [0, 1], "weights": [2, 2], "most": most}]);
        for path in &covers {
            std::fs::write(path, cover.to_string()).unwrap();
        }
        assert_eq!(check(), holds, "2 short of the {most} that may be");
    }
    let project: Value =
        serde_json::from_slice(&std::fs::read(outs[0].join("project.json")).unwrap()).unwrap();
    assert!(
        !project["project"]["detectors"]
            .as_array()
            .unwrap()
            .is_empty()
    );
}

#[test]
fn a_bad_file_is_refused_with_field_value_and_remedy() {
    let folder = tempfile::tempdir().unwrap();
    let mut bad = laboratory();
    bad["project"]["basis"] = json!({"slack": 400});
    let cases = [
        (bad, "Slack on the route is 400: type a value from 0 to 30"),
        (
            json!({"format": "brattice-project", "version": 9}),
            "`version` is 9",
        ),
    ];
    for (value, told) in cases {
        let file = written(folder.path(), &value);
        let out = folder.path().join("out");
        let done = calculate(&file, &out, false);
        assert!(!done.status.success());
        let message = String::from_utf8_lossy(&done.stderr).into_owned();
        assert!(message.contains(told), "{message}");
        assert!(!out.exists(), "nothing is written");
    }
    let done = calculate(&folder.path().join("none.json"), folder.path(), false);
    assert!(String::from_utf8_lossy(&done.stderr).contains("cannot be read"));
}

#[test]
fn the_schema_describes_a_project_file() {
    let done = Command::new(env!("CARGO_BIN_EXE_brattice"))
        .arg("schema")
        .output()
        .unwrap();
    let schema: Value = serde_json::from_slice(&done.stdout).unwrap();
    assert!(schema["properties"]["project"].is_object(), "{schema}");
}
