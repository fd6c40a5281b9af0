//! Catalogues.

use counterbore::diagnostic::Severity;

use super::{checked, plugin, shown};

#[test]
fn rows_say_what_their_cells_say() {
    let scheme = plugin("quillow.yml");
    let [first, second, third, fourth] = &scheme.entries[..] else {
        panic!("four entries")
    };
    assert_eq!((first.name.as_str(), first.line), ("H1", 31));
    assert_eq!((first.years.from, first.years.until), (None, Some(1969)));
    assert_eq!(second.also, ["1H", "H-1"]);
    assert_eq!(second.note.as_deref(), Some("wider since 1970"));
    assert_eq!((third.series, third.line), (Some(0), 33));
    let states = |entry: &counterbore::scheme::Entry| -> Vec<(usize, String, f64)> {
        entry
            .states
            .iter()
            .map(|(figure, sign)| (*figure, sign.text.clone(), sign.amount.amount.value))
            .collect()
    };
    assert_eq!(
        states(first),
        [(0, "17.50".into(), 17.5), (1, "s".into(), 25.5)]
    );
    assert_eq!(
        states(third),
        [
            (0, "16.9 mm ± 0.1 mm".into(), 16.9),
            (1, "25.5 mm".into(), 25.5)
        ]
    );
    assert_eq!(states(fourth).len(), 1, "`-` states nothing");
    assert!(third.states[0].1.amount.spread.is_some());
}

#[test]
fn offsets_hold_for_their_series() {
    let scheme = plugin("quillow.yml");
    let [one] = &scheme.declared[..] else {
        panic!("one offset")
    };
    assert_eq!(one.series, [0]);
    assert_eq!(one.offset.to.to_string(), "depth at 1 mm");
    assert_eq!(one.offset.range, (16.0, 18.0));
    assert_eq!(
        one.offset.source, "invented list",
        "the scheme's, since it names none of its own"
    );
    assert!(
        (one.offset.offset.u() - 0.04 / 3_f64.sqrt()).abs() < 1e-12,
        "mm"
    );
}

/// 9,000 rows that all spell differently, with a fault in the last.
#[test]
fn a_long_catalogue_is_read_to_its_end() {
    let rows: String = (0..9000)
        .map(|row| format!("    - [N{row}, {}]\n", 16 + row % 3))
        .collect();
    let text = format!(
        "scheme: long\ntitle: Long (invented)\nserves: tuba\nrevision: 1\nsource: invented\n\
         figures:\n  rim: {{quantity: rim inner diameter, method: crest, unit: mm}}\n\
         entries:\n  columns: [name, rim]\n  rows:\n{rows}    - [n17, 17]\n\
         stamps:\n  - {{part: one-piece, template: \"{{entry}}\"}}\n\
         examples:\n  - {{stamp: N1, says: {{entry: N1}}}}\n"
    );
    let (_, found) = checked("t.yml", &text);
    let errors: Vec<_> = found
        .iter()
        .filter(|one| one.severity == Severity::Error)
        .collect();
    let [fault] = errors[..] else {
        panic!("{}", shown(&found))
    };
    assert_eq!((fault.code, fault.place.line), ("same-spelling", 9011));
    assert_eq!(fault.also.as_ref().unwrap().0.line, 28);
}
