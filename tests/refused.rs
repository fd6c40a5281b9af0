//! What cannot be, refused where it enters.
//!
//! Proves that impossible metal, no numbers, units that cannot be and intervals whose ends cross are refused in gauge values (the
//! command line and the programming interface ask by the same function), traces and plug-ins, each with the figure
//! and the limit that it broke.

use counterbore::answer::{self, FindAsk, TraceAsk, TraceRefused};
use counterbore::load;
use counterbore::snapshot::Snapshot;
use counterbore::yaml::Limits;

use crate::shop::Shop;

fn demo() -> Snapshot {
    let shop = Shop::new();
    shop.write("config.yml", "plugins: [built in]\n");
    shop.snapshot()
}

#[test]
fn gauges_that_cannot_be() {
    let snapshot = demo();
    for (gauges, says) in [
        (
            &["cup depth=-3mm"][..],
            "a cup depth of -3 mm; expected 2 to 80 mm",
        ),
        (
            &["cup depth=at least -3mm"],
            "a cup depth of -3 mm; expected 2 to 80 mm",
        ),
        (
            &["throat diameter=18mm"],
            "a throat diameter of 18 mm; expected 2 to 12 mm",
        ),
        (&["cup depth=NaN mm"], "found `NaN mm`; expected a number"),
        (&["cup depth=inf mm"], "found `inf mm`; expected a number"),
        (
            &["cup depth=at most inf mm"],
            "found `inf mm`; expected a number",
        ),
        (&["cup depth=10 u NaN"], "found `NaN`; expected a number"),
        (
            &["cup depth=16 ml"],
            "cup depth is a length, and `16 ml` is a volume",
        ),
        (
            &["cup depth=10 furlong"],
            "found `furlong`; expected a unit",
        ),
        (
            &["cup depth=10±-1mm"],
            "found a spread of `-1mm`; expected zero or more",
        ),
        (
            &["cup depth=12..10mm"],
            "the limits cross: at least 12 and at most 10 mm",
        ),
        (
            &["cup depth=between 12mm and 10mm"],
            "the limits cross: at least 12 and at most 10 mm",
        ),
        (
            &["throat diameter=passes drill 26, not drill 27"],
            "the limits cross: at least 3.7338 and at most 3.6576 mm",
        ),
        (
            &["rim inner diameter@depth at -1 mm=16mm"],
            "`-1 mm` is outside 0 to 30",
        ),
        (
            &["rim inner diameter@depth at NaN mm=16mm"],
            "found `NaN mm`; expected a number",
        ),
        (
            &["shank diameter@distance distance 200 mm=9mm"],
            "`200 mm` is outside 0 to 60",
        ),
        (
            &["throat diameter=11.5±0.1mm", "rim inner diameter=9±0.1mm"],
            "throat diameter 11.3268 mm and rim inner diameter 9.1732 mm; expected throat diameter below rim inner diameter",
        ),
        (
            &[
                "throat diameter=at least 11mm",
                "rim inner diameter=9±0.1mm",
            ],
            "throat diameter 11 mm and rim inner diameter 9.1732 mm",
        ),
        (
            &[
                "throat diameter=passes drill 27, not drill 26",
                "throat diameter@gauge=4.50 mm",
            ],
            "the gauges contradict each other: throat diameter between 3.658",
        ),
        (
            &["throat diameter=3.66 mm", "throat diameter=3.67 mm"],
            "which agree: 3.660 mm ± 0.029 mm, and 3.670 mm",
        ),
        (
            &[
                "rim inner diameter@inner edge=16.6±0.1mm",
                "rim inner diameter@seam=18.0 mm",
            ],
            "the seam lies below the inner edge, and is narrower",
        ),
        (
            &["rim inner diameter@depth=16 mm"],
            "needs `at`; write `rim inner diameter@depth at 1.0 mm`",
        ),
        (
            &["rim inner diameter=17±0.1mm", "rim outer diameter=16±0.1mm"],
            "expected rim inner diameter below rim outer diameter",
        ),
        (
            &[
                "shank length=20±1mm",
                "shank diameter@distance distance 50 mm=9±0.1mm",
            ],
            "a distance of 50 mm on a shank of 21.7321 mm; expected one within it",
        ),
        (
            &[
                "shank length=20±1mm",
                "insertion depth@receiver receiver 11 mm narrows 0.5 mm over 10 mm=30±1mm",
            ],
            "expected insertion depth below shank length",
        ),
    ] {
        let gauges: Vec<String> = gauges.iter().map(|one| (*one).to_owned()).collect();
        let ask = FindAsk {
            partial: "",
            gauges: &gauges,
            limit: 3,
        };
        let problem = answer::find(&snapshot, &ask).unwrap_err();
        let detail = problem.details().detail;
        assert!(detail.contains(says), "{gauges:?}: {detail}");
    }
}

#[test]
fn what_may_be_is_not_refused() {
    let snapshot = demo();
    let gauges = [
        "throat diameter=3.7±0.1mm",
        "rim inner diameter=16±0.1mm",
        "rim outer diameter=27±0.1mm",
        "cup depth=9..10mm",
    ];
    let gauges = gauges.map(str::to_owned);
    let ask = FindAsk {
        partial: "",
        gauges: &gauges,
        limit: 3,
    };
    answer::find(&snapshot, &ask).unwrap();
}

#[test]
fn gauges_that_no_piece_here_meets_together() {
    let snapshot = demo();
    let clash = |gauges: [&str; 2]| {
        let gauges = gauges.map(str::to_owned);
        let ask = FindAsk {
            partial: "",
            gauges: &gauges,
            limit: 3,
        };
        answer::find(&snapshot, &ask).unwrap().gauges_contradict
    };
    let says = clash(["rim inner diameter@inner edge=16.60 mm", "cup depth=28 mm"]).unwrap();
    assert!(
        says.contains("16.600 mm ± 0.098 mm") && says.contains("28.00 mm"),
        "{says}"
    );
    // As a method is shown, so it may be typed.
    let both = [
        "rim inner diameter@depth, at 1 mm=16.8±0.3 mm",
        "throat diameter=3.7 mm",
    ];
    assert_eq!(clash(both), None);
}

/// Everything that is said of a trace of these points with these marks.
fn trace(snapshot: &Snapshot, points: &str, [seam, throat]: [Option<&str>; 2], u: &str) -> String {
    let text = format!("depth [mm],diameter [mm]\n{points}");
    let ask = TraceAsk {
        file: "points.csv",
        text: &text,
        marks: [seam, throat, None, None],
        u: Some(u),
        gauge_u: None,
        depth_u: None,
        into: vec!["tarnbeck"],
        limit: 1,
    };
    match answer::trace(snapshot, &ask).unwrap_err() {
        TraceRefused::Asked(problem) => problem.details().detail,
        TraceRefused::File(faults) => {
            let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
            lines.join("\n")
        }
    }
}

#[test]
fn traces_that_cannot_be() {
    let snapshot = demo();
    for (points, says) in [
        (
            "0,18\n5,NaN",
            "points.csv:3:3: found `NaN`; expected a number",
        ),
        (
            "0,18\n-5,12",
            "points.csv:3:1: a depth of -5 mm; the crest plane is at 0 mm",
        ),
        (
            "0,18\ninf,12",
            "points.csv:3:1: found `inf`; expected a number",
        ),
        (
            "0,18\n5,12 kg",
            "points.csv:3:3: found a mass; expected a length",
        ),
        (
            "0,18\n5,0",
            "points.csv:3:1: a diameter of 0 mm; expected more than zero",
        ),
        ("0,18\n500,12", "no mouthpiece reaches 150 mm"),
        ("0,18\n5,19", "they may differ by 0.042 mm (k = 3.0)"),
    ] {
        let found = trace(&snapshot, points, [None, None], "0.01");
        assert!(found.contains(says), "{points}: {found}");
    }
    let good = "0,18\n2,16\n5,12\n9,4\n12,4";
    for (seam, throat, u, says) in [
        (
            "10",
            "9",
            "0.01",
            "a throat at 9 mm, not below the seam at 10 mm",
        ),
        (
            "2",
            "99",
            "0.01",
            "a throat at 99 mm; the points reach from 0 mm to 12 mm",
        ),
        (
            "-1",
            "9",
            "0.01",
            "a seam at -1 mm; the points reach from 0 mm to 12 mm",
        ),
        ("NaN", "9", "0.01", "found `NaN`; expected a number"),
        ("2 ml", "9", "0.01", "found a volume; expected a length"),
        (
            "2 ± -1",
            "9",
            "0.01",
            "found a spread of `-1`; expected zero or more",
        ),
        (
            "2",
            "9",
            "-1",
            "a standard uncertainty of -1 mm; expected more than zero",
        ),
    ] {
        let found = trace(&snapshot, good, [Some(seam), Some(throat)], u);
        assert!(found.contains(says), "{seam} {throat} {u}: {found}");
    }
}

/// Everything that is said of a plug-in of one entry with these figures.
fn plugin(snapshot: &Snapshot, figures: &[(&str, &str)]) -> String {
    let mut text = String::from(
        "scheme: zorl\ntitle: Zorl (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
         contour: {class: trumpet bowl}\nfigures:\n",
    );
    for (place, (figure, _)) in figures.iter().enumerate() {
        text += &format!("  f{place}: {{{figure}}}\n");
    }
    let columns: Vec<String> = (0..figures.len())
        .map(|place| format!("f{place}"))
        .collect();
    let cells: Vec<String> = figures
        .iter()
        .map(|(_, cell)| format!("\"{cell}\""))
        .collect();
    text += &format!(
        "entries:\n  columns: [name, {}]\n  rows:\n    - [A1, {}]\nstamps:\n  - {{part: one-piece, template: \"Z {{entry}}\"}}\n\
         examples:\n  - {{stamp: Z A1, says: {{entry: A1}}}}\n",
        columns.join(", "),
        cells.join(", ")
    );
    let checked = load::checked(
        "zorl.yml",
        text.as_bytes(),
        &snapshot.tables,
        Limits::CATALOGUE,
    );
    let lines: Vec<String> = checked
        .diagnostics
        .iter()
        .map(ToString::to_string)
        .collect();
    lines.join("\n")
}

#[test]
fn plug_ins_that_cannot_be() {
    const RIM: (&str, &str) = (
        "quantity: rim inner diameter, method: inner edge, unit: mm",
        "16.50",
    );
    const CUP: &str = "quantity: cup depth, method: centre, unit: mm";
    const SHANK: (&str, &str) = ("quantity: shank length, method: gauge, unit: mm", "20.00");
    let snapshot = demo();
    for (figures, says) in [
        (
            vec![
                (RIM.0, "8.50"),
                (
                    "quantity: throat diameter, method: gauge, unit: mm",
                    "11.90",
                ),
                (CUP, "9.00"),
            ],
            "throat diameter 11.9 mm and rim inner diameter 8.5 mm; expected throat diameter below rim inner diameter",
        ),
        (
            vec![
                (RIM.0, "12.50"),
                (
                    "quantity: throat diameter, method: gauge, unit: mm",
                    "11.90",
                ),
                (CUP, "9.00"),
            ],
            "a throat of 11.90 mm in a cup of 11.36 mm at the seam",
        ),
        (
            vec![RIM, (CUP, "-3.00")],
            "a cup depth of -3 mm; expected 2 to 80 mm",
        ),
        (vec![RIM, (CUP, "NaN")], "found `NaN`; expected a number"),
        (vec![RIM, (CUP, "inf")], "found `inf`; expected a number"),
        (
            vec![RIM, ("quantity: cup depth, method: centre, unit: ml", "10")],
            "`ml` is a unit of volume; a cup depth is a length",
        ),
        (
            vec![
                RIM,
                (
                    "quantity: cup depth, method: centre, values: {deep: 12.0..10.0 mm}",
                    "deep",
                ),
            ],
            "expected the smaller end first and the larger after it",
        ),
        (
            vec![
                RIM,
                (
                    "quantity: rim outer diameter, method: gauge, unit: mm",
                    "16.00",
                ),
            ],
            "rim inner diameter 16.5 mm and rim outer diameter 16 mm; expected rim inner diameter below rim outer diameter",
        ),
        (
            vec![
                RIM,
                (
                    "quantity: backbore length, method: gauge, unit: mm",
                    "40.00",
                ),
                (
                    "quantity: plug depth, method: plug, diameter: 6 mm, unit: mm",
                    "55.00",
                ),
            ],
            "plug depth 55 mm and backbore length 40 mm; expected plug depth below backbore length",
        ),
        (
            vec![
                RIM,
                SHANK,
                (
                    "quantity: shank diameter, method: distance, distance: 50 mm, unit: mm",
                    "9.00",
                ),
            ],
            "a distance of 50 mm on a shank of 20 mm; expected one within it",
        ),
    ] {
        let found = plugin(&snapshot, &figures);
        assert!(
            found.starts_with("zorl.yml:") && found.contains(says),
            "{figures:?}: {found}"
        );
    }
    assert_eq!(plugin(&snapshot, &[RIM, (CUP, "11.50"), SHANK]), "");
}
