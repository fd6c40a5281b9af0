//! Traces in a scheme: which pieces they are of.

use counterbore::method::Quantity;
use counterbore::profile::ContourFigure;
use counterbore::route::RouteKind;
use counterbore::scheme::{Binding, Scheme, Sign, Target, check};

use super::{our_tables, passed};

const SCHEME: &str = "
# invented
scheme: quillow
title: Quillow (invented)
serves: [trumpet]
revision: '1'
source: invented
contour: {class: trumpet bowl}
figures:
  rim: {quantity: rim inner diameter, method: seam, unit: mm, grid: {from: 15.50, to: 17.00, step: 0.25}, tolerance: 0.03 mm}
series:
  quill: {words: [Quill]}
marks:
  edge: {codes: {R: {means: rounder, multiply: {edge: 1.3 ± 0.1}}}}
  size: {codes: {W: {means: wider, add: {rim: 0.5 mm}}}}
entries:
  columns: [name, rim]
  rows:
    - [A1, '16.00']
    - [A2, '16.25']
traces:
  - {entry: A1, unit: in, u: 10 um, seam: 2 mm ± 0.05 mm, points: [['0', '0.7087'], ['0.03937', '0.6614'], ['0.07874', '0.62992'], ['0.11811', '0.6'] ]}
  - {series: quill, unit: mm, u: 0.01 mm, seam: 2 mm ± 0.05 mm, points: [[0, 18.5], [1, 17.3], [2, 16.5], [3, 15.9, 0.03]]}
stamps:
  - {part: one-piece, template: '{entry}[ {edge}][ {size}]', also: ['{series}[ {rim}][ {edge}][ {size}]']}
examples:
  - {stamp: A1 R W, says: {entry: A1, edge: R, size: W}}
  - {stamp: Quill 16.50, says: {series: quill, rim: '16.50'}, spelled: Quill 16.50}
";

fn scheme() -> Scheme {
    let (scheme, found) = check(&passed("quillow.yml", SCHEME), &our_tables());
    assert!(scheme.is_some(), "{found:#?}");
    scheme.unwrap()
}

fn rim(text: &str) -> Binding {
    let scheme = scheme();
    let sign: Sign = scheme.figures[0].signs.read(text, true).unwrap();
    Binding::Figure(0, sign)
}

const SERIES: Binding = Binding::Series { series: 0, word: 0 };

fn crest(bindings: &[Binding]) -> (RouteKind, bool) {
    let made = scheme().make(bindings, &[0]);
    let crest = our_tables()
        .methods
        .parse(Quantity::RimInnerDiameter, "crest")
        .unwrap();
    let best = made.piece.carry(&crest).best().cloned().unwrap();
    (best.route.kind, made.piece.trace().is_some())
}

#[test]
fn an_entry_has_its_own_trace() {
    assert_eq!(crest(&[Binding::Entry(0)]), (RouteKind::Traced, true));
    assert_eq!(crest(&[Binding::Entry(1)]), (RouteKind::Generic, false));
}

#[test]
fn pieces_of_a_name_differ_from_its_specimen() {
    let made = scheme().make(&[Binding::Entry(0)], &[0]);
    let crest = our_tables()
        .methods
        .parse(Quantity::RimInnerDiameter, "crest")
        .unwrap();
    let best = made.piece.carry(&crest).best().cloned().unwrap();
    let of_the_piece = made.piece.stated()[0].estimate.u();
    assert!(of_the_piece > 0.01 && best.estimate.u() > of_the_piece);
    assert!(
        best.route
            .to_string()
            .ends_with("on the trace of a specimen")
    );
}

#[test]
fn a_mark_makes_other_metal() {
    let scheme = scheme();
    for (mark, target) in [
        (0, Target::Contour(ContourFigure::Edge)),
        (1, Target::Figure(0)),
    ] {
        assert_eq!(scheme.marks[mark].codes[0].effects[0].0, target);
        let bindings = [Binding::Entry(0), Binding::Mark { mark, code: 0 }];
        assert_eq!(crest(&bindings), (RouteKind::Generic, false));
    }
}

#[test]
fn a_series_trace_is_of_the_size_that_it_has() {
    assert_eq!(crest(&[SERIES, rim("16.50")]), (RouteKind::Traced, true));
    assert_eq!(crest(&[SERIES, rim("16.25")]), (RouteKind::Generic, false));
    let unknown = scheme().make(&[SERIES], &[0]);
    assert!(unknown.piece.trace().is_none(), "its size is not known");
}
