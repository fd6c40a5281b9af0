//! Answers as text for people at a terminal.

use std::fmt::Write;

use super::explain::explained;
use crate::answer::{
    DecodeAnswer, Figure, FigureAnswer, FindAnswer, FoundAnswer, MatchAnswer, NeutralAnswer,
    ReadingAnswer, Reads, TraceAnswer, TranslateAnswer, TranslationAnswer, factor,
};
use crate::card::{LIMITS, UNCERTAINTY};
use crate::language::sign;

/// Adds a line; writing to a string cannot fail.
macro_rules! line {
    ($out:expr, $($words:tt)*) => {
        let _ = writeln!($out, $($words)*);
    };
}

/// All readings of a stamp.
pub fn decoded(answer: &DecodeAnswer) -> String {
    let mut out = String::new();
    for (place, reading) in answer.readings.iter().enumerate() {
        if answer.readings.len() > 1 {
            line!(out, "Reading {} of {}", place + 1, answer.readings.len());
        }
        read(&mut out, reading);
        line!(out, "");
    }
    if !answer.explained.is_empty() {
        explained(&mut out, &answer.explained);
        line!(out, "");
    }
    line!(out, "{UNCERTAINTY}");
    if answer.readings.iter().any(ReadingAnswer::has_limits) {
        line!(out, "{LIMITS}");
    }
    out
}

fn read(out: &mut String, reading: &ReadingAnswer) {
    line!(out, "{}: {}", reading.scheme.title, reading.canonical);
    line!(
        out,
        "  for {}; table revision {}, {}",
        reading.serves.join(", "),
        reading.scheme.revision,
        reading.scheme.hash
    );
    if let Some(kept) = reading.scheme.kept_sentence() {
        line!(out, "  {kept}");
    }
    if let Some(made) = &reading.made {
        line!(out, "  made {made}");
    }
    for part in &reading.parts {
        let thread = part
            .thread
            .as_ref()
            .map_or(String::new(), |thread| format!(", thread {thread}"));
        line!(out, "  Stamped on the {}{thread}", part.part);
        for segment in part
            .segments
            .iter()
            .filter(|segment| !segment.meaning.is_empty())
        {
            line!(out, "    {:<12} {}", segment.text, segment.meaning);
        }
    }
    line!(out, "  By the maker's methods");
    table(out, reading.figures.iter().map(figure_row).collect());
    for said in &reading.says {
        line!(out, "    {} ({})", said.says, said.because);
    }
    line!(out, "  In the neutral frame");
    table(out, reading.neutral.iter().map(neutral_row).collect());
    if let Some(why) = &reading.no_section {
        line!(out, "    no section: {why}");
    }
    if let Some(agreement) = &reading.agreement {
        line!(out, "    {}", agreement.says);
    }
}

/// What is measured, the value, and the remark behind it.
type Row = (String, Option<(String, String, String)>, String);

/// A row of a figure. A value has k beside its unit; limits have no point to stand beneath others, and
/// are the first of the remark.
fn row(what: String, measured: &Figure, remark: String) -> Row {
    match &measured.reads {
        Reads::Value(shown) => {
            let (unit, k) = (&measured.unit, factor(shown.amount.k()));
            let behind = format!("{} {unit} (k {k})", shown.plus_minus);
            (
                what,
                Some((shown.value.clone(), behind, unit.clone())),
                remark,
            )
        }
        Reads::Limits(limits) => (what, None, format!("{}  ({remark})", limits.text())),
    }
}

fn figure_row(figure: &FigureAnswer) -> Row {
    let measured = &figure.measured;
    let altered = match figure.altered_by.as_slice() {
        [] => String::new(),
        codes => format!(", altered by {}", codes.join(", ")),
    };
    let what = format!("{}, {}", measured.quantity, measured.method);
    row(what, measured, format!("{}{altered}", figure.because))
}

fn neutral_row(one: &NeutralAnswer) -> Row {
    match (&one.measured, &one.cannot) {
        (Some(measured), _) => {
            let what = format!("{}, {}", measured.quantity, measured.method);
            let route = &measured.route;
            row(what, measured, format!("{}: {}", route.kind, route.text))
        }
        (None, why) => (
            one.quantity.clone(),
            None,
            format!(
                "cannot be compared: {}",
                why.as_deref().unwrap_or("no route")
            ),
        ),
    }
}

/// Rows with their decimal points beneath one another.
fn table(out: &mut String, rows: Vec<Row>) {
    let whole = |value: &str| {
        value
            .split(sign())
            .next()
            .unwrap_or_default()
            .chars()
            .count()
    };
    let words = rows
        .iter()
        .map(|row| row.0.chars().count())
        .max()
        .unwrap_or(0);
    let values = || rows.iter().filter_map(|row| row.1.as_ref());
    let before = values().map(|(value, ..)| whole(value)).max().unwrap_or(0);
    let after = values()
        .map(|(value, ..)| value.chars().count() - whole(value))
        .max()
        .unwrap_or(0);
    for (what, value, remark) in &rows {
        match value {
            Some((value, plus_minus, unit)) => {
                let left = before - whole(value);
                let right = after - (value.chars().count() - whole(value));
                let blank = |count: usize| " ".repeat(count);
                line!(
                    out,
                    "    {what:<words$}  {}{value}{} {unit} ± {plus_minus}  ({remark})",
                    blank(left),
                    blank(right)
                );
            }
            None => {
                line!(out, "    {what:<words$}  {remark}");
            }
        }
    }
}

/// What it may be.
pub fn found(answer: &FindAnswer) -> String {
    let mut out = String::new();
    if let Some(found) = &answer.contradiction {
        line!(
            out,
            "Stamp and gauge contradict each other. The stamp says {} ({}):",
            found.canonical,
            found.scheme.title
        );
        for gauge in &found.gauges {
            line!(out, "  {}: {}", gauge.quantity, gauge.says);
        }
    }
    for one in &answer.results {
        candidate(&mut out, one);
    }
    line!(
        out,
        "{:>6.1} %  all else: further pieces that fit, and markings of no scheme here",
        100.0 * answer.something_else
    );
    if !answer.complete {
        line!(out, "Best so far: not everything was looked at.");
    }
    if let Some(next) = &answer.next {
        line!(out, "Next: {}", next.says);
    }
    if let Some(alike) = &answer.alike {
        line!(out, "{alike}.");
    }
    line!(
        out,
        "Probabilities rest on judged costs of worn signs; they are not calibrated from outside."
    );
    out
}

fn candidate(out: &mut String, one: &FoundAnswer) {
    line!(
        out,
        "{:>6.1} %  {}  ({})",
        100.0 * one.probability,
        one.canonical,
        one.scheme.title
    );
    let taken: Vec<String> = one
        .taken
        .iter()
        .map(|taken| match (taken.seen.as_str(), taken.meant.as_str()) {
            (seen, "") => format!("`{seen}` at sign {} left out", taken.position),
            ("", meant) => format!("`{meant}` missing at sign {}", taken.position),
            (seen, meant) => format!("`{seen}` at sign {} taken for `{meant}`", taken.position),
        })
        .collect();
    if !taken.is_empty() {
        line!(out, "          {}", taken.join("; "));
    }
    if let Some(words) = &one.words {
        line!(out, "          by words, the {}: {}", words.of, words.text);
    }
    if let Some(why) = &one.more_usual {
        line!(out, "          {why}");
    }
    let certain = one.certain_in_part();
    if !certain.is_empty() {
        line!(out, "          certain: {}", certain.join(", "));
    }
    for check in &one.limits {
        let piece = check.piece.as_ref().map_or(String::new(), |piece| {
            format!("the piece {}, ", piece.text())
        });
        line!(
            out,
            "          {}: {piece}gauge {}: {}",
            check.quantity,
            check.text,
            check.says
        );
    }
    for check in &one.gauges {
        let piece = check.piece.as_ref().map_or(String::new(), |piece| {
            format!("the piece {}, ", piece.text())
        });
        line!(
            out,
            "          {}: {piece}gauge {}: {}",
            check.gauge.quantity,
            check.gauge.text(),
            check.says
        );
    }
}

/// What is read on a trace, and what comes near.
pub fn traced(answer: &TraceAnswer) -> String {
    let mut out = String::new();
    line!(out, "{}: {} points", answer.file, answer.points);
    line!(out, "  In the neutral frame");
    table(&mut out, answer.neutral.iter().map(neutral_row).collect());
    for into in &answer.into {
        line!(out, "");
        translation(&mut out, &answer.ours, into);
    }
    line!(out, "");
    line!(out, "{UNCERTAINTY}");
    line!(out, "{}", answer.rule);
    line!(out, "Feel limits: {}.", answer.feel_source);
    out
}

/// A piece in other schemes.
pub fn translated(answer: &TranslateAnswer) -> String {
    let mut out = String::new();
    read(&mut out, &answer.reading);
    for rival in &answer.rivals {
        line!(out, "  could also be read: {rival}");
    }
    for wish in &answer.wished {
        line!(out, "  wished: {}", wish.says);
    }
    for into in &answer.into {
        line!(out, "");
        translation(&mut out, &answer.ours, into);
    }
    explained(&mut out, &answer.explained);
    line!(out, "");
    if !answer.left_out.is_empty() {
        line!(
            out,
            "Not asked, since they serve other instruments: {}.",
            answer.left_out.join(", ")
        );
    }
    line!(out, "{UNCERTAINTY}");
    if answer.reading.has_limits() {
        line!(out, "{LIMITS}");
    }
    line!(out, "{}", answer.rule);
    line!(out, "Feel limits: {}.", answer.feel_source);
    out
}

fn translation(out: &mut String, ours: &[Figure], into: &TranslationAnswer) {
    line!(out, "{}", into.says);
    if let Some(kept) = into.scheme.kept_sentence() {
        line!(out, "  {kept}");
    }
    for beyond in &into.outside {
        line!(out, "  outside: {}", beyond.says);
    }
    for one in &into.not_compared {
        line!(out, "  {}: {}", one.quantity, one.why);
    }
    for one in &into.matches {
        matched(out, ours, one);
    }
}

fn matched(out: &mut String, ours: &[Figure], one: &MatchAnswer) {
    let made = one
        .made
        .as_ref()
        .map_or(String::new(), |made| format!(", made {made}"));
    let far = if one.near { "" } else { ", not near" };
    line!(out, "  {}{made}  ({}{far})", one.canonical, one.compared);
    if let Some(other) = &one.other_instrument {
        line!(out, "    {other}");
    }
    for wish in &one.wishes {
        line!(out, "    wish {}: {}", wish.wish, wish.says);
    }
    for difference in &one.differences {
        let e_n = difference
            .e_n
            .map_or(String::new(), |e_n| format!(", E_n {e_n:.2}"));
        let same =
            |one: &&Figure| one.quantity == difference.quantity && one.method == difference.method;
        let mut ours = ours.iter();
        let ours = ours
            .find(same)
            .map_or(String::new(), |ours| format!("ours {}, ", ours.text()));
        line!(
            out,
            "    {}, {}: theirs {}, {ours}difference {}{e_n}: {}",
            difference.quantity,
            difference.method,
            difference.theirs.text(),
            difference.text,
            difference.words
        );
    }
    for missing in &one.not_compared {
        line!(
            out,
            "    {}: not compared, {}",
            missing.quantity,
            missing.why
        );
    }
}
