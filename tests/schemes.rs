//! Invented schemes, by hand until check exists (local).
use counterbore::method::*;
use counterbore::scheme::*;
use counterbore::unit::*;
use std::sync::Arc;

fn method(q: Quantity, name: &str, f: Functional) -> Method {
    Method {
        row: Arc::new(MethodRow {
            quantity: q,
            name: name.into(),
            functional: f,
            says: String::new(),
            neutral: false,
            source: String::new(),
            defaults: Parameters::default(),
        }),
        parameters: Parameters::default(),
    }
}
fn figure(name: &str, m: Method, signs: Signs, unmarked: Option<&str>) -> Figure {
    let unmarked = unmarked.and_then(|u| signs.read(u, true));
    Figure {
        name: name.into(),
        method: m,
        signs,
        tolerance: None,
        unmarked,
        means: None,
        source: "invented".into(),
    }
}
fn grid(from: i64, to: i64, step: i64, decimals: usize, unit: &str) -> Signs {
    Signs::Grid(Grid {
        from,
        to,
        step,
        decimals,
        width: 1,
        meaning: GridMeaning::Unit(Scale::parse(unit).unwrap()),
    })
}
fn sign(t: &str, a: &str) -> Sign {
    Sign {
        text: t.into(),
        amount: AmountWithSpread::parse(a).unwrap(),
    }
}
fn code(c: &str, means: &str) -> Code {
    Code {
        code: c.into(),
        also: vec![],
        means: means.into(),
        effects: vec![],
        source: "invented".into(),
    }
}
fn series(name: &str, words: &[(&str, Years)], implies: Vec<(usize, Sign)>) -> Series {
    Series {
        name: name.into(),
        words: words.iter().map(|(w, y)| ((*w).to_owned(), *y)).collect(),
        contour: None,
        implies,
        says: vec![],
        source: "invented".into(),
    }
}
fn mark(n: &str, codes: Vec<Code>) -> Mark {
    Mark {
        name: n.into(),
        title: n.into(),
        unmarked: None,
        codes,
    }
}
fn scheme(id: &str) -> Scheme {
    Scheme {
        id: id.into(),
        title: format!("{id} (invented)"),
        serves: vec![Instrument::Trumpet],
        revision: "1".into(),
        source: "invented".into(),
        notes: vec![],
        case_matters: false,
        separators: vec![],
        parts: vec![],
        figures: vec![],
        series: vec![],
        contour: None,
        marks: vec![],
        entries: vec![],
        declared: vec![],
        stamps: vec![],
        examples: vec![],
        hash: String::new(),
        file: format!("{id}.yml"),
    }
}
fn stamp(s: &mut Scheme, part: PartKind, t: &str, also: &[&str]) {
    let parse = |t: &str| {
        Template::parse(t, |n| match n {
            "series" => Some(Field::Series),
            "entry" => Some(Field::Entry),
            n => s
                .figure(n)
                .map(Field::Figure)
                .or_else(|| s.marks.iter().position(|m| m.name == n).map(Field::Mark)),
        })
        .unwrap()
    };
    let st = Stamp {
        part,
        template: parse(t),
        also: also.iter().map(|t| parse(t)).collect(),
        years: Years::default(),
    };
    s.stamps.push(st);
}
fn example(
    stamp: &str,
    says: &[(&str, &str)],
    spelled: Option<&str>,
    rivals: Option<usize>,
) -> Example {
    Example {
        stamp: stamp.into(),
        says: says
            .iter()
            .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
            .collect(),
        spelled: spelled.map(str::to_owned),
        rivals,
    }
}
pub fn tarnbeck() -> Arc<Scheme> {
    let mut s = scheme("tarnbeck");
    s.separators = vec![('/', vec!["/".into(), "-".into(), " ".into()])];
    let drills = Signs::Listed(
        (22..=30)
            .rev()
            .map(|n| {
                (
                    sign(&n.to_string(), &format!("{:.4} in", 0.2 - 0.002 * n as f64)),
                    vec![],
                )
            })
            .collect(),
    );
    s.figures = vec![
        figure(
            "cup",
            method(Quantity::CupDepth, "area mean", Functional::DepthByArea),
            grid(58, 82, 1, 0, "0.1 mm"),
            None,
        ),
        figure(
            "rim",
            method(Quantity::RimInnerDiameter, "seam", Functional::RimAtSeam),
            grid(1540, 1720, 12, 0, "0.01 mm"),
            None,
        ),
        figure(
            "throat",
            method(Quantity::ThroatDiameter, "drill", Functional::AsStated),
            drills.clone(),
            Some("27"),
        ),
    ];
    s.series = vec![
        series(
            "lyra",
            &[
                ("Lyra", Years::default()),
                (
                    "Lyre",
                    Years {
                        from: None,
                        until: Some(2009),
                    },
                ),
            ],
            vec![(2, drills.read("26", true).unwrap())],
        ),
        series("corva", &[("Corva", Years::default())], vec![]),
    ];
    s.marks = vec![
        mark("edge", vec![code("R", "rounder inner edge")]),
        mark(
            "finish",
            vec![code("G", "gold plated"), code("B", "raw brass")],
        ),
    ];
    stamp(
        &mut s,
        PartKind::Top,
        "{series} {cup}/{rim}[ T{throat}][ {edge}][{finish}]",
        &[],
    );
    stamp(&mut s, PartKind::Backbore, "T{throat}", &["No. {throat}"]);
    s.examples = vec![
        example(
            "Lyra 64/1612",
            &[("series", "lyra"), ("cup", "64"), ("rim", "1612")],
            None,
            None,
        ),
        example(
            "lyre 64-1612 T24 RG",
            &[
                ("series", "lyra"),
                ("cup", "64"),
                ("rim", "1612"),
                ("throat", "24"),
                ("edge", "R"),
                ("finish", "G"),
            ],
            Some("Lyre 64/1612 T24 RG"),
            None,
        ),
        example(
            "corva 70-1600b",
            &[
                ("series", "corva"),
                ("cup", "70"),
                ("rim", "1600"),
                ("finish", "B"),
            ],
            Some("Corva 70/1600B"),
            None,
        ),
        example("T25", &[("throat", "25")], None, None),
    ];
    Arc::new(s)
}
fn entry(
    name: &str,
    series: usize,
    also: &[&str],
    years: Years,
    states: Vec<(usize, Sign)>,
) -> Entry {
    Entry {
        name: name.into(),
        also: also.iter().map(|a| (*a).to_owned()).collect(),
        series: Some(series),
        years,
        note: None,
        states,
        line: 1,
    }
}
pub fn quillhaven() -> Arc<Scheme> {
    let mut s = scheme("quillhaven");
    let depth = Signs::Listed(vec![
        (sign("shallow", "9.0..10.0 mm"), vec!["shal".into()]),
        (sign("medium", "10.0..11.5 mm"), vec![]),
        (sign("deep", "11.5..13.0 mm"), vec![]),
    ]);
    s.figures = vec![
        figure(
            "rim",
            method(
                Quantity::RimInnerDiameter,
                "inner edge",
                Functional::RimAtTangent,
            ),
            Signs::None,
            None,
        ),
        figure(
            "depth",
            method(Quantity::CupDepth, "centre", Functional::DepthAtCentre),
            depth.clone(),
            Some("medium"),
        ),
    ];
    s.series = vec![
        series("plain", &[("QH", Years::default())], vec![]),
        series("heron", &[("QH Heron", Years::default())], vec![]),
    ];
    let st = |r: &str, d: &str| {
        vec![
            (0, sign(r, &format!("{r} mm"))),
            (1, depth.read(d, true).unwrap()),
        ]
    };
    let any = Years::default();
    s.entries = vec![
        entry("3F", 0, &[], any, st("16.80", "deep")),
        entry(
            "5F",
            0,
            &[],
            Years {
                from: None,
                until: Some(1988),
            },
            st("16.30", "medium"),
        ),
        entry(
            "5F",
            0,
            &[],
            Years {
                from: Some(1989),
                until: None,
            },
            st("16.20", "shallow"),
        ),
        entry("7 1/2K", 0, &["75K"], any, st("16.00", "shallow")),
        entry("11D", 1, &["11 D"], any, st("15.60", "medium")),
    ];
    stamp(&mut s, PartKind::OnePiece, "QH {entry}[ {depth}]", &[]);
    s.examples = vec![
        example("QH 3F", &[("entry", "3F")], None, None),
        example(
            "qh 7½k deep",
            &[("entry", "7 1/2K"), ("depth", "deep")],
            Some("QH 7 1/2K deep"),
            None,
        ),
        example("QH 5F", &[("entry", "5F")], None, Some(1)),
    ];
    Arc::new(s)
}
pub fn ostley() -> Arc<Scheme> {
    let mut s = scheme("ostley");
    s.case_matters = true;
    s.separators = vec![('-', vec!["-".into(), " ".into(), String::new()])];
    s.figures = vec![
        figure(
            "rim",
            method(Quantity::RimInnerDiameter, "crest", Functional::RimAtCrest),
            grid(2450, 2650, 25, 2, "mm"),
            None,
        ),
        figure(
            "cup",
            method(Quantity::CupVolume, "geometry", Functional::Volume),
            Signs::Grid(Grid {
                from: 1,
                to: 12,
                step: 1,
                decimals: 0,
                width: 1,
                meaning: GridMeaning::Steps {
                    first: Amount::parse("9.00 ml").unwrap(),
                    each: Amount::parse("-0.25 ml").unwrap(),
                },
            }),
            None,
        ),
    ];
    s.marks = vec![mark(
        "form",
        vec![code("C", "a bowl"), code("c", "near a cone")],
    )];
    stamp(&mut s, PartKind::OnePiece, "{cup}{form}-{rim}", &[]);
    s.examples = vec![
        example(
            "7C-25.50",
            &[("cup", "7"), ("form", "C"), ("rim", "25.50")],
            None,
            None,
        ),
        example(
            "11c 25.25",
            &[("cup", "11"), ("form", "c"), ("rim", "25.25")],
            Some("11c-25.25"),
            None,
        ),
    ];
    Arc::new(s)
}
/// All.
pub fn all() -> Vec<Arc<Scheme>> {
    vec![tarnbeck(), quillhaven(), ostley()]
}
/// A document to point at.
pub fn document(s: &Scheme) -> counterbore::yaml::Document {
    counterbore::yaml::gate(
        &s.file,
        &std::fs::read(format!("tests/plugins/{}.yml", s.id)).unwrap(),
        counterbore::yaml::Limits::PLUGIN,
    )
    .unwrap()
}
