//! Finding a substance by what people call it.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use crate::engine::gas::assemble;
use crate::engine::gas::substance::Substance;

/// Every substance, sorted by name without regard to case.
pub fn substances() -> &'static [Substance] {
    static ALL: OnceLock<Vec<Substance>> = OnceLock::new();
    ALL.get_or_init(|| {
        let mut all = assemble::all();
        all.sort_by_key(|substance| substance.name.to_lowercase());
        all
    })
}

/// The substance called `query`: key, CAS number, name, synonym, refrigerant number, or a sum
/// formula that only one substance has. Case and the hyphen of "R-134a" do not matter.
pub fn find(query: &str) -> Option<&'static Substance> {
    static BY_KEY: OnceLock<BTreeMap<&str, &Substance>> = OnceLock::new();
    let by_key = || substances().iter().map(|known| (known.key.as_ref(), known));
    let by_key = BY_KEY.get_or_init(|| by_key().collect());
    if let Some(known) = by_key.get(query) {
        return Some(known);
    }
    let query = normal(query);
    if query.is_empty() {
        return None;
    }
    let by = |test: &dyn Fn(&Substance) -> bool| substances().iter().find(|known| test(known));
    by(&|known| normal(&known.key) == query || known.cas.is_some_and(|cas| normal(cas) == query))
        .or_else(|| by(&|known| normal(&known.name) == query))
        .or_else(|| {
            by(&|known| {
                known
                    .synonyms
                    .iter()
                    .any(|synonym| normal(synonym) == query)
            })
        })
        .or_else(|| {
            let mut found = substances().iter().filter(|known| {
                known
                    .formula
                    .is_some_and(|formula| normal(formula) == query)
            });
            found.next().filter(|_| found.next().is_none())
        })
}

/// The substances that have this sum formula.
pub fn same_formula(formula: &str) -> Vec<&'static Substance> {
    let formula = normal(formula);
    let same = |known: &&Substance| known.formula.is_some_and(|own| normal(own) == formula);
    substances().iter().filter(same).collect()
}

/// The substances whose name, synonym, CAS number or formula holds `text`, for a picker: those
/// that start with it first, each group by name. Everything where `text` is blank.
pub fn search(text: &str) -> Vec<&'static Substance> {
    let text = normal(text);
    let mut found: Vec<(u8, &Substance)> = substances()
        .iter()
        .filter_map(|known| {
            let rank = words(known).filter_map(|word| match normal(word) {
                word if word == text => Some(0),
                word if word.starts_with(&text) => Some(1),
                word if word.contains(&text) => Some(2),
                _ => None,
            });
            rank.min().map(|rank| (rank, known))
        })
        .collect();
    if !text.is_empty() {
        found.sort_by_key(|(rank, _)| *rank);
    }
    found.into_iter().map(|(_, known)| known).collect()
}

fn words(known: &Substance) -> impl Iterator<Item = &str> {
    let fixed = [
        Some(known.name.as_ref()),
        Some(known.key.as_ref()),
        known.formula,
    ];
    let synonyms = known.synonyms.iter().copied();
    fixed.into_iter().flatten().chain(synonyms)
}

/// What is the same however it is typed: lower case without blanks and hyphens, "sulf" for
/// "sulph", and "r134a" for "R-134a", "R 134a" and "HFC-134a".
fn normal(text: &str) -> String {
    let squeezed: String = text
        .chars()
        .filter(|letter| !letter.is_whitespace() && *letter != '-')
        .flat_map(char::to_lowercase)
        .collect();
    let text = squeezed.replace("sulph", "sulf");
    for prefix in ["hcfc", "hfc", "cfc", "hfo", "hcfo", "hc", "pfc"] {
        if let Some(number) = text.strip_prefix(prefix)
            && number.starts_with(|first: char| first.is_ascii_digit())
        {
            return format!("r{number}");
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::{find, search, substances};

    fn key(query: &str) -> Option<&'static str> {
        find(query).map(|found| found.key.as_ref())
    }

    #[test]
    fn a_substance_is_found_by_every_name_it_has() {
        for query in [
            "74-98-6",
            "propane",
            " PROPANE ",
            "n-propane",
            "C3H8",
            "R290",
            "r-290",
        ] {
            assert_eq!(key(query), Some("74-98-6"), "{query}");
        }
        for query in [
            "R-134a",
            "r134a",
            "HFC-134a",
            "1,1,1,2-Tetrafluoroethane",
            "811-97-2",
        ] {
            assert_eq!(key(query), Some("811-97-2"), "{query}");
        }
        assert_eq!(key("hydrogen sulphide"), key("H2S"));
        assert_eq!(key("dry ice"), Some("124-38-9"));
        assert_eq!(key("R-744"), Some("124-38-9"));
        assert_eq!(key("natural  gas"), Some("natural-gas"));
        assert_eq!(key("R-410A"), Some("r410a"));
        assert_eq!(key("iso-nonsense"), None);
        assert_eq!(key("   "), None);
    }

    #[test]
    fn a_formula_that_two_substances_share_names_neither() {
        assert_eq!(key("C4H10"), None);
        assert_eq!(key("C2H6O"), None);
    }

    #[test]
    fn every_key_cas_and_name_finds_its_own_substance() {
        for known in substances() {
            assert_eq!(key(&known.key), Some(known.key.as_ref()));
            assert_eq!(key(&known.name), Some(known.key.as_ref()));
            assert_eq!(known.cas.and_then(key), known.cas);
        }
    }

    #[test]
    fn search_puts_what_starts_with_the_text_first() {
        let names: Vec<_> = search("meth")
            .iter()
            .map(|found| found.name.as_ref())
            .collect();
        assert_eq!(
            names[0], "1,1,1-Trichloroethane",
            "its synonym methyl chloroform starts with the text"
        );
        assert!(names.contains(&"Methane"));
        assert_eq!(search("methane")[0].name, "Methane");
        assert_eq!(search("").len(), substances().len());
        assert!(search("no such gas").is_empty());
    }
}
