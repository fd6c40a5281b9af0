//! A card made by hand. Invented: maker, pieces, figures and shop.

use counterbore::answer::{
    Amount, Change, DifferenceAnswer, Figure, FigureAnswer, MatchAnswer, MeasuringPoint,
    NeutralAnswer, NotComparedAnswer, PartAnswer, Point, ReadingAnswer, Reads, RouteAnswer, Said,
    SchemeName, SectionAnswer, SegmentAnswer, Shown, TranslationAnswer,
};
use counterbore::card::{CAUTIONS, Card, Shop, UNCERTAINTY};
use counterbore::load::Day;

fn length(value: &str, plus_minus: &str) -> Amount {
    let number = |text: &str| text.replace('\u{2212}', "-").parse::<f64>().unwrap();
    let expanded_mm = number(plus_minus);
    Amount::Length {
        value_mm: number(value),
        u_mm: expanded_mm / 2.0,
        expanded_mm,
        k: 2.0,
    }
}

/// A value by a method, reached by a route of that kind.
fn figure(quantity: &str, method: &str, (value, plus_minus): (&str, &str), kind: &str) -> Figure {
    Figure {
        quantity: quantity.into(),
        method: method.into(),
        reads: Reads::Value(Shown {
            amount: length(value, plus_minus),
            value: value.into(),
            plus_minus: plus_minus.into(),
            inch: None,
        }),
        unit: "mm".into(),
        route: RouteAnswer {
            kind: kind.into(),
            text: String::new(),
            steps: Vec::new(),
        },
        not_taken: Vec::new(),
    }
}

fn stamped(quantity: &str, method: &str, value: (&str, &str)) -> FigureAnswer {
    FigureAnswer {
        name: quantity.into(),
        sign: value.0.into(),
        because: "stamped".into(),
        stamped: true,
        altered_by: Vec::new(),
        measured: figure(quantity, method, value, "stated"),
    }
}

fn neutral(quantity: &str, method: &str, value: (&str, &str), kind: &str) -> NeutralAnswer {
    NeutralAnswer {
        quantity: quantity.into(),
        measured: Some(figure(quantity, method, value, kind)),
        cannot: None,
    }
}

fn segment(text: &str, kind: &str, meaning: &str) -> SegmentAnswer {
    SegmentAnswer {
        text: text.into(),
        kind: kind.into(),
        meaning: meaning.into(),
    }
}

fn scheme(id: &str, title: &str) -> SchemeName {
    SchemeName {
        id: id.into(),
        title: title.into(),
        revision: "3".into(),
        hash: "0123456789ab".into(),
        kept: None,
    }
}

/// A measuring point across the bore, or down the axis where the radius is nothing.
pub fn point(text: &str, z_mm: (f64, f64), r_mm: f64) -> MeasuringPoint {
    MeasuringPoint {
        text: text.into(),
        value: "16.34 mm ± 0.11 mm".into(),
        from: Point {
            z_mm: z_mm.0,
            r_mm: -r_mm,
        },
        to: Point { z_mm: z_mm.1, r_mm },
    }
}

/// A piece whose rim bulges and whose cup is a cone, so many millimetres wide and deep.
pub fn section(crest_mm: f64, deep_mm: f64) -> SectionAnswer {
    let at = |z_mm: f64, share: f64| Point {
        z_mm,
        r_mm: crest_mm * share,
    };
    SectionAnswer {
        outline: vec![
            at(0.0, 1.0),
            at(0.3, 0.9),
            at(1.5, 0.84),
            at(0.5 * deep_mm, 0.5),
            at(deep_mm, 0.2),
        ],
        seam_mm: 1.5,
        points: vec![
            point("rim inner diameter, crest", (0.0, 0.0), crest_mm),
            point(
                "rim inner diameter, inner edge, angle 45 deg",
                (0.3, 0.3),
                0.9 * crest_mm,
            ),
            point("rim inner diameter, seam", (1.5, 1.5), 0.84 * crest_mm),
            point("cup depth, centre, from crest", (0.0, deep_mm), 0.0),
            point(
                "cup depth, area mean, from seam, across seam",
                (1.5, 0.8 * deep_mm),
                0.0,
            ),
            point("throat diameter, drill", (deep_mm, deep_mm), 0.2 * crest_mm),
        ],
        has_cup: true,
        within_limits: Vec::new(),
    }
}

/// By which method both are stated.
const INNER_EDGE: &str = "inner edge, angle 45 deg";

fn difference(quantity: &str, value: (&str, &str), verdict: &str, words: &str) -> DifferenceAnswer {
    DifferenceAnswer {
        quantity: quantity.into(),
        method: INNER_EDGE.into(),
        theirs: figure(quantity, INNER_EDGE, ("16.92", "0.12"), "contour").into(),
        difference: Change::Value(length(value.0.trim_start_matches('+'), value.1)),
        text: format!("{} mm ± {} mm", value.0, value.1),
        e_n: Some(1.2),
        verdict: verdict.into(),
        words: words.into(),
        judged: words.split(" by ").next().unwrap_or_default().into(),
    }
}

fn nearest() -> TranslationAnswer {
    let differences = vec![
        difference(
            "rim inner diameter",
            ("+0.21", "0.15"),
            "more",
            "larger by 0.21 mm ± 0.15 mm",
        ),
        difference(
            "cup depth",
            ("\u{2212}0.04", "0.30"),
            "same",
            "the same as far as anyone can feel",
        ),
        difference(
            "throat diameter",
            ("\u{2212}0.12", "0.05"),
            "less",
            "tighter by 0.12 mm ± 0.05 mm",
        ),
    ];
    TranslationAnswer {
        scheme: scheme("skarrow", "Skarrow (invented)"),
        near: true,
        says: "Skarrow (invented): nearest is 648".into(),
        matches: vec![MatchAnswer {
            other_instrument: None,
            canonical: "648 + full 3.65".into(),
            made: Some("until 1976".into()),
            near: true,
            compared: "compared on 3 of 4".into(),
            same_rim_and_cup: Vec::new(),
            others_of_same_rim_and_cup: false,
            differences,
            not_compared: vec![NotComparedAnswer {
                quantity: "backbore bore".into(),
                why: "the scheme states no backbore bore".into(),
            }],
            wishes: Vec::new(),
        }],
        outside: Vec::new(),
        not_compared: Vec::new(),
    }
}

/// A scheme with nothing to compare.
fn incomparable() -> TranslationAnswer {
    TranslationAnswer {
        scheme: scheme("oblund", "Oblund (invented)"),
        near: false,
        says: "Oblund (invented): cannot be compared".into(),
        matches: Vec::new(),
        outside: Vec::new(),
        not_compared: vec![NotComparedAnswer {
            quantity: "rim inner diameter".into(),
            why: "no contour".into(),
        }],
    }
}

fn reading() -> ReadingAnswer {
    ReadingAnswer {
        scheme: scheme("tarnbeck", "Tarnbeck (invented)"),
        serves: vec!["trumpet".into(), "cornet".into()],
        canonical: "Lyra 66/1634".into(),
        made: Some("from 2009".into()),
        parts: vec![PartAnswer {
            part: "top".into(),
            thread: Some("M 12 x 1".into()),
            segments: vec![
                segment("Lyra", "series", "series Lyra"),
                segment(" ", "separator", ""),
                segment(
                    "66",
                    "figure",
                    "cup depth by area mean from seam across seam: 6.6 mm as stamped",
                ),
                segment("/", "separator", "parts one sign from the next"),
                segment(
                    "1634",
                    "figure",
                    "rim inner diameter by seam: 16.34 mm as stamped",
                ),
            ],
        }],
        figures: vec![
            stamped(
                "cup depth",
                "area mean, from seam, across seam",
                ("6.600", "0.082"),
            ),
            stamped("rim inner diameter", "seam", ("16.340", "0.035")),
            stamped("rim outer diameter", "gauge", ("27.0", "0.12")),
        ],
        says: vec![Said {
            says: "silver-plated".into(),
            because: "no finish marked".into(),
        }],
        neutral: vec![
            neutral(
                "rim inner diameter",
                "inner edge, angle 45°",
                ("16.708", "0.068"),
                "contour",
            ),
            neutral(
                "cup depth",
                "centre, from crest",
                ("11.39", "0.37"),
                "generic",
            ),
            NeutralAnswer {
                quantity: "backbore bore".into(),
                measured: None,
                cannot: Some("nothing links plug depth to mean bore".into()),
            },
        ],
        section: Some(section(9.6, 11.4)),
        no_section: None,
        agreement: None,
    }
}

/// The day that the card bears.
pub const DAY: Day = Day {
    year: 2031,
    month: 4,
    day: 5,
};

/// The card.
pub fn card() -> Card {
    Card {
        shop: Shop {
            name: "Werkstatt am Mühlgraben".into(),
            lines: vec!["Mühlgraben 4, Oberwies".into()],
        },
        stamp: "lyra 66-1634".into(),
        reading: reading(),
        rivals: vec!["661634, Oblund (invented)".into()],
        ours: ["rim inner diameter", "cup depth", "throat diameter"]
            .map(|quantity| figure(quantity, INNER_EDGE, ("16.71", "0.13"), "contour"))
            .to_vec(),
        into: vec![nearest(), incomparable()],
        rule: "The same: within the shop's feel limit.".into(),
        feel_source: "common practice, no source".into(),
        uncertainty: UNCERTAINTY.into(),
        tables_used: vec![
            scheme("tarnbeck", "Tarnbeck (invented)"),
            scheme("skarrow", "Skarrow (invented)"),
        ],
        tables: "fedcba9876543210".into(),
        cautions: CAUTIONS.map(str::to_owned).to_vec(),
        address: "http://127.0.0.1:8017/card?stamp=lyra+66-1634".into(),
        scannable: false,
        not_loaded: Vec::new(),
        date: DAY,
    }
}

/// Every figure of a card as it is shown: by the maker's methods, in the neutral frame, on the section,
/// and each difference to the best match.
pub fn figures(card: &Card) -> Vec<String> {
    let makers = card.reading.figures.iter().map(|one| one.measured.plain());
    let neutral = card
        .reading
        .neutral
        .iter()
        .filter_map(|one| Some(one.measured.as_ref()?.plain()));
    let best = card.into.iter().filter_map(|one| one.matches.first());
    let differences = best.flat_map(|one| one.differences.iter().map(|each| each.text.clone()));
    makers.chain(neutral).chain(differences).collect()
}

/// The card with this text wherever a text of somebody else's can stand.
pub fn card_saying(text: &str) -> Card {
    let mut card = card();
    let said = || text.to_owned();
    card.shop = Shop {
        name: said(),
        lines: vec![said(), said()],
    };
    (card.stamp, card.rivals, card.address, card.feel_source) =
        (said(), vec![said()], said(), said());
    (card.rule, card.uncertainty, card.cautions) = (said(), said(), vec![said(), said()]);
    for name in card
        .tables_used
        .iter_mut()
        .chain([&mut card.reading.scheme])
    {
        (name.title, name.revision, name.hash) = (said(), said(), said());
    }
    say_in_reading(&mut card.reading, text);
    card.into
        .iter_mut()
        .for_each(|one| say_in_translation(one, text));
    card
}

fn say_in_reading(reading: &mut ReadingAnswer, text: &str) {
    let said = || text.to_owned();
    (reading.canonical, reading.serves, reading.made) = (said(), vec![said()], Some(said()));
    for part in &mut reading.parts {
        (part.part, part.thread) = (said(), Some(said()));
        part.segments
            .iter_mut()
            .for_each(|one| (one.text, one.meaning) = (said(), said()));
    }
    for one in &mut reading.figures {
        (one.because, one.altered_by) = (said(), vec![said()]);
        (one.measured.quantity, one.measured.method) = (said(), said());
    }
    for one in &mut reading.neutral {
        (one.quantity, one.cannot) = (said(), one.cannot.as_ref().map(|_| said()));
        one.measured.iter_mut().for_each(|one| one.method = said());
    }
    reading
        .says
        .iter_mut()
        .for_each(|one| (one.says, one.because) = (said(), said()));
    reading
        .section
        .iter_mut()
        .flat_map(|one| &mut one.points)
        .for_each(|one| one.text = said());
}

fn say_in_translation(translation: &mut TranslationAnswer, text: &str) {
    let said = || text.to_owned();
    (translation.near, translation.says, translation.scheme.title) = (false, said(), said());
    for best in &mut translation.matches {
        (best.canonical, best.made, best.compared) = (said(), Some(said()), said());
        best.differences
            .iter_mut()
            .for_each(|one| (one.quantity, one.method, one.words) = (said(), said(), said()));
    }
    let nested = translation
        .matches
        .iter_mut()
        .flat_map(|best| &mut best.not_compared);
    translation
        .not_compared
        .iter_mut()
        .chain(nested)
        .for_each(|one| (one.quantity, one.why) = (said(), said()));
}
