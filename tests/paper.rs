//! The card on paper.
//!
//! Proves:
//! 1. every figure of a card, with unit and uncertainty, is in each of the four forms;
//! 2. plain text keeps its width, whatever it is, and is ASCII but for `±`;
//! 3. every ± stands between two amounts with units;
//! 4. text of somebody else's stays text, steers nothing and stays on the sheet;
//! 5. the section is to scale, and no word lies on another or on the metal;
//! 6. what the server serves has no style or script inside.
//!
//! What the press makes is `tests/press.rs`'s.

use counterbore::answer::SectionAnswer;
use counterbore::card::Card;
use counterbore::config::Paper;
use counterbore::paper::drawing::{Drawing, Mark, Place, Stroke};
use counterbore::paper::html::{self, Dress, Served};
use counterbore::paper::text::text;
use counterbore::paper::{Form, Stationery, SvgSize, section, section_svg, signs};
use proptest::prelude::*;

use super::card::{card, card_saying, figures, point, section as piece};

pub const HOSTILE: [&str; 10] = [
    "<script>alert(1)</script>",
    "\" onload=\"alert(1)\" x='",
    "]]></style><svg onload=alert(1)>",
    "\u{202e}desrever\u{2066}\u{200f}",
    "\u{1b}@\u{1d}V\u{0}\r\n\tcut",
    "{{ 71993 * 7 }}{% raw %}",
    "#panic() #{71993 * 7} $x$ *bold* _slanted_ @mark <label> // gone",
    "= heading \\ \\u{41} `raw` ~ -- --- ... /* gone */ #import \"common.typ\": *",
    "黄銅 латунь \u{1f3ba} ﷽",
    "",
];

/// A form of a card, alone, on A6.
pub fn render(card: &Card, form: Form) -> Vec<u8> {
    counterbore::paper::render(card, form, Paper::A6, &Stationery::built_in()).unwrap()
}

/// The page as it is served.
fn served(card: &Card) -> String {
    let dress = Dress::Served(Served::default());
    html::html(card, Paper::A6, &Stationery::built_in(), dress).unwrap()
}

fn utf8(bytes: Vec<u8>) -> String {
    String::from_utf8(bytes).unwrap()
}

/// What a reader sees of markup: no tags, single spaces, a hyphen as minus.
fn seen(markup: &str) -> String {
    let mut shown = String::new();
    let mut tag = false;
    for sign in markup.chars() {
        match sign {
            '<' => tag = true,
            '>' if tag => tag = false,
            _ if !tag => shown.push(sign),
            _ => {}
        }
    }
    plain(
        &shown
            .replace("&#39;", "'")
            .replace("&lt;", "<")
            .replace("&gt;", ">")
            .replace("&amp;", "&"),
    )
}

pub fn plain(text: &str) -> String {
    let spaced = text.split_whitespace().collect::<Vec<_>>().join(" ");
    spaced.replace(['\u{2212}', '\u{2013}'], "-")
}

pub fn assert_figures(card: &Card, words: &str, form: &str) {
    let figures = figures(card);
    assert!(figures.len() > 6);
    for figure in figures {
        assert!(
            words.contains(&plain(&figure)),
            "{figure} is not in the {form}: {words}"
        );
    }
}

#[test]
fn a_card_explains_its_signs() {
    let plain_words = |card: &Card| {
        let written = text(card, 42);
        written.split_whitespace().collect::<Vec<_>>().join(" ")
    };
    let usual = plain_words(&card());
    assert!(
        usual.contains("A difference is the named piece less this one"),
        "{usual}"
    );
    assert!(
        !usual.contains("NOTHING NEAR") && !usual.contains("? stands for"),
        "{usual}"
    );
    let mut far = card();
    let into = far
        .into
        .iter_mut()
        .find(|one| !one.matches.is_empty())
        .unwrap();
    let best = &mut into.matches[0];
    (best.near, best.canonical) = (false, "64?".into());
    best.differences[0].judged = "larger, which may or may not be felt".into();
    into.near = false;
    let far = plain_words(&far);
    for words in [
        "NOTHING NEAR",
        "until 1976, compared on 3 of 4",
        "? stands for what the piece at hand does not tell.",
        "larger, which may or may not be felt (E_n 1.20)",
    ] {
        assert!(far.contains(words), "{words}: {far}");
    }
}

#[test]
fn the_rule_behind_the_verdicts_is_told_to_its_end() {
    let mut card = card();
    card.rule = counterbore::translate::RULE.to_owned();
    let written = text(&card, 42);
    let words = written.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("above 1 the pieces do differ."), "{words}");
}

#[test]
fn every_form_shows_e_n_beside_each_verdict() {
    let written = text(&card(), 42);
    let together: String = written.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "larger (E_n 1.20)",
        "the same (E_n 1.20)",
        "tighter (E_n 1.20)",
    ] {
        assert!(together.contains(words), "{words}: {written}");
    }
    let page = served(&card());
    assert_eq!(
        page.matches("(E_n\u{a0}1.20)").count() + page.matches("(E_n 1.20)").count(),
        3
    );
}

#[test]
fn every_figure_is_in_every_form() {
    let card = card();
    assert_figures(&card, &seen(&utf8(render(&card, Form::Html))), "page");
    assert_figures(&card, &seen(&served(&card)), "served page");
    assert_figures(&card, &plain(&text(&card, 42)), "text");
    assert_figures(&card, &seen(&utf8(render(&card, Form::Svg))), "SVG");
}

#[test]
fn each_form_says_what_the_card_says() {
    let card = card();
    let forms = [
        seen(&utf8(render(&card, Form::Html))),
        seen(&utf8(render(&card, Form::Svg))),
        plain(&text(&card, 80)),
    ];
    let wanted = [
        "Tarnbeck (invented)",
        "silver-plated",
        "cannot be compared",
        "until 1976, compared on 3 of 4",
        "revision 3 of Tarnbeck (invented), Skarrow (invented)",
        "brass dust",
    ];
    for words in &forms {
        for wanted in wanted {
            assert!(words.contains(wanted), "{wanted} is not in {words}");
        }
        assert_eq!(
            words.matches("times k").count(),
            1,
            "uncertainty is stated once: {words}"
        );
    }
}

#[test]
fn text_keeps_its_width() {
    let cards = HOSTILE
        .iter()
        .map(|text| card_saying(text))
        .chain([card(), card_saying(&"W".repeat(5000))]);
    for card in cards {
        for columns in 32..=80 {
            for line in text(&card, columns).lines() {
                assert!(line.chars().count() <= columns, "{columns}: {line}");
                assert_eq!(line, line.trim_end());
                assert!(
                    line.chars()
                        .all(|sign| sign == '±' || (' '..='~').contains(&sign)),
                    "{line:?}"
                );
            }
        }
    }
}

#[test]
fn decimal_points_of_a_table_stand_under_one_another() {
    let text = text(&card(), 42);
    let (_, table) = text.split_once("MEASURES").unwrap();
    let (table, _) = table.split_once("HOW SURE").unwrap();
    let values = table.lines().filter(|line| line.contains(" mm ± "));
    let points: Vec<usize> = values
        .map(|line| line[..line.find(" mm").unwrap()].rfind('.').unwrap())
        .collect();
    assert_eq!(points.len(), 5);
    assert!(
        points.iter().all(|point| *point == points[0]),
        "{points:?}: {table}"
    );
}

#[test]
fn every_uncertainty_has_a_unit_before_and_after() {
    let card = card();
    for words in [
        plain(&text(&card, 32)),
        seen(&utf8(render(&card, Form::Html))),
        seen(&utf8(render(&card, Form::Svg))),
    ] {
        let mut checked = 0;
        for (place, _) in words
            .match_indices(" ± ")
            .filter(|(place, _)| words[place + 4..].starts_with(|sign: char| sign.is_ascii_digit()))
        {
            let after: Vec<&str> = words[place + 4..].split(' ').take(2).collect();
            assert!(
                words[..place].ends_with(" mm") || words[..place].ends_with(" ml"),
                "{}",
                &words[..place]
            );
            assert!(
                after[1].starts_with("mm") || after[1].starts_with("ml"),
                "{after:?}"
            );
            checked += 1;
        }
        assert!(checked >= 7);
    }
}

#[test]
fn hostile_text_stays_text() {
    for hostile in HOSTILE {
        let card = card_saying(hostile);
        for markup in [served(&card), utf8(render(&card, Form::Svg))] {
            assert!(!markup.contains("<script>"), "{hostile}");
            assert!(!markup.contains("<svg onload"), "{hostile}");
            assert!(!markup.contains("\" onload="), "{hostile}");
            assert!(
                !markup.contains(['\u{202e}', '\u{2066}', '\u{200f}', '\u{1b}', '\u{0}']),
                "{hostile}"
            );
        }
        assert!(
            !served(&card).contains("503951"),
            "templates run no text: {hostile}"
        );
    }
    assert!(seen(&utf8(render(&card_saying("a\u{202e}b"), Form::Svg))).contains("a[U+202E]b"));
}

#[test]
fn print_spells_what_its_faces_have_no_letters_for() {
    assert_eq!(
        signs::printed("\u{2212}0.1 Łódź ⌀ 黄"),
        "\u{2212}0.1 Łódź ø [U+9EC4]"
    );
    assert_eq!(
        signs::plain("\u{2212}0.1 mm × 45° “ß”"),
        "-0.1 mm x 45 deg \"ss\""
    );
    assert_eq!(signs::visible("a\u{200b}\tb  c"), "a[U+200B] b c");
    assert_eq!(
        signs::shortened(&"x".repeat(5000), 3),
        "xxx [4997 more characters]"
    );
}

#[test]
fn the_served_page_has_nothing_inline() {
    let page = served(&card());
    for forbidden in ["<style", " style=", "javascript:", " onclick", "<script>"] {
        assert!(!page.contains(forbidden), "{forbidden}");
    }
    assert!(page.contains("/assets/card.css") && page.contains("/assets/card.js"));
    let alone = utf8(render(&card(), Form::Html));
    assert!(alone.contains("@page { size: 105.00mm 148.00mm; margin: 0; }"));
    assert!(!alone.contains("/assets/") && !alone.contains("<script"));
}

#[test]
fn forms_are_told_by_the_name_of_a_file() {
    assert_eq!(Form::of_file_name("a.b.htm"), Some(Form::Html));
    assert_eq!(
        Form::of_file_name("CARD.TXT"),
        Some(Form::Text { columns: 42 })
    );
    assert_eq!(Form::of_file_name("card.svg"), Some(Form::Svg));
    assert_eq!(Form::of_file_name("card.docx"), None);
    assert_eq!(Form::Pdf.content_type(), "application/pdf");
}

/// No two words share room.
fn assert_apart(drawing: &Drawing) {
    let runs: Vec<_> = drawing.runs().collect();
    for (place, one) in runs.iter().enumerate() {
        for other in &runs[place + 1..] {
            assert!(
                !one.bounds().overlaps(&other.bounds()),
                "{} lies on {}",
                one.text,
                other.text
            );
        }
    }
}

/// Points on the drawn metal, close together.
fn metal(drawing: &Drawing) -> Vec<Place> {
    let lines = drawing.marks.iter().filter_map(|mark| match mark {
        Mark::Line(Stroke::Outline | Stroke::Beyond, points) => Some(points),
        _ => None,
    });
    let between = |pair: &[Place]| {
        let (from, to) = (pair[0], pair[1]);
        (0..=50)
            .map(move |step| f64::from(step) / 50.0)
            .map(move |share| {
                (
                    from.0 + (to.0 - from.0) * share,
                    from.1 + (to.1 - from.1) * share,
                )
            })
            .collect::<Vec<_>>()
    };
    lines
        .flat_map(|points| points.windows(2).flat_map(between).collect::<Vec<_>>())
        .collect()
}

fn assert_legible(answer: &SectionAnswer, size: SvgSize) {
    let drawing = section::draw(answer, size);
    assert_apart(&drawing);
    let metal = metal(&drawing);
    for run in drawing.runs() {
        let bounds = run.bounds();
        assert!(
            !metal.iter().any(|place| bounds.holds(*place)),
            "{} lies on the metal",
            run.text
        );
        assert!(
            bounds.left >= 0.0 && bounds.right <= drawing.width_mm,
            "{} leaves the drawing",
            run.text
        );
        assert!(
            bounds.top >= 0.0 && bounds.bottom <= drawing.height_mm,
            "{} leaves the drawing",
            run.text
        );
    }
}

#[test]
fn the_section_is_to_scale() {
    for (crest_mm, deep_mm, ratio, name) in [
        (9.6, 11.4, 2.0, "2 : 1"),
        (17.0, 24.0, 1.0, "1 : 1"),
        (30.0, 45.0, 0.5, "1 : 2"),
    ] {
        let drawing = section::draw(&piece(crest_mm, deep_mm), SvgSize::CARD);
        assert!(drawing.runs().any(|run| run.text.contains(name)), "{name}");
        let lengths: Vec<f64> = drawing
            .marks
            .iter()
            .filter_map(|mark| match mark {
                Mark::Line(Stroke::Dimension, points) => {
                    Some((points[0].0 - points[1].0).hypot(points[0].1 - points[1].1))
                }
                _ => None,
            })
            .collect();
        for wanted in [
            2.0 * crest_mm * ratio,
            deep_mm * ratio,
            0.4 * crest_mm * ratio,
        ] {
            assert!(
                lengths.iter().any(|length| (length - wanted).abs() < 1e-9),
                "{wanted} mm is not in {lengths:?}"
            );
        }
    }
}

#[test]
fn a_rim_alone_says_so() {
    let mut rim = piece(9.6, 11.4);
    rim.outline.truncate(3);
    rim.points.truncate(3);
    rim.has_cup = false;
    assert_legible(&rim, SvgSize::CARD);
    let svg = section_svg(&rim, SvgSize::CARD);
    assert!(svg.contains("only the rim is known"));
    assert!(svg.contains("<title>") && svg.contains("<desc>"));
    assert!(!svg.contains("style="));
}

proptest! {
    #[test]
    fn no_label_lies_on_another_or_on_the_metal(crest in 6.0..24.0_f64, deep in 3.0..50.0_f64, count in 0..12_usize, screen: bool) {
        let mut answer = piece(crest, deep);
        let more = (0..count).map(|place| point("rim inner diameter, depth, at a stated place", (0.1 * place as f64, 0.1 * place as f64), 0.8 * crest));
        answer.points.extend(more);
        assert_legible(&answer, if screen { SvgSize::SCREEN } else { SvgSize::CARD });
    }
}

#[test]
fn k_stands_with_every_figure() {
    let words = plain(&text(&card(), 80));
    let stated = figures(&card()).len();
    assert!(words.matches("k 2.00").count() >= stated, "{words}");
}
