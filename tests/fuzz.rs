//! The grammar compiler and the reader, on what nobody would write.
//!
//! 1. Schemes of anything, drawn from a seed: no panic, no hang, bounded states, honest probabilities. The long run is
//!    `cargo bench --bench stamps -- fuzz --cases 1000000`.
//! 2. What is not a lexicon is read as well, only slower: a grid of the most signs, `{entry}` twice, glyphs of more
//!    kinds than a lexicon holds, a separator for which several glyphs stand.
//! 3. A file that would spell without end is told so.

use std::sync::{Arc, LazyLock};
use std::time::{Duration, Instant};

use counterbore::scheme::{Field, Scheme, Template, check};
use counterbore::stamp::{Automaton, Glyphs};
use counterbore::yaml::{Limits, gate};
use proptest::prelude::*;

use crate::grammars::{Blank, tried};
use crate::schemes::{listed, our_glyphs, our_tables, written};

static BLANK: LazyLock<Blank> = LazyLock::new(Blank::new);

static GLYPHS: LazyLock<Glyphs> = LazyLock::new(our_glyphs);

/// A debug build beside others; what hangs takes for ever.
const LONG: Duration = Duration::from_secs(20);

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn anything_is_read(seed in any::<u64>()) {
        let worst = tried(&BLANK, &GLYPHS, seed, 4).or(tried(&BLANK, &GLYPHS, !seed, 4));
        prop_assert!(worst.built < LONG && worst.read < LONG, "{worst:?}");
        prop_assert!(worst.states < 1_000_000, "{worst:?}");
    }
}

/// Finds it, alone at the top, with one glyph unread.
fn finds(scheme: Arc<Scheme>, text: &str, meant: &str) {
    let automaton = Automaton::build(&[scheme], &GLYPHS);
    let start = Instant::now();
    let found = automaton.find(text, 3).unwrap();
    assert!(start.elapsed() < LONG);
    assert!(found.complete, "{text}");
    assert_eq!(found.readings[0].text, meant, "{text}");
    let all = found
        .readings
        .iter()
        .map(|one| one.probability)
        .sum::<f64>()
        + found.unexplained;
    assert!(all <= 1.0 + 1e-9);
}

#[test]
fn a_grid_of_the_most_signs() {
    let text = "scheme: wide\ntitle: Wide (invented)\nserves: [tuba]\nrevision: \"1\"\nsource: invented\ncontour: {class: trumpet bowl}\n\
         figures:\n  rim: {quantity: rim inner diameter, method: seam, unit: 0.001 mm, grid: {from: 20001, to: 30000, step: 1}}\n\
         stamps:\n  - {part: one-piece, template: \"W {rim}\"}\nexamples:\n  - {stamp: W 20001, says: {rim: \"20001\"}}\n";
    finds(written(text).0, "W 2?417", "W 20417");
}

#[test]
fn a_name_twice() {
    let names: Vec<String> = (0..2_500).map(|place| format!("K{place:04}")).collect();
    let mut scheme = Arc::try_unwrap(listed("twice", "{entry}", &names)).unwrap();
    let field = |name: &str| (name == "entry").then_some(Field::Entry);
    scheme.stamps[0].template = Template::parse("{entry} of {entry}", field).unwrap();
    finds(Arc::new(scheme), "K0417 of K041?", "K0417 of K0417");
}

#[test]
fn more_kinds_of_glyphs_than_a_lexicon_holds() {
    let kinds: Vec<char> = ('\u{4E00}'..).take(300).collect();
    let name = |place: usize| {
        format!(
            "{}{} {}",
            kinds[place % 300],
            kinds[place / 300],
            place % 10
        )
    };
    let names: Vec<String> = (0..2_400).map(name).collect();
    let scheme = listed("kinds", "{entry}", &names);
    let automaton = Automaton::build(std::slice::from_ref(&scheme), &GLYPHS);
    assert_eq!(automaton.lexicon_bytes(), 0);
    finds(scheme, &name(1_234).replace(' ', "?"), &name(1_234));
}

#[test]
fn a_separator_of_several_glyphs() {
    let names: Vec<String> = (0..2_400)
        .map(|place| format!("K{:02}/{:02}", place / 100, place % 100))
        .collect();
    let mut scheme = Arc::try_unwrap(listed("several", "{entry}", &names)).unwrap();
    scheme.separators = vec![('/', vec!["--".into(), "/".into()])];
    finds(Arc::new(scheme), "K04--?7", "K04/07");
}

/// The codes of the faults of a file.
fn codes(text: &str) -> Vec<&'static str> {
    let document = gate("written.yml", text.as_bytes(), Limits::PLUGIN).unwrap();
    check(&document, &our_tables())
        .1
        .iter()
        .map(|one| one.code)
        .collect()
}

fn wide(stamps: &str, separators: &str) -> String {
    format!(
        "scheme: wide\ntitle: Wide (invented)\nserves: [tuba]\nrevision: \"1\"\nsource: invented\ncontour: {{class: trumpet bowl}}\n{separators}\
         figures:\n  rim: {{quantity: rim inner diameter, method: seam, unit: 0.001 mm, grid: {{from: 20001, to: 30000, step: 1}}}}\n\
         stamps:\n  - {{part: one-piece, template: \"W {{rim}}\", also: [{stamps}]}}\nexamples:\n  - {{stamp: W 20001, says: {{rim: \"20001\"}}}}\n"
    )
}

#[test]
fn what_spells_without_end_is_refused() {
    assert!(codes(&wide("", "")).is_empty());
    let many: Vec<String> = (0..60)
        .map(|place| format!("\"X{place} {{rim}}\""))
        .collect();
    assert!(codes(&wide(&many.join(", "), "")).contains(&"too-many-signs"));
    let long = format!("\"{} {{rim}}\"", "Y".repeat(300));
    assert!(codes(&wide(&long, "")).contains(&"template"));
    let stand_ins: Vec<String> = (0..40).map(|place| format!("\"{place}\"")).collect();
    let separators = format!("separators: {{\"/\": [{}]}}\n", stand_ins.join(", "));
    assert!(codes(&wide("", &separators)).contains(&"bad-separator"));
    assert!(
        codes(&wide("", "separators: {\"/\": [\"abcdefghijkl\"]}\n")).contains(&"bad-separator")
    );
}
