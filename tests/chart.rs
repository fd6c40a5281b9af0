//! The wall chart, as data, on paper and over HTTP.
//!
//! 1. A size is what the same method reads on a piece of that name.
//! 2. A size whose name does not say the rim has the rims of the scheme as a source of its doubt.
//! 3. On every sheet no words touch others, none leaves the sheet, and names that are not written are counted.
//! 4. Chromium prints it on one page of the sheet that was chosen, and a card on its paper.
//! 5. Nothing chosen, and a scheme that is not there, are said in place; hostile titles stay text.

use std::process::Command;

use counterbore::answer::{Amount, ChartAnswer, Figure, chart, chart_measures, decode};
use counterbore::config::Flags;
use counterbore::paper::chart::{Sheet, print};
use counterbore::paper::{Stationery, Want};
use counterbore::snapshot::Snapshot;

use crate::card::DAY;
use crate::shop::Shop;
use crate::web::Server;

/// The plug-ins of the program.
pub fn demo() -> Snapshot {
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

/// A word on a sheet: what it is and where its letters are, points.
#[derive(Debug)]
struct Word {
    text: String,
    left: f64,
    right: f64,
    top: f64,
    bottom: f64,
}

/// The words of a chart and the size of its sheet; none where `pdftotext` is not installed.
fn words(answer: &ChartAnswer, sheet: Sheet) -> Option<(Vec<Word>, (f64, f64))> {
    let printed = print(answer, sheet, &Stationery::built_in(), Want::Pdf(DAY)).unwrap();
    assert_eq!(printed.sizes_mm.len(), 1, "a chart is one sheet");
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("chart.pdf");
    std::fs::write(&file, printed.content.concat()).unwrap();
    let said = said("pdftotext", &["-bbox", file.to_str().unwrap(), "-"])?;
    let number = |line: &str, name: &str| -> f64 {
        let (_, rest) = line.split_once(&format!("{name}=\"")).unwrap();
        rest.split('"').next().unwrap().parse().unwrap()
    };
    let page = said.lines().find(|line| line.contains("<page ")).unwrap();
    let word = |line: &str| {
        // The box of a line of type is higher than its letters.
        let (top, bottom) = (number(line, "yMin"), number(line, "yMax"));
        let spare = 0.25 * (bottom - top);
        Word {
            text: line.split(['>', '<']).nth(2).unwrap().to_owned(),
            left: number(line, "xMin"),
            right: number(line, "xMax"),
            top: top + spare,
            bottom: bottom - spare,
        }
    };
    let words = said.lines().filter(|line| line.contains("<word "));
    let size = (number(page, "width"), number(page, "height"));
    Some((words.map(word).collect(), size))
}

fn nothing_touches(answer: &ChartAnswer, sheet: Sheet, what: &str) {
    let Some((words, (width, height))) = words(answer, sheet) else {
        println!("skipped: pdftotext is not installed; tests/run installs it");
        return;
    };
    for (place, one) in words.iter().enumerate() {
        let within = one.left >= 20.0
            && one.right <= width - 20.0
            && one.top >= 20.0
            && one.bottom <= height - 20.0;
        assert!(within, "{what}: {one:?} leaves the sheet");
        for other in &words[place + 1..] {
            let touches = one.left < other.right - 0.1
                && other.left < one.right - 0.1
                && one.top < other.bottom
                && other.top < one.bottom;
            assert!(!touches, "{what}: {one:?} touches {other:?}");
        }
    }
}

#[test]
fn on_every_sheet_no_words_touch_and_none_leave_it() {
    let snapshot = demo();
    let schemes = all(&snapshot);
    for (place, measure) in chart_measures(&snapshot).iter().enumerate() {
        let answer = chart(&snapshot, &schemes, measure).unwrap();
        let name = Sheet::NAMES[place % Sheet::NAMES.len()];
        let sheet = Sheet::named(name).unwrap();
        nothing_touches(&answer, sheet, &format!("{measure} on {name}"));
    }
}

#[test]
fn names_that_are_not_written_are_counted() {
    let snapshot = demo();
    let mut answer = chart(&snapshot, &["vossaby"], "rim inner diameter").unwrap();
    let mut names = 0;
    for size in &mut answer.lanes[0].sizes {
        for name in &mut size.names {
            *name = format!("n{names:03}");
            names += 1;
        }
    }
    let sizes = &answer.lanes[0].sizes;
    let ends = [sizes[0].names.clone(), sizes[sizes.len() - 1].names.clone()];
    let Some((words, _)) = words(&answer, Sheet::A4) else {
        return;
    };
    let texts: Vec<&str> = words
        .iter()
        .map(|word| word.text.trim_end_matches(','))
        .collect();
    let place = texts.iter().position(|text| *text == "written").unwrap();
    let unwritten: usize = texts[place - 3].parse().unwrap();
    let is_name =
        |text: &&&str| text.len() == 4 && text.starts_with('n') && text[1..].parse::<u16>().is_ok();
    let written = texts.iter().filter(is_name).count();
    assert_eq!(unwritten + written, names);
    for end in ends {
        assert!(
            end.iter().any(|name| texts.contains(&name.as_str())),
            "{end:?} is not named"
        );
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
fn a_card_prints_from_its_page_on_the_paper_that_was_chosen() {
    if said("pdfinfo", &["-v"]).is_none() || said("chromium", &["--version"]).is_none() {
        println!("skipped: chromium or pdfinfo is not installed; tests/run installs them");
        return;
    }
    let server = Server::start();
    for (paper, width, pages) in [
        ("a5", 419.5, Some("1")),
        ("a6", 297.6, None),
        ("roll-80", 226.8, Some("1")),
    ] {
        let address = format!("/card?stamp=BR+1576-110&into=osmark&paper={paper}");
        let info = printed(&server, &address);
        let size = line(&info, "Page size:");
        let printed: f64 = size.split(' ').next().unwrap().parse().unwrap();
        assert!((printed - width).abs() < 1.0, "{paper}: {size}");
        if let Some(pages) = pages {
            assert_eq!(line(&info, "Pages:"), pages, "{paper}");
        }
    }
}

/// What `pdfinfo` says of a page that Chromium prints.
fn printed(server: &Server, address: &str) -> String {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("printed.pdf");
    let print = format!("--print-to-pdf={}", file.display());
    let address = format!("http://{}{address}", server.address());
    let arguments = [
        "--headless=new",
        "--no-sandbox",
        "--disable-gpu",
        "--no-pdf-header-footer",
        &print,
        &address,
    ];
    said("chromium", &arguments).unwrap();
    said("pdfinfo", &[file.to_str().unwrap()]).unwrap()
}

fn line(info: &str, name: &str) -> String {
    let line = info.lines().find_map(|line| line.strip_prefix(name));
    line.unwrap_or_else(|| panic!("{info}")).trim().to_owned()
}

#[test]
fn it_prints_on_one_page_of_the_sheet_that_was_chosen() {
    if said("pdfinfo", &["-v"]).is_none() || said("chromium", &["--version"]).is_none() {
        println!("skipped: chromium or pdfinfo is not installed; tests/run installs them");
        return;
    }
    let server = Server::start();
    // Points of 1/72 inch, which Chromium rounds to whole pixels of 1/96 inch.
    for (sheet, width, height) in [
        ("a4", 842.0, 595.0),
        ("a3", 1191.0, 842.0),
        ("letter", 792.0, 612.0),
        ("tabloid", 1224.0, 792.0),
    ] {
        let address = format!("/chart?scheme=brindlow&scheme=osmark&sheet={sheet}");
        let info = printed(&server, &address);
        assert_eq!(line(&info, "Pages:"), "1", "{sheet}");
        let size = line(&info, "Page size:");
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
