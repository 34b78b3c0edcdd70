//! How a substance is named inside a sentence.

/// A substance's name inside a sentence: "acetone", "n-hexane", but "R32" and "LPG" as they are.
pub fn within_sentence(name: &str) -> String {
    let letters: Vec<char> = name.chars().collect();
    let word = letters
        .windows(3)
        .position(|three| three.iter().all(|c| c.is_alphabetic()));
    match word {
        Some(at) if letters[at + 1].is_lowercase() => letters
            .into_iter()
            .enumerate()
            .map(|(idx, letter)| {
                if idx == at {
                    letter.to_ascii_lowercase()
                } else {
                    letter
                }
            })
            .collect(),
        _ => name.to_owned(),
    }
}
