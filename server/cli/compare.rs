//! Pieces side by side, as text.

use crate::answer::{AgainstAnswer, CompareAnswer, DifferenceAnswer};
use crate::card::UNCERTAINTY;

/// The others against the pinned piece, measure by measure.
pub fn compared(answer: &CompareAnswer) -> String {
    let pinned = &answer.pieces[answer.pinned - 1].reading;
    let mut lines = vec![format!(
        "Against {} ({})",
        pinned.canonical, pinned.scheme.title
    )];
    for piece in &answer.pieces {
        let rivals = piece.rivals.iter();
        lines.extend(rivals.map(|rival| format!("  {} could also be read: {rival}", piece.piece)));
    }
    for one in &answer.against {
        lines.push(String::new());
        lines.extend(against(answer, one));
    }
    lines.push(String::new());
    lines.push(UNCERTAINTY.into());
    lines.push(answer.rule.clone());
    lines.push(format!("Feel limits: {}.", answer.feel_source));
    lines.join("\n") + "\n"
}

fn against(answer: &CompareAnswer, one: &AgainstAnswer) -> Vec<String> {
    let reading = &answer.pieces[one.piece - 1].reading;
    let mut lines = vec![format!("{} ({})", reading.canonical, reading.scheme.title)];
    lines.extend(
        one.differences
            .iter()
            .flat_map(|one| difference(answer, one)),
    );
    let missing = one.not_compared.iter();
    lines.extend(missing.map(|one| format!("  {}: cannot be compared: {}", one.quantity, one.why)));
    lines
}

fn difference(answer: &CompareAnswer, one: &DifferenceAnswer) -> [String; 3] {
    let ours = answer
        .ours(&one.quantity, &one.method)
        .map(|ours| format!("pinned {}, ", ours.text()));
    let e_n = one.e_n.map(|e_n| format!(", E_n {e_n:.2}"));
    [
        format!("  {}, {}: {}", one.quantity, one.method, one.words),
        format!("    difference {}{}", one.text, e_n.unwrap_or_default()),
        format!("    {}this {}", ours.unwrap_or_default(), one.theirs.text()),
    ]
}
