//! The wall chart, as data, on paper and over HTTP.
//!
//! 1. A size is what the same method reads on a piece of that name.
//! 2. A size whose name does not say the rim has the rims of the scheme as a source of its doubt.
//! 3. On every sheet no words touch others, none leaves the sheet, and names that are not written are counted.
//! 4. Chromium prints it on one page of the sheet that was chosen.
//! 5. Nothing chosen, and a scheme that is not there, are said in place; hostile titles stay text.

use std::process::Command;

use counterbore::answer::{Amount, ChartAnswer, Figure, chart, chart_measures, decode};
use counterbore::config::Flags;
use counterbore::paper::chart::{Sheet, draw};
use counterbore::paper::drawing::Drawing;
use counterbore::snapshot::Snapshot;

use crate::shop::Shop;
use crate::web::Server;

fn demo() -> Snapshot {
    let shop = Shop::new();
    let plugins = concat!(env!("CARGO_MANIFEST_DIR"), "/plugins").into();
    let flags = Flags {
        plugins: vec![plugins],
        ..Flags::default()
    };
    Snapshot::load(&shop.try_config(&flags).unwrap()).unwrap()
}

fn all(snapshot: &Snapshot) -> Vec<&str> {
    snapshot.schemes.iter().map(|one| one.id.as_str()).collect()
}

fn size<'a>(answer: &'a ChartAnswer, of: &str, name: &str) -> &'a counterbore::answer::ChartSize {
    let lane = answer.lanes.iter().find(|lane| lane.of == of).unwrap();
    lane.sizes
        .iter()
        .find(|size| size.names.iter().any(|one| one == name))
        .unwrap()
}

#[test]
fn seams_of_different_makers_are_no_scale() {
    let why = chart(&demo(), &["tarnbeck", "skarrow"], "rim inner diameter@seam").unwrap_err();
    assert!(
        why.message.to_string().contains("cannot be compared by it"),
        "{}",
        why.message
    );
}

#[test]
fn a_size_is_what_the_method_reads_on_a_piece_of_that_name() {
    let snapshot = demo();
    let charted = chart(&snapshot, &["vossaby"], "rim inner diameter@inner edge").unwrap();
    let read = decode(&snapshot, "38 L").unwrap();
    let neutral = &read.readings[0].neutral[0];
    let measured = neutral.measured.as_ref().unwrap();
    let on_chart = &size(&charted, "catalogue", "38 L").figure;
    assert_eq!(
        (&on_chart.quantity, on_chart.amount()),
        (&measured.quantity, measured.amount())
    );
    let grid = chart(&snapshot, &["tarnbeck"], "rim inner diameter").unwrap();
    let read = decode(&snapshot, "Lyra 68/1612").unwrap();
    let measured = read.readings[0].neutral[0].measured.as_ref().unwrap();
    assert_eq!(
        size(&grid, "Lyra", "1612").figure.amount(),
        measured.amount()
    );
}

#[test]
fn what_the_name_of_a_depth_leaves_open_is_doubt() {
    let snapshot = demo();
    let charted = chart(&snapshot, &["tarnbeck"], "cup depth@centre").unwrap();
    let open = &size(&charted, "Lyra", "68").figure;
    let read = decode(&snapshot, "Lyra 68/1612").unwrap();
    let depth = read.readings[0]
        .neutral
        .iter()
        .find(|one| one.quantity == "cup depth")
        .unwrap();
    let pinned = depth.measured.as_ref().unwrap();
    let parts = |figure: &Figure| match figure.amount() {
        Some(Amount::Length { value_mm, u_mm, .. }) => (*value_mm, *u_mm),
        other => panic!("a depth is a length: {other:?}"),
    };
    let ((open_mm, open_u_mm), (pinned_mm, pinned_u_mm)) = (parts(open), parts(pinned));
    assert!(open_u_mm > pinned_u_mm, "{open:?} {pinned:?}");
    assert!((open_mm - pinned_mm).abs() < open_u_mm);
    assert!(
        open.route
            .text
            .ends_with("half way to the same with the rim 1720")
    );
}

fn nothing_touches(drawing: &Drawing, what: &str) {
    let bounds: Vec<_> = drawing
        .runs()
        .map(|run| (run.bounds(), &run.text))
        .collect();
    for (place, (one, text)) in bounds.iter().enumerate() {
        let within = one.left >= 0.0
            && one.right <= drawing.width_mm + 0.01
            && one.top >= 0.0
            && one.bottom <= drawing.height_mm;
        assert!(within, "{what}: `{text}` leaves the sheet: {one:?}");
        for (other, touched) in &bounds[place + 1..] {
            assert!(!one.overlaps(other), "{what}: `{text}` touches `{touched}`");
        }
    }
}

#[test]
fn on_every_sheet_no_words_touch_and_none_leave_it() {
    let snapshot = demo();
    let schemes = all(&snapshot);
    for measure in chart_measures(&snapshot) {
        let answer = chart(&snapshot, &schemes, &measure).unwrap();
        for name in Sheet::NAMES {
            nothing_touches(
                &draw(&answer, Sheet::named(name).unwrap()),
                &format!("{measure} on {name}"),
            );
        }
    }
}

#[test]
fn names_that_are_not_written_are_counted() {
    let snapshot = demo();
    let answer = chart(&snapshot, &["vossaby"], "rim inner diameter").unwrap();
    let names: usize = answer.lanes[0]
        .sizes
        .iter()
        .map(|one| one.names.len())
        .sum();
    let drawing = draw(&answer, Sheet::A4);
    let texts: Vec<&str> = drawing.runs().map(|run| run.text.as_str()).collect();
    let said = texts
        .iter()
        .find_map(|text| text.strip_suffix(" names not written"))
        .unwrap();
    let written: usize = answer.lanes[0]
        .sizes
        .iter()
        .flat_map(|one| &one.names)
        .filter(|name| {
            texts.iter().any(|text| {
                text.split(" +")
                    .next()
                    .unwrap()
                    .split(", ")
                    .any(|one| one == *name)
            })
        })
        .count();
    assert_eq!(said.parse::<usize>().unwrap() + written, names);
    let (first, last) = (
        &answer.lanes[0].sizes[0],
        answer.lanes[0].sizes.last().unwrap(),
    );
    for end in [first, last] {
        let shown = |text: &&str| end.names.iter().any(|name| text.starts_with(name.as_str()));
        assert!(texts.iter().any(shown), "{end:?} is not named");
    }
}

#[test]
fn a_choice_that_cannot_be_charted_is_answered_in_place() {
    let server = Server::start();
    let first = server.get("/chart");
    assert_eq!(first.status, 200);
    assert!(!first.text().contains("role=\"alert\""));
    let empty = server.get("/chart?measure=cup+depth&sheet=a3");
    assert_eq!(empty.status, 400);
    assert!(empty.text().contains("no scheme is chosen"));
    assert!(
        empty
            .text()
            .contains("<option value=\"a3\" selected>a3</option>"),
        "the choice is kept"
    );
    assert_eq!(server.get("/chart?scheme=osmarc").status, 404);
    assert_eq!(
        server.get("/chart?scheme=osmark&measure=length").status,
        400
    );
    assert_eq!(server.get("/chart?scheme=osmark&sheet=a0").status, 400);
    assert_eq!(server.get("/chart.svg").status, 400);
    for page in ["/chart?scheme=hostile", "/chart.svg?scheme=hostile"] {
        let page = server.get(page);
        assert_eq!(page.status, 200);
        assert!(!page.text().contains("<script>alert"), "{}", page.text());
    }
}

/// What a program says; none where it is not installed.
fn said(program: &str, arguments: &[&str]) -> Option<String> {
    let output = Command::new(program).args(arguments).output().ok()?;
    Some(String::from_utf8_lossy(&output.stdout).into_owned())
}

#[test]
fn it_prints_on_one_page_of_the_sheet_that_was_chosen() {
    if said("pdfinfo", &["-v"]).is_none() || said("chromium", &["--version"]).is_none() {
        println!("skipped: chromium or pdfinfo is not installed; tests/run installs them");
        return;
    }
    let server = Server::start();
    let folder = tempfile::tempdir().unwrap();
    // Points of 1/72 inch, which Chromium rounds to whole pixels of 1/96 inch.
    for (sheet, width, height) in [
        ("a4", 842.0, 595.0),
        ("a3", 1191.0, 842.0),
        ("letter", 792.0, 612.0),
        ("tabloid", 1224.0, 792.0),
    ] {
        let file = folder.path().join(format!("{sheet}.pdf"));
        let address = format!(
            "http://{}/chart?scheme=brindlow&scheme=osmark&sheet={sheet}",
            server.address()
        );
        let print = format!("--print-to-pdf={}", file.display());
        said(
            "chromium",
            &[
                "--headless=new",
                "--no-sandbox",
                "--disable-gpu",
                "--no-pdf-header-footer",
                &print,
                &address,
            ],
        )
        .unwrap();
        let info = said("pdfinfo", &[file.to_str().unwrap()]).unwrap();
        let line = |name: &str| {
            let line = info.lines().find_map(|line| line.strip_prefix(name));
            line.unwrap_or_else(|| panic!("{sheet}: {info}"))
                .trim()
                .to_owned()
        };
        assert_eq!(line("Pages:"), "1", "{sheet}");
        let size = line("Page size:");
        let numbers: Vec<f64> = size
            .split([' ', 'x'])
            .filter_map(|word| word.parse().ok())
            .collect();
        assert!(
            (numbers[0] - width).abs() < 1.5 && (numbers[1] - height).abs() < 1.5,
            "{sheet}: {size}"
        );
    }
}
