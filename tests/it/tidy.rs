//! The map of the code, held against the code: who may use whom, how long things are.

#![allow(clippy::disallowed_methods, reason = "the test reads the sources")]

use std::path::{Path, PathBuf};

use crate::support::root;

/// Modules in import order (DEVELOPERS.md): one may use only what stands above it.
const ORDER: [&str; 9] = [
    "units",
    "geometry",
    "model",
    "engine",
    "plan",
    "documents",
    "store",
    "workflow",
    "web",
];

const LONGEST_FILE: usize = 600;
const LONGEST_FUNCTION: usize = 70;
const WIDEST_LINE: usize = 100;

/// Functions that were longer when this test was written. They may only get shorter.
const LONGER: [(&str, usize); 2] = [("engine/bus/segment.rs", 79), ("engine/bus/wire.rs", 72)];

fn sources(folder: &Path, out: &mut Vec<PathBuf>) {
    let mut entries: Vec<PathBuf> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    entries.sort();
    for entry in entries {
        if entry.is_dir() {
            sources(&entry, out);
        } else if entry.extension().is_some_and(|end| end == "rs") {
            out.push(entry);
        }
    }
}

/// Path below src/ and text of every source file.
fn files() -> Vec<(String, String)> {
    let src = root().join("src");
    let mut paths = Vec::new();
    sources(&src, &mut paths);
    let name = |path: &PathBuf| {
        path.strip_prefix(&src)
            .unwrap()
            .to_str()
            .unwrap()
            .to_owned()
    };
    paths
        .iter()
        .map(|path| (name(path), std::fs::read_to_string(path).unwrap()))
        .collect()
}

fn is_test(name: &str) -> bool {
    name.ends_with("tests.rs") || name.contains("/tests/") || name.contains("/test_")
}

/// The file without its test module at the end.
fn without_tests(text: &str) -> &str {
    text.find("#[cfg(test)]\nmod tests {")
        .map_or(text, |at| &text[..at])
}

/// Modules a line names after `prefix`, such as `crate::`.
fn named_after<'a>(line: &'a str, prefix: &str) -> Vec<&'a str> {
    line.match_indices(prefix)
        .map(|(at, found)| &line[at + found.len()..])
        .map(|rest| {
            rest.split(|c: char| !c.is_alphanumeric() && c != '_')
                .next()
                .unwrap_or("")
        })
        .collect()
}

/// Modules a line names after `crate::`.
fn named(line: &str) -> Vec<&str> {
    named_after(line, "crate::")
}

#[test]
fn steps_of_the_engine_use_only_what_stands_above_them() {
    let list = std::fs::read_to_string(root().join("src/engine/mod.rs")).unwrap();
    let order: Vec<&str> = list
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod ")?.strip_suffix(';'))
        .collect();
    assert!(order.len() > 15, "{order:?}");
    let place = |module: &str| order.iter().position(|name| *name == module);
    let mut wrong = Vec::new();
    for (name, text) in files() {
        let Some(inside) = name.strip_prefix("engine/") else {
            continue;
        };
        let own = place(inside.split(['/', '.']).next().unwrap());
        let Some(own) = own.filter(|_| !is_test(&name)) else {
            continue;
        };
        for line in without_tests(&text)
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"))
        {
            for used in named_after(line, "crate::engine::") {
                if place(used).is_some_and(|used| used > own) {
                    wrong.push(format!("{name}: {}", line.trim()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn modules_use_only_what_stands_above_them() {
    let place = |module: &str| ORDER.iter().position(|name| *name == module);
    let mut wrong = Vec::new();
    for (name, text) in files() {
        let module = name.split(['/', '.']).next().unwrap();
        let Some(own) = place(module) else { continue };
        if is_test(&name) {
            continue;
        }
        for line in without_tests(&text)
            .lines()
            .filter(|line| !line.trim_start().starts_with("//"))
        {
            assert!(
                !line.contains("crate::{"),
                "{name}: write one `use crate::module` a line"
            );
            assert!(
                !line.contains("super::super"),
                "{name}: write a `crate::` path"
            );
            for used in named(line) {
                if place(used).is_some_and(|used| used > own) {
                    wrong.push(format!("{name}: {}", line.trim()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn files_functions_and_lines_are_not_too_long() {
    let mut wrong = Vec::new();
    for (name, text) in files() {
        let text = without_tests(&text);
        let n_lines = text.lines().count();
        if n_lines > LONGEST_FILE && !is_test(&name) {
            wrong.push(format!("{name} has {n_lines} lines"));
        }
        for (idx, line) in text.lines().enumerate() {
            // What stands in quotation marks cannot always be broken.
            if line.chars().count() > WIDEST_LINE && !line.contains('"') && !is_test(&name) {
                wrong.push(format!(
                    "{name}:{} is {} wide",
                    idx + 1,
                    line.chars().count()
                ));
            }
        }
        for (title, length) in functions(text) {
            let known = LONGER.iter().find(|(file, _)| *file == name);
            let longest = known.map_or(LONGEST_FUNCTION, |(_, length)| *length);
            if length > longest && !is_test(&name) {
                wrong.push(format!("{name}: `{title}` has {length} lines"));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// First line and length of every function: from `fn` to the bracket at its own depth, as rustfmt
/// sets them.
fn functions(text: &str) -> Vec<(String, usize)> {
    let lines: Vec<&str> = text.lines().collect();
    let mut found = Vec::new();
    for (at, line) in lines.iter().enumerate() {
        let bare = line.trim_start();
        let indent = line.len() - bare.len();
        let starts = [
            "fn ",
            "pub fn ",
            "async fn ",
            "pub async fn ",
            "const fn ",
            "pub const fn ",
        ];
        let crate_wide = bare
            .strip_prefix("pub(crate) ")
            .or(bare.strip_prefix("pub(super) "));
        let bare = crate_wide.unwrap_or(bare);
        if !starts.iter().any(|start| bare.starts_with(start)) {
            continue;
        }
        let end = format!("{}}}", " ".repeat(indent));
        if let Some(length) = lines[at..].iter().position(|line| *line == end) {
            found.push((bare.chars().take(60).collect(), length + 1));
        }
    }
    found
}

#[test]
fn every_source_file_says_what_it_is() {
    for (name, text) in files() {
        let named_tests = name.ends_with("tests.rs");
        assert!(
            text.starts_with("//!") || named_tests,
            "{name} begins without `//!`"
        );
    }
}

#[test]
fn outside_tests_nothing_panics_by_neglect() {
    let mut wrong = Vec::new();
    for (name, text) in files() {
        if is_test(&name) {
            continue;
        }
        for (idx, line) in without_tests(&text).lines().enumerate() {
            let code = line.split("//").next().unwrap();
            if [".unwrap()", "todo!(", "unimplemented!(", "dbg!("]
                .iter()
                .any(|w| code.contains(w))
            {
                wrong.push(format!("{name}:{}: {}", idx + 1, line.trim()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_functions_of_a_file_are_measured() {
    let text = "impl A {\n    pub fn b() {\n        c();\n    }\n}\n\nfn d() {\n}\n";
    let found = functions(text);
    assert_eq!(found.len(), 2);
    assert_eq!((found[0].1, found[1].1), (3, 2));
    assert_eq!(
        named("use crate::engine::gas; crate::web::x"),
        ["engine", "web"]
    );
}

/// Every file of a folder, or the file itself.
fn all_files(place: PathBuf, out: &mut Vec<PathBuf>) {
    if !place.is_dir() {
        out.push(place);
        return;
    }
    for entry in std::fs::read_dir(&place).unwrap() {
        let entry = entry.unwrap().path();
        // Of the browser tests the packages are not ours.
        if !entry.ends_with("node_modules") {
            all_files(entry, out);
        }
    }
}

/// Words that have no business in the project. Put together here, so that this file is clean.
fn strange_words() -> Vec<String> {
    let folders = ["work", "tmp", "home", "root", "Users"];
    let mut words = vec![["trans", "cript"].concat()];
    for folder in folders {
        for before in ['"', '\'', '`', ' ', '(', '='] {
            words.push(format!("{before}/{folder}/"));
        }
    }
    words
}

fn strange_word(text: &str) -> Option<String> {
    let lower = text.to_lowercase();
    strange_words()
        .into_iter()
        .find(|word| lower.contains(&word.to_lowercase()))
}

#[test]
fn no_file_names_a_developers_machine() {
    let mut paths = Vec::new();
    for place in [
        "src",
        "static/js",
        "templates",
        "tests",
        "README.md",
        "DEVELOPERS.md",
    ] {
        all_files(root().join(place), &mut paths);
    }
    assert!(paths.len() > 200, "only {} files are read", paths.len());
    let mut wrong = Vec::new();
    for path in paths {
        let bytes = std::fs::read(&path).unwrap();
        let Ok(text) = String::from_utf8(bytes) else {
            continue;
        };
        if let Some(word) = strange_word(&text) {
            wrong.push(format!("{}: {word:?}", path.display()));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn strange_words_are_seen() {
    let path = ["see `/wo", "rk/notes`"].concat();
    assert!(strange_word(&path).is_some());
    assert!(strange_word(&["a Trans", "cript"].concat()).is_some());
    assert_eq!(strange_word("a framework/notes and /projects/1"), None);
}
