//! Small words of the pages: counts and capitals.

/// "no blocker", "1 warning", "3 notes".
pub(crate) fn counted(n: usize, noun: &str) -> String {
    match n {
        0 => format!("no {noun}"),
        1 => format!("1 {noun}"),
        n => format!("{n} {noun}s"),
    }
}

/// The text with its first letter large.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}
