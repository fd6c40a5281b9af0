//! Measured points at the counter, and what is said of a piece besides its figures.
//!
//! Proves:
//! 1. `trace` reads every neutral method that its points and marks allow, by the route `traced` with U, says
//!    what is missing of the rest, and finds the piece that the points were taken from;
//! 2. every fault of a file of points names file, line and column, here and beside a plug-in;
//! 3. a plug-in's points may stand in a file beside it and nowhere else, and a change of that file reloads;
//! 4. more figures than the metal needs are said to agree, with chi-square and p; just enough are not;
//! 5. a piece of which only a disc's depth is stated has its rim in the neutral frame;
//! 6. a named form of backbore yields the bores by other methods, its doubt shared, and is left aside whole where
//!    a piece states any figure of it.

use std::fmt::Write;
use std::fs;

use counterbore::answer::{self, Figure, Reads, Shown, TraceAsk, TraceRefused};
use counterbore::method::Quantity;
use counterbore::reload::{Current, Watch};
use counterbore::snapshot::Snapshot;

use crate::shop::Shop;

/// The points of a section of a demo piece and its marks, as text: seam and throat.
fn points(snapshot: &Snapshot, stamp: &str) -> (String, [String; 2]) {
    let found = answer::decode(snapshot, stamp).unwrap();
    let section = found.readings[0].section.clone().unwrap();
    let mut text = String::from("# invented\ndepth [mm],diameter [mm],u [um]\n");
    for point in &section.outline {
        writeln!(text, "{:.6},{:.6},2", point.z_mm, 2.0 * point.r_mm).unwrap();
    }
    let throat = section.outline.last().unwrap().z_mm;
    let marks = [section.seam_mm, throat].map(|depth| format!("{depth:.6} mm ± 0.01 mm"));
    (text, marks)
}

fn demo() -> Snapshot {
    let shop = Shop::new();
    shop.write("config.yml", "plugins: [built in]\n");
    shop.snapshot()
}

fn ask<'a>(text: &'a str, marks: [Option<&'a str>; 4]) -> TraceAsk<'a> {
    TraceAsk {
        file: "points.csv",
        text,
        marks,
        u: None,
        gauge_u: None,
        depth_u: None,
        into: vec!["tarnbeck"],
        limit: 3,
    }
}

fn shown(figure: &Figure) -> &Shown {
    match &figure.reads {
        Reads::Value(shown) => shown,
        Reads::Limits(limits) => panic!("{limits:?}"),
    }
}

#[test]
fn a_trace_is_read_and_finds_its_piece() {
    let snapshot = demo();
    let (text, [seam, throat]) = points(&snapshot, "Lyra 68/1612");
    let marks = [Some(&*seam), Some(&*throat), None, None];
    let found = answer::trace(&snapshot, &ask(&text, marks)).unwrap();
    let canonical = &found.into[0].matches[0].canonical;
    assert!(canonical.starts_with("Lyra 68/1612"), "{canonical}");
    let of = |quantity: &str| found.neutral.iter().find(|one| one.quantity == quantity);
    let own = answer::decode(&snapshot, "Lyra 68/1612").unwrap();
    for quantity in ["rim inner diameter", "cup depth", "cup volume"] {
        let read = of(quantity).unwrap().measured.as_ref().unwrap();
        assert_eq!(read.route.kind, "traced");
        let mut stated = own.readings[0].neutral.iter();
        let stated = stated.find(|one| one.quantity == quantity).unwrap();
        let stated = stated.measured.as_ref().unwrap();
        let (ours, theirs): (f64, f64) = (
            shown(read).value.parse().unwrap(),
            shown(stated).value.parse().unwrap(),
        );
        let apart: f64 = shown(stated).plus_minus.parse().unwrap();
        assert!(
            (ours - theirs).abs() <= apart,
            "{quantity}: {ours} {theirs}"
        );
        assert!(shown(read).plus_minus.parse::<f64>().unwrap() > 0.0);
    }
    let outside = of("rim outer diameter").unwrap();
    assert!(outside.measured.is_none());
    assert!(outside.cannot.as_ref().unwrap().contains("no points there"));
}

fn refused(text: &str, u: Option<&str>, marks: [Option<&str>; 4]) -> String {
    let wish = TraceAsk {
        u,
        ..ask(text, marks)
    };
    match answer::trace(&demo(), &wish).unwrap_err() {
        TraceRefused::Asked(problem) => problem.message.to_string(),
        TraceRefused::File(faults) => {
            let all: Vec<String> = faults.iter().map(ToString::to_string).collect();
            all.join("\n")
        }
    }
}

#[test]
fn faults_of_a_trace_name_their_place() {
    let head = "depth [mm],diameter [mm]\n";
    let none = [None; 4];
    let widens = format!("{head}0,18\n2,16\n3,17\n");
    let said = refused(&widens, Some("0.01"), none);
    assert!(
        said.starts_with("points.csv:4:1: 16 mm across at 2 mm and 17 mm"),
        "{said}"
    );
    assert!(
        said.contains("points.csv:3:1: against this point"),
        "{said}"
    );
    let said = refused(&format!("{head}0,18\n2, 16x\n"), Some("0.01"), none);
    assert!(said.starts_with("points.csv:3:4: "), "{said}");
    let good = format!("{head}0,18\n2,16\n");
    assert!(refused(&good, None, none).contains("no uncertainty of its diameters"));
    let far = refused(&good, Some("0.01 mm"), [Some("9"), None, None, None]);
    assert!(far.starts_with("`--seam`: a seam at 9 mm"), "{far}");
    let angle = refused(&good, Some("1 deg"), none);
    assert!(angle.starts_with("`--u 1 deg`: "), "{angle}");
    let certain = refused(&good, Some("0"), none);
    assert!(
        certain.starts_with("`--u`: a standard uncertainty of 0 mm"),
        "{certain}"
    );
    let wide = refused(&good, Some("1 m"), none);
    assert!(wide.contains("less than the diameter, 18 mm"), "{wide}");
    let stated = "depth [mm],diameter [mm],u [um]\n0,18,10\n2,16,10\n";
    let both = refused(stated, Some("0.01"), none);
    assert!(both.contains("in its column `u`"), "{both}");
}

#[test]
fn faults_of_a_file_of_points_have_a_mend() {
    let head = "depth [mm],diameter [mm]\n";
    for text in [
        String::new(),
        "depth,diameter\n".into(),
        "depth [mm],width [mm]\n".into(),
        "depth [mm]\n".into(),
        "depth [mm],depth [mm]\n".into(),
        "depth [deg],diameter [mm]\n".into(),
        format!("{head}0,18,1\n"),
        format!("{head}0,18x\n"),
        format!("{head}0,18 ml\n"),
    ] {
        let wish = ask(&text, [None; 4]);
        let TraceRefused::File(faults) = answer::trace(&demo(), &wish).unwrap_err() else {
            panic!("{text}: not the file's")
        };
        assert!(
            faults.iter().all(|one| one.hint.is_some()),
            "{text}: {faults:?}"
        );
    }
    let many: String = (0..20_002).map(|place| format!("{place},18\n")).collect();
    let said = refused(&format!("{head}{many}"), Some("0.01"), [None; 4]);
    assert_eq!(
        said.lines().next(),
        Some("points.csv:20002:1: more than 20000 points [bad-trace]")
    );
}

/// A scheme of one entry with its trace.
fn scheme(trace: &str) -> String {
    format!(
        "# invented\nscheme: quillet\ntitle: Quillet (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
         figures:\n  rim: {{quantity: rim inner diameter, method: seam, unit: mm, tolerance: 0.1 mm}}\n  \
         cup: {{quantity: cup depth, method: centre, unit: mm, tolerance: 0.2 mm}}\n\
         entries:\n  columns: [name, rim, cup]\n  rows:\n    - [A1, \"16.10\", \"11.20\"]\n\
         traces:\n  - {{entry: A1, u: 0.01 mm, seam: 2.4 mm ± 0.05 mm, throat: 11.2 mm ± 0.1 mm, {trace}}}\n\
         stamps:\n  - {{part: one-piece, template: \"Q {{entry}}\"}}\nexamples:\n  - {{stamp: Q A1, says: {{entry: A1}}}}\n"
    )
}

const POINTS: &str = "# invented\ndepth [mm],diameter [mm]\n0.00,18.200\n0.05,17.576\n0.10,17.328\n0.15,17.146\n0.20,17.000\n0.25,16.877\n0.30,16.772\n0.35,16.680\n0.40,16.600\n0.45,16.530\n0.50,16.468\n0.55,16.414\n0.60,16.367\n0.65,16.327\n0.70,16.292\n0.75,16.264\n0.80,16.240\n0.85,16.223\n0.90,16.210\n0.95,16.203\n1.00,16.200\n1.35,16.180\n1.70,16.160\n2.05,16.140\n2.40,16.120\n4.20,15.140\n6.00,13.148\n8.00,10.094\n9.60,7.111\n10.60,5.027\n11.20,3.700\n12.10,3.700\n13.00,3.700\n";

/// How wide the rim is in the neutral frame, and by which route.
fn rim(snapshot: &Snapshot) -> (String, String) {
    let found = answer::decode(snapshot, "Q A1").unwrap();
    let neutral = &found.readings[0].neutral;
    let rim = neutral
        .iter()
        .find(|one| one.quantity == "rim inner diameter")
        .unwrap();
    let measured = rim.measured.as_ref().unwrap();
    assert!(
        neutral.iter().any(|one| one.quantity == "throat diameter"),
        "the trace tells it"
    );
    (
        measured.route.kind.clone(),
        format!("{:?}", shown(measured).amount),
    )
}

#[test]
fn points_may_stand_beside_a_plug_in_and_reload_with_it() {
    let shop = Shop::new();
    shop.write("plugins/q.yml", &scheme("file: a1.csv"));
    shop.write("plugins/a1.csv", POINTS);
    let config = shop.config();
    let current = Current::new(shop.snapshot());
    let before = current.snapshot();
    assert!(
        before.broken().next().is_none(),
        "{:?}",
        before.files[0].diagnostics
    );
    assert_eq!(rim(&before).0, "traced");
    let same = current.reload(&config);
    assert!(std::sync::Arc::ptr_eq(&before.schemes[0], &same.schemes[0]));
    assert_eq!(before.hash, same.hash);

    let mut watch = Watch::new(&config);
    shop.write(
        "plugins/a1.csv",
        &POINTS.replace("0.30,16.772", "0.30,16.79200"),
    );
    assert!(!watch.is_due(&current, &config), "not yet at rest");
    assert!(watch.is_due(&current, &config), "a file beside counts");
    let after = current.reload(&config);
    assert_ne!(before.hash, after.hash);
    assert_ne!(rim(&before).1, rim(&after).1);

    shop.write(
        "plugins/a1.csv",
        &POINTS.replace("2.40,16.120", "2.40,16.120x"),
    );
    let kept = current.reload(&config);
    assert_eq!(rim(&kept), rim(&after), "the last good version stays");
    let fault = &kept.files[0].diagnostics[0];
    assert!(
        fault.message.to_string().starts_with("`a1.csv`, 27:6: "),
        "{fault}"
    );
    assert_eq!((fault.code, fault.place.line), ("bad-trace", 15));
    shop.write("plugins/a1.csv", POINTS);
    assert_eq!(current.reload(&config).hash, before.hash, "mended");
}

#[test]
fn a_file_beside_is_a_plain_name_in_the_same_folder() {
    let shop = Shop::new();
    fs::write(shop.path("outside.csv"), POINTS).unwrap();
    shop.write("plugins/huge.csv", &"#\n".repeat(1_000_000));
    shop.write(
        "plugins/grows.csv",
        &POINTS.replace("1.00,16.200", "1.00,17.20"),
    );
    #[cfg(unix)]
    std::os::unix::fs::symlink(shop.path("outside.csv"), shop.path("plugins/link.csv")).unwrap();
    for (trace, says) in [
        ("file: ../outside.csv", "is no plain name"),
        ("file: a1.yml", "is no plain name"),
        ("file: .a1.csv", "is no plain name"),
        (
            "file: missing.csv",
            "`missing.csv`: the file cannot be read",
        ),
        ("file: huge.csv", "more than the 1048576 it may have"),
        #[cfg(unix)]
        ("file: link.csv", "outside its folder"),
        ("file: grows.csv", "`grows.csv`, 23:1, against line 22"),
        ("file: a1.csv, unit: mm", "points here and in a file"),
        (
            "points: [[0, 18], [2.4, 16.1]]",
            "without the unit of its points",
        ),
        ("unit: mm", "0 points"),
    ] {
        shop.write("plugins/q.yml", &scheme(trace));
        let snapshot = shop.snapshot();
        let faults = &snapshot.files[0].diagnostics;
        assert!(
            faults
                .iter()
                .any(|one| one.message.to_string().contains(says)),
            "{trace}: {faults:#?}"
        );
    }
}

/// A scheme of one entry that states these figures, each `name: (method, value)`.
fn stating(figures: &[(&str, &str, &str)]) -> String {
    let mut text = String::from(
        "# invented\nscheme: quillet\ntitle: Quillet (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
         contour: {class: trumpet bowl}\nfigures:\n",
    );
    for (place, (quantity, method, _)) in figures.iter().enumerate() {
        writeln!(
            text,
            "  f{place}: {{quantity: {quantity}, method: {method}, unit: mm, tolerance: 0.03 mm}}"
        )
        .unwrap();
    }
    let names: Vec<String> = (0..figures.len())
        .map(|place| format!("f{place}"))
        .collect();
    let values: Vec<String> = figures
        .iter()
        .map(|(_, _, value)| format!("\"{value}\""))
        .collect();
    writeln!(
        text,
        "entries:\n  columns: [name, {}]\n  rows:\n    - [A1, {}]\nstamps:\n  - {{part: one-piece, template: \"Q {{entry}}\"}}\nexamples:\n  - {{stamp: Q A1, says: {{entry: A1}}}}",
        names.join(", "),
        values.join(", ")
    )
    .unwrap();
    text
}

fn reading(figures: &[(&str, &str, &str)]) -> answer::ReadingAnswer {
    let shop = Shop::new();
    shop.write("plugins/q.yml", &stating(figures));
    let snapshot = shop.snapshot();
    assert!(
        snapshot.broken().next().is_none(),
        "{:#?}",
        snapshot.files[0].diagnostics
    );
    answer::decode(&snapshot, "Q A1")
        .unwrap()
        .readings
        .remove(0)
}

#[test]
fn more_figures_than_are_needed_are_said_to_agree() {
    let rim = ("rim inner diameter", "seam", "16.10");
    let alone = reading(&[rim]);
    assert!(alone.agreement.is_none());
    let by_edge = shown(alone.neutral[0].measured.as_ref().unwrap())
        .value
        .clone();
    let edge = ("rim inner diameter", "inner edge", &*by_edge);
    let found = reading(&[rim, edge]).agreement.unwrap();
    assert_eq!(found.to_spare, 1);
    assert!(found.chi_square >= 0.0 && found.p > 0.0027 && found.p <= 1.0);
    let line = format!(
        "its figures agree: chi-square {:.1} with 1 to spare, p = {:.2}",
        found.chi_square, found.p
    );
    assert_eq!(found.says, line);
}

#[test]
fn a_disc_alone_tells_the_rim() {
    let found = reading(&[("disc depth", "disc, diameter: 16.50 mm", "1.20")]);
    let mut neutral = found.neutral.iter();
    let rim = neutral
        .find(|one| one.quantity == "rim inner diameter")
        .unwrap();
    let rim = rim
        .measured
        .as_ref()
        .unwrap_or_else(|| panic!("{:?}", rim.cannot));
    let value: f64 = shown(rim).value.parse().unwrap();
    assert!((16.5..18.0).contains(&value), "{value}");
}

/// A scheme of three series on one form of backbore.
fn on_a_form() -> String {
    String::from(
        "# invented\nscheme: quillet\ntitle: Quillet (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
         contour: {class: trumpet bowl}\nfigures:\n  rim: {quantity: rim inner diameter, method: seam, unit: mm, grid: {from: 15.50, to: 17.00, step: 0.25}, tolerance: 0.03 mm}\n  \
         throat: {quantity: throat diameter, method: gauge, unit: mm, tolerance: 0.02 mm}\n  \
         end: {quantity: exit diameter, method: gauge, unit: mm, tolerance: 0.02 mm}\n\
         backbores:\n  slow: {throat_length: 4 mm ± 0.5 mm, length: 64 mm ± 0.5 mm, bore: 6.0 mm ± 0.1 mm, exit: 8.8 mm ± 0.1 mm}\n\
         series:\n  lark: {words: [Lark], backbore: slow, implies: {throat: \"3.70\"}}\n  wren: {words: [Wren], backbore: slow, implies: {throat: \"3.80\", end: \"8.50\"}}\n  rook: {words: [Rook], backbore: slow, implies: {throat: \"6.10\"}}\n\
         stamps:\n  - {part: one-piece, template: \"{series} {rim}\"}\nexamples:\n  - {stamp: Lark 16.00, says: {series: lark, rim: \"16.00\"}}\n",
    )
}

#[test]
fn a_named_form_of_backbore_tells_what_other_methods_read() {
    let shop = Shop::new();
    shop.write("plugins/q.yml", &on_a_form());
    let snapshot = shop.snapshot();
    assert!(
        snapshot.files[0].diagnostics.is_empty(),
        "{:#?}",
        snapshot.files[0].diagnostics
    );
    let made = |stamp: &str| {
        let readings = snapshot.decoder.decode(stamp).readings;
        let reading = &readings[0];
        reading
            .scheme
            .make(&reading.bindings(), &reading.stamps())
            .piece
    };
    let method = |name: &str| {
        let methods = &snapshot.tables.methods;
        methods.parse(Quantity::BackboreBore, name).unwrap()
    };
    let bore = |stamp: &str, name: &str| made(stamp).carry(&method(name)).best().cloned();
    let mean = bore("Lark 16.00", "mean bore").unwrap();
    assert!((mean.estimate.value() - 6.0).abs() < 1e-9);
    // r = r0 + (r1 - r0) t^p over the length: its mean gives p, the mean of its square the bore by volume.
    let (throat, exit) = (3.70, 8.80);
    let share = (6.0 - throat) / (exit - throat);
    let power = 1.0 / share - 1.0;
    let square = throat * throat
        + 2.0 * throat * (exit - throat) * share
        + (exit - throat) * (exit - throat) / (2.0 * power + 1.0);
    let by_volume = bore("Lark 16.00", "equivalent bore").unwrap();
    assert!((by_volume.estimate.value() - f64::sqrt(square)).abs() < 1e-6);
    assert!(by_volume.estimate.u() > 0.0);
    let other = bore("Lark 16.25", "mean bore").unwrap();
    assert!(
        mean.estimate.minus(&other.estimate).u() < 1e-9,
        "one form, one doubt"
    );
    let left_aside = made("Wren 16.00").carry(&method("mean bore"));
    assert!(left_aside.best().is_none(), "another exit is another bore");
    let wide = made("Rook 16.00");
    assert!(
        wide.carry(&method("mean bore")).best().is_none(),
        "its throat is wider than that"
    );
    assert!(wide.profile().is_some(), "and the rest of it is known");
}
