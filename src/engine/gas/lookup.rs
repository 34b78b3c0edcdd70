//! Finding a substance by what people call it.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use crate::engine::gas::assemble;
use crate::engine::gas::naming::within_sentence;
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
    by(&|known| {
        normal(&known.key) == query || known.cas.as_deref().is_some_and(|cas| normal(cas) == query)
    })
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
                .as_deref()
                .is_some_and(|formula| normal(formula) == query)
        });
        found.next().filter(|_| found.next().is_none())
    })
}

/// The substances that have this sum formula.
pub fn same_formula(formula: &str) -> Vec<&'static Substance> {
    let formula = normal(formula);
    let same = |known: &&Substance| {
        known
            .formula
            .as_deref()
            .is_some_and(|own| normal(own) == formula)
    };
    substances().iter().filter(same).collect()
}

/// The substances whose name, synonym, CAS number or formula holds `text`, for a picker: those
/// whose name starts with it first, the shortest name first of all, then by another word, by name.
/// Everything where `text` is blank.
pub fn search(text: &str) -> Vec<&'static Substance> {
    search_in(substances(), text)
}

/// The same among `all`, which keep their order where nothing tells them apart.
pub fn search_in<'a>(all: &'a [Substance], text: &str) -> Vec<&'a Substance> {
    let asked = Asked::of(text);
    let mut found: Vec<(u8, &Substance)> = all
        .iter()
        .filter_map(|known| Some((asked.rank(known)?, known)))
        .collect();
    // Of those that begin so, the shortest name is nearest to what was typed: propane before
    // propadiene.
    let longer = |rank: u8, known: &Substance| match rank {
        STARTS_WITH => known.name.chars().count(),
        _ => 0,
    };
    found.sort_by_key(|(rank, known)| (*rank, longer(*rank, known)));
    found.into_iter().map(|(_, known)| known).collect()
}

/// Rank of a substance whose name starts with what is searched for.
const STARTS_WITH: u8 = 2;

/// What is searched for, in the forms that it is held against.
struct Asked {
    whole: String,
    /// The words of it, where there are several: they may stand in any order.
    words: Vec<String>,
    atoms: Option<BTreeMap<String, u32>>,
}

impl Asked {
    fn of(text: &str) -> Self {
        let words: Vec<String> = text.split_whitespace().map(normal).collect();
        Asked {
            whole: normal(text),
            words: if words.len() > 1 { words } else { Vec::new() },
            atoms: atoms(&folded(text.trim())),
        }
    }

    /// How well a substance fits, best first; `None` where it does not.
    fn rank(&self, known: &Substance) -> Option<u8> {
        if self.whole.is_empty() {
            return Some(0);
        }
        let names: Vec<String> = words(known).map(normal).collect();
        let of_name = |(idx, name): (usize, &String)| match name {
            name if *name == self.whole => Some(0),
            // The name itself comes first of all words.
            name if name.starts_with(&self.whole) => Some(if idx == 0 {
                STARTS_WITH
            } else {
                STARTS_WITH + 1
            }),
            name if name.contains(&self.whole) => Some(4),
            _ => None,
        };
        let same_atoms = || {
            let asked = self.atoms.as_ref()?;
            let own = atoms(known.formula.as_deref()?)?;
            (*asked == own).then_some(1)
        };
        let each_word = || {
            let has = |word: &String| names.iter().any(|name| name.contains(word.as_str()));
            (!self.words.is_empty() && self.words.iter().all(has)).then_some(5)
        };
        let by_name = names.iter().enumerate().filter_map(of_name).min();
        by_name
            .into_iter()
            .chain(same_atoms())
            .min()
            .or_else(each_word)
    }
}

/// The atoms of a formula as it is written, "CH3CH2OH" like "C2H6O"; `None` where the text is none.
fn atoms(formula: &str) -> Option<BTreeMap<String, u32>> {
    let mut found = BTreeMap::new();
    let mut letters = formula.chars().peekable();
    while let Some(first) = letters.next() {
        if !first.is_ascii_uppercase() {
            return None;
        }
        let mut symbol = String::from(first);
        while let Some(small) = letters.next_if(char::is_ascii_lowercase) {
            symbol.push(small);
        }
        let mut digits = String::new();
        while let Some(digit) = letters.next_if(char::is_ascii_digit) {
            digits.push(digit);
        }
        let count: u32 = match digits.as_str() {
            "" => 1,
            digits => digits.parse().ok()?,
        };
        let so_far: &mut u32 = found.entry(symbol).or_default();
        *so_far = so_far.checked_add(count)?;
    }
    (!found.is_empty()).then_some(found)
}

fn words(known: &Substance) -> impl Iterator<Item = &str> {
    let fixed = [
        Some(known.name.as_ref()),
        Some(known.key.as_ref()),
        known.cas.as_deref(),
        known.formula.as_deref(),
    ];
    let synonyms = known.synonyms.iter().copied();
    fixed.into_iter().flatten().chain(synonyms)
}

/// The refrigerant number in `text` where it means this substance and the substance goes by another
/// name: "R-290" of propane as it was typed, "R290" where it was only begun. `None` for "propane",
/// and for what goes by its number anyway.
pub fn number_asked(known: &Substance, text: &str) -> Option<String> {
    let asked = normal(text);
    if !is_number(&asked) || is_number(&normal(&known.name)) {
        return None;
    }
    let meant =
        |synonym: &&&str| is_number(&normal(synonym)) && normal(synonym).starts_with(&asked);
    let number = known.synonyms.iter().find(meant)?;
    let text = text.trim();
    let plain = |letter: char| letter.is_ascii_alphanumeric() || letter == '-';
    let typed = text
        .strip_prefix(['R', 'r'])
        .filter(|rest| rest.chars().all(plain));
    Some(match typed {
        Some(rest) if normal(number) == asked => format!("R{rest}"),
        _ => (*number).to_owned(),
    })
}

/// Whether a name in its [`normal`] form is a refrigerant number: "r290".
fn is_number(normal: &str) -> bool {
    let rest = normal.strip_prefix('r');
    rest.is_some_and(|rest| rest.starts_with(|first: char| first.is_ascii_digit()))
}

/// "R-290 (propane)": a substance by the refrigerant number that it was chosen by; `None` where
/// `called` is no such number of it.
pub fn by_number(known: &Substance, called: &str) -> Option<String> {
    let number = number_asked(known, called).filter(|number| normal(number) == normal(called))?;
    Some(format!("{number} ({})", within_sentence(&known.name)))
}

/// What is the same however it is typed: lower case without blanks, hyphens and accents, "sulf" for
/// "sulph", and "r134a" for "R-134a", "R 134a" and "HFC-134a".
pub fn normal(text: &str) -> String {
    let squeezed: String = folded(text)
        .chars()
        .filter(|letter| !letter.is_whitespace() && *letter != '-')
        .flat_map(char::to_lowercase)
        .collect();
    let text = squeezed.replace("sulph", "sulf");
    for prefix in [
        "refrigerant",
        "hcfc",
        "hcfo",
        "hfc",
        "cfc",
        "hfo",
        "hc",
        "pfc",
    ] {
        if let Some(number) = text.strip_prefix(prefix)
            && number.starts_with(|first: char| first.is_ascii_digit())
        {
            return format!("r{number}");
        }
    }
    text
}

/// The text in plain letters: accents dropped, small figures of formulas as digits, every dash a
/// hyphen, Greek letters of chemists' names in words.
fn folded(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '\u{2010}'..='\u{2015}' | '\u{2212}' => plain.push('-'),
            '₀'..='₉' => {
                let digit = u32::from(letter) - u32::from('₀');
                plain.extend(char::from_digit(digit, 10));
            }
            'α' => plain.push_str("alpha"),
            'β' => plain.push_str("beta"),
            'γ' => plain.push_str("gamma"),
            'ß' => plain.push_str("ss"),
            'æ' | 'Æ' => plain.push_str("ae"),
            'œ' | 'Œ' => plain.push_str("oe"),
            // The accent of a letter that is written apart from it.
            '\u{300}'..='\u{36f}' => {}
            _ => plain.push(without_accent(letter)),
        }
    }
    plain
}

fn without_accent(letter: char) -> char {
    const ACCENTED: [(char, &str); 9] = [
        ('a', "àáâãäåāą"),
        ('c', "çćč"),
        ('e', "èéêëēęě"),
        ('i', "ìíîïī"),
        ('n', "ñńň"),
        ('o', "òóôõöøōő"),
        ('s', "śšş"),
        ('u', "ùúûüūůű"),
        ('z', "źżž"),
    ];
    let small: char = letter.to_lowercase().next().unwrap_or(letter);
    let found = ACCENTED.iter().find(|(_, forms)| forms.contains(small));
    match found {
        Some((plain, _)) => *plain,
        None if letter == 'ł' || letter == 'Ł' => 'l',
        None if "ýÿ".contains(small) => 'y',
        None => letter,
    }
}

#[cfg(test)]
mod tests {
    use super::{by_number, find, number_asked, search, substances};

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

    /// Each way of typing a name leads to the substance, first in the list.
    #[test]
    fn search_finds_by_name_synonym_formula_cas_and_refrigerant_number() {
        #[track_caller]
        fn first(text: &str, name: &str) {
            let found = search(text);
            assert_eq!(
                found.first().map(|known| known.name.as_ref()),
                Some(name),
                "{text}"
            );
        }
        for text in [
            "propane",
            "Propane",
            "PROPANE",
            " propane ",
            "R-290",
            "R290",
            "r 290",
            "r290",
            "HC-290",
            "refrigerant 290",
            "74-98-6",
            "74986",
            "C3H8",
            "c3h8",
            "C₃H₈",
            "CH3CH2CH3",
            "própâne",
            "R\u{2011}290",
        ] {
            first(text, "Propane");
        }
        first("propan", "Propane");
        first("acétone", "Acetone");
        first("dimethyl ketone", "Acetone");
        first("67-64", "Acetone");
        first("ammon", "Ammonia");
        first("7664-41-7", "Ammonia");
        first("H3N", "Ammonia");
        first("acetate ethyl", "Ethyl acetate");
        first("hydrogen sulphide", "Hydrogen sulfide");
        first("r-1234yf", "R1234yf");
        first("natural", "Natural gas");
        first("mains gas", "Natural gas");
    }

    /// ISO 817 numbers: 290 is propane, 744 carbon dioxide (from memory).
    #[test]
    fn a_refrigerant_number_names_what_it_was_chosen_by() {
        let named = |key: &str, called: &str| by_number(find(key).unwrap(), called);
        assert_eq!(
            named("74-98-6", "R-290").as_deref(),
            Some("R-290 (propane)")
        );
        assert_eq!(named("74-98-6", "r290").as_deref(), Some("R290 (propane)"));
        assert_eq!(
            named("74-98-6", "HC-290").as_deref(),
            Some("R290 (propane)")
        );
        assert_eq!(
            named("124-38-9", "R744").as_deref(),
            Some("R744 (carbon dioxide)")
        );
        assert_eq!(named("74-98-6", "R-29"), None, "only begun");
        assert_eq!(named("74-98-6", "R-600a"), None, "isobutane");
        assert_eq!(named("74-98-6", "propane"), None);
        assert_eq!(named("75-10-5", "R-32"), None, "its name is its number");
        assert_eq!(
            number_asked(find("74-98-6").unwrap(), "r29").as_deref(),
            Some("R290")
        );
    }

    #[test]
    fn a_part_of_a_word_and_words_in_any_order_find_it() {
        let has = |text: &str, name: &str| {
            assert!(
                search(text).iter().any(|known| known.name == name),
                "{text}"
            );
        };
        has("ropan", "Propane");
        has("98-6", "Propane");
        has("acid acetic", "Acetic acid");
        has("C2H6O", "Ethanol");
        has("CH3OCH3", "Dimethyl ether");
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
            assert_eq!(known.cas.as_deref().and_then(key), known.cas.as_deref());
        }
    }

    #[test]
    fn search_puts_what_starts_with_the_text_first() {
        let names: Vec<_> = search("meth")
            .iter()
            .map(|found| found.name.as_ref())
            .collect();
        assert!(names[0].starts_with("Meth"), "{names:?}");
        let later = |name: &str| names.iter().position(|one| *one == name) > Some(3);
        assert!(
            later("1,1,1-Trichloroethane"),
            "only its synonym methyl chloroform starts with the text"
        );
        assert!(names.contains(&"Methane"));
        assert_eq!(search("methane")[0].name, "Methane");
        assert_eq!(search("").len(), substances().len());
        assert!(search("no such gas").is_empty());
    }
}
