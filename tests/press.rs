//! Card and chart through the press, judged by programs that are not ours.
//!
//! 1. every figure of a card is in its document (pdftotext);
//! 2. a document has the size of its paper, one page on a roll of any length (pdfinfo), is whole
//!    (qpdf), and is PDF/A-2a and PDF/UA-1 (page-validation);
//! 3. the same card is the same bytes;
//! 4. text of somebody else's stays text, every word of it, and stays on the sheet (pdftotext -bbox);
//! 5. the code on a card reads back as its address (zbarimg on what pdftoppm draws), also smaller;
//! 6. sheets look as they did (pdftoppm against `pictures/`), see [`alike`];
//! 7. the samples beside the templates are what templates are given.
//!
//! `tests/run` installs the programs; where one is not there, its test says that it is skipped.

use std::fs;
use std::io::BufReader;
use std::path::{Path, PathBuf};
use std::process::Command;

use counterbore::answer::{Ask, ChartAnswer, chart};
use counterbore::card::Card;
use counterbore::config::Paper;
use counterbore::paper::chart::{Sheet, given as chart_given, print};
use counterbore::paper::{Form, Printed, Stationery, Want, Work, given, render};
use serde_json::Value;
use tempfile::TempDir;

use super::card::{DAY, card, card_saying};
use super::paper::{HOSTILE, assert_figures, plain};
use super::shop::Shop;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn paper(name: &str) -> Paper {
    Paper::named(name).unwrap()
}

fn pdf(card: &Card, on: &str) -> Vec<u8> {
    render(card, Form::Pdf, paper(on), &Stationery::built_in()).unwrap()
}

/// A card with an address that a telephone reaches.
fn reachable() -> Card {
    Card {
        address: "http://counter.example:8017/card?stamp=Lyra%2066%2F1634&into=skarrow,oblund"
            .into(),
        scannable: true,
        ..card()
    }
}

fn chart_of(schemes: &[&str], measure: &str) -> ChartAnswer {
    let shop = Shop::new();
    let folder = root().join("tests/plugins");
    shop.write("config.yml", &format!("plugins: [{}]\n", folder.display()));
    chart(&shop.snapshot(), schemes, measure).unwrap()
}

fn chart_pdf(sheet: Sheet) -> Vec<u8> {
    let charted = chart_of(&["brindlow", "osmark"], "rim inner diameter");
    let printed = print(&charted, sheet, &Stationery::built_in(), Want::Pdf(DAY)).unwrap();
    printed.content.concat()
}

/// A document in a folder that goes away with it.
struct Document {
    folder: TempDir,
}

impl Document {
    fn of(bytes: &[u8]) -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("sheet.pdf"), bytes).unwrap();
        Self { folder }
    }

    fn file(&self) -> PathBuf {
        self.folder.path().join("sheet.pdf")
    }

    /// What a program says of it; none where that is not installed.
    fn said(&self, program: &str, before: &[&str], after: &[&str]) -> Option<String> {
        let ran = Command::new(program)
            .args(before)
            .arg(self.file())
            .args(after)
            .current_dir(self.folder.path())
            .output();
        let Ok(output) = ran else {
            println!("skipped: {program} is not installed; tests/run installs it");
            return None;
        };
        let told = String::from_utf8_lossy(&output.stderr);
        assert!(output.status.success(), "{program}: {told}");
        Some(String::from_utf8_lossy(&output.stdout).into_owned())
    }

    fn words(&self) -> Option<String> {
        Some(plain(&self.said("pdftotext", &["-layout"], &["-"])?))
    }

    /// The picture of a page, dots to the inch.
    fn picture(&self, dots: u32, page: usize) -> Option<Picture> {
        let (dots, page) = (dots.to_string(), page.to_string());
        let asked = ["-png", "-gray", "-singlefile", "-r", &dots, "-f", &page];
        self.said("pdftoppm", &asked, &["page"])?;
        Some(Picture::read(&self.drawn()))
    }

    /// The file of the picture.
    fn drawn(&self) -> PathBuf {
        self.folder.path().join("page.png")
    }
}

/// A line of `pdfinfo`.
fn line(info: &str, name: &str) -> String {
    let line = info.lines().find_map(|line| line.strip_prefix(name));
    line.unwrap_or_else(|| panic!("{info}")).trim().to_owned()
}

#[test]
fn every_figure_is_in_the_document_on_every_paper() {
    for name in Paper::NAMES {
        if let Some(words) = Document::of(&pdf(&card(), name)).words() {
            assert_figures(&card(), &words, name);
            assert!(words.contains("2031-04-05"), "{words}");
        }
    }
}

#[test]
fn a_document_has_the_size_of_its_paper() {
    let mut long = card();
    long.into = vec![long.into[0].clone(); 9];
    for (card, single) in [(card(), true), (long, false)] {
        for name in Paper::NAMES {
            let Some(info) = Document::of(&pdf(&card, name)).said("pdfinfo", &[], &[]) else {
                return;
            };
            let size = line(&info, "Page size:");
            let sides: Vec<f64> = size
                .split(' ')
                .filter_map(|word| word.parse().ok())
                .collect();
            let (width, height) = paper(name).size_mm();
            let points = |mm: f64| mm / 25.4 * 72.0;
            assert!((sides[0] - points(width)).abs() < 0.5, "{name}: {size}");
            if let Some(height) = height {
                assert!((sides[1] - points(height)).abs() < 0.5, "{name}: {size}");
            }
            let pages = line(&info, "Pages:");
            if height.is_none() || (single && name != &"a6") {
                assert_eq!(pages, "1", "{name}");
            } else {
                assert!(pages.parse::<usize>().unwrap() < 9, "{name}: {pages}");
            }
            assert_eq!(line(&info, "Tagged:"), "yes");
        }
    }
}

/// Stamps of the demo schemes: of one part and of several, near to others and far from all.
const DEMO: [&str; 14] = [
    "T5d-2B",
    "Y6k",
    "T6f/t + 4b",
    "T2a-2A/n z",
    "20.50 4 RR",
    "Hag 19.00/1.7-5 T",
    "140 rd Lg Au",
    "Hulk 1 1/4 x 26.0 P",
    "644",
    "644 + full 3.65",
    "Lyra 68/1612",
    "Crater 82/1720 GP",
    "Crater 78/1624 + bore E K",
    "38 L",
];

/// Nothing is near it in three of four schemes, each of which says why: with the square for telephones it
/// needs a third page of A6.
const TOO_MUCH: &str = "Crater 82/1720 GP";

/// Every demo piece in every scheme is one sheet, with no words on it smaller than 7.5 points.
#[test]
fn a_card_is_one_sheet_with_two_sides() {
    let shop = Shop::new();
    shop.write(
        "config.yml",
        &format!(
            "plugins: [{}]\nshop: {{name: Vellamoor Brass Bench, address: 3 Solder Lane}}\n",
            root().join("plugins").display()
        ),
    );
    let (snapshot, config) = (shop.snapshot(), shop.config());
    for stamp in DEMO {
        let ask = Ask {
            stamp,
            into: Vec::new(),
            reading: 1,
            limit: 3,
        };
        let card = Card::of(&snapshot, &config, &ask, "http://192.0.2.7:8017", DAY).unwrap();
        for name in ["a6", "a5", "half-letter"] {
            let given = given::card(&card, paper(name), None);
            assert!(given["paper"]["smallest_pt"].as_f64().unwrap() >= 7.5);
            let printed = Stationery::built_in()
                .print(Work::Card, &given, Want::Drawings)
                .unwrap();
            let pages = printed.sizes_mm.len();
            let most = if stamp == TOO_MUCH && name == "a6" {
                3
            } else {
                2
            };
            assert!(pages <= most, "{stamp} takes {pages} pages of {name}");
            if card.into.is_empty() {
                assert_eq!(pages, 1, "{stamp} on {name}");
            }
        }
    }
}

#[test]
fn a_roll_is_as_long_as_what_stands_on_it() {
    let mut short = card();
    short.into.clear();
    let long = |card: &Card| {
        let given = given::card(card, Paper::Roll80, None);
        let printed = Stationery::built_in().print(Work::Card, &given, Want::Drawings);
        printed.unwrap().sizes_mm[0].1
    };
    let (short, whole) = (long(&short), long(&card()));
    assert!(short + 20.0 < whole, "{short} mm, {whole} mm");
}

#[test]
fn documents_are_whole_archives_keep_them_and_they_can_be_read_aloud() {
    let mut documents: Vec<(String, Vec<u8>)> = Paper::NAMES
        .iter()
        .map(|name| ((*name).to_owned(), pdf(&reachable(), name)))
        .collect();
    documents.push(("hostile".into(), pdf(&card_saying(HOSTILE[6]), "a5")));
    documents.push(("chart".into(), chart_pdf(Sheet::A4)));
    for (name, bytes) in documents {
        let document = Document::of(&bytes);
        document.said("qpdf", &["--check"], &[]);
        let python = root().join("target/oracle/bin/python");
        let script = root().join("tests/oracle/archive.py");
        if !python.is_file() {
            println!("skipped: no {}; tests/run prepares it", python.display());
            continue;
        }
        let said = document.said(python.to_str().unwrap(), &[script.to_str().unwrap()], &[]);
        assert_eq!(said.as_deref().map(str::trim), Some("2a ua1"), "{name}");
    }
}

#[test]
fn the_same_card_is_the_same_bytes() {
    for name in Paper::NAMES {
        assert!(pdf(&card(), name) == pdf(&card(), name), "{name}");
    }
    assert!(chart_pdf(Sheet::A3) == chart_pdf(Sheet::A3));
    let svg = || render(&card(), Form::Svg, Paper::A5, &Stationery::built_in()).unwrap();
    assert!(svg() == svg());
}

#[test]
fn hostile_text_stays_text_and_on_the_sheet() {
    let long = ["W".repeat(5000), "i ".repeat(2500), "mm ± ".repeat(1000)];
    for hostile in HOSTILE.into_iter().chain(long.iter().map(String::as_str)) {
        let papers: &[&str] = if hostile.starts_with('W') {
            &["a6", "roll-80"]
        } else {
            &["roll-80"]
        };
        for name in papers {
            let document = Document::of(&pdf(&card_saying(hostile), name));
            let Some(boxes) = document.said("pdftotext", &["-bbox"], &["-"]) else {
                return;
            };
            assert_on_sheet(&boxes, hostile);
        }
    }
    let document = Document::of(&pdf(&card_saying(HOSTILE[6]), "a5"));
    let words = document.words().unwrap();
    assert!(
        words.contains("#panic() #{71993 * 7} $x$ *bold*"),
        "{words}"
    );
    let document = Document::of(&pdf(&card_saying("a\u{202e}b"), "a5"));
    assert!(document.words().unwrap().contains("a[U+202E]b"));
}

/// Every word within the page, by at least what printers leave white; a space that ends a line may stand out a little.
fn assert_on_sheet(boxes: &str, what: &str) {
    let number = |line: &str, name: &str| -> f64 {
        let (_, rest) = line.split_once(&format!("{name}=\"")).unwrap();
        rest.split('"').next().unwrap().parse().unwrap()
    };
    let (mut width, mut height, mut seen) = (0.0, 0.0, 0);
    for line in boxes.lines() {
        if line.contains("<page ") {
            (width, height) = (number(line, "width"), number(line, "height"));
        } else if line.contains("<word ") {
            let inside = number(line, "xMin") > 8.0
                && number(line, "xMax") < width - 6.0
                && number(line, "yMin") > 5.0
                && number(line, "yMax") < height - 5.0;
            assert!(inside, "{width} × {height}, {what:.40}: {line}");
            seen += 1;
        }
    }
    assert!(seen > 30, "{seen} words: {what:.40}");
}

#[test]
fn the_code_reads_back_as_the_address() {
    let card = reachable();
    for (name, dots) in [("a6", 300), ("a6", 203), ("roll-80", 203)] {
        let document = Document::of(&pdf(&card, name));
        let pages = Stationery::built_in()
            .print(
                Work::Card,
                &given::card(&card, paper(name), None),
                Want::Drawings,
            )
            .unwrap()
            .sizes_mm
            .len();
        if document.picture(dots, pages).is_none() {
            return;
        }
        let ran = Command::new("zbarimg")
            .args(["--quiet", "--raw", "-Sdisable", "-Sqrcode.enable"])
            .arg(document.drawn())
            .output();
        let Ok(output) = ran else {
            println!("skipped: zbarimg is not installed; tests/run installs it");
            return;
        };
        assert_eq!(
            String::from_utf8_lossy(&output.stdout).trim(),
            card.address,
            "{name} at {dots}"
        );
    }
    let boring = given::card(&super::card::card(), Paper::A6, None);
    assert!(
        boring["blocks"].as_array().unwrap().last().unwrap()["code"].is_null(),
        "no telephone reaches this machine's own address"
    );
}

/// A grey picture.
struct Picture {
    width: usize,
    dots: Vec<u8>,
}

impl Picture {
    fn read(file: &Path) -> Self {
        let file = BufReader::new(fs::File::open(file).unwrap());
        let mut reader = png::Decoder::new(file).read_info().unwrap();
        let mut dots = vec![0; reader.output_buffer_size().unwrap()];
        let frame = reader.next_frame(&mut dots).unwrap();
        assert_eq!(frame.bit_depth, png::BitDepth::Eight);
        // Some versions of poppler write grey as three equal channels.
        let channels = frame.color_type.samples();
        Self {
            width: frame.width as usize,
            dots: dots.into_iter().step_by(channels).collect(),
        }
    }

    fn height(&self) -> usize {
        self.dots.len() / self.width
    }

    /// The greatest darkness of a dot and those around it, so that a hair's shift is none.
    fn darkest(&self, x: usize, y: usize) -> u8 {
        let rows = y.saturating_sub(1)..(y + 2).min(self.height());
        let near = |row: usize| {
            let from = row * self.width;
            &self.dots[from + x.saturating_sub(1)..from + (x + 2).min(self.width)]
        };
        rows.flat_map(near).copied().min().unwrap_or(255)
    }
}

/// How dark a dot must be that the other picture has nothing of, of 255.
const DARK: u8 = 90;

/// The share of such dots that is let pass: another version of poppler draws hairs otherwise.
const SHARE: f64 = 0.002;

/// Nearly every dark dot of one picture has a dark one of the other in its place or beside it, both ways. A
/// word that moved by a millimetre, a line that is gone or a figure in another place are above it.
fn alike(one: &Picture, other: &Picture) -> Result<(), String> {
    if (one.width, one.height()) != (other.width, other.height()) {
        return Err("they differ in size".into());
    }
    let lost = |a: &Picture, b: &Picture| {
        let dark = (0..a.dots.len()).filter(|place| a.dots[*place] < DARK);
        let dark: Vec<usize> = dark.collect();
        let alone = dark
            .iter()
            .filter(|place| b.darkest(*place % b.width, *place / b.width) > 255 - DARK);
        alone.count() as f64 / dark.len().max(1) as f64
    };
    let worst = lost(one, other).max(lost(other, one));
    if worst > SHARE {
        return Err(format!("{:.2} % of the dark dots differ", 100.0 * worst));
    }
    Ok(())
}

/// Dots to the inch of the stored pictures.
const DOTS: u32 = 100;

/// Holds a page against its stored picture. With `COUNTERBORE_REDRAW` set it is stored anew, to be looked at
/// before it is committed.
fn assert_looks(name: &str, bytes: &[u8]) {
    let document = Document::of(bytes);
    let Some(now) = document.picture(DOTS, 1) else {
        return;
    };
    let file = root().join(format!("tests/pictures/{name}.png"));
    if std::env::var_os("COUNTERBORE_REDRAW").is_some() {
        fs::copy(document.drawn(), &file).unwrap();
    }
    if let Err(how) = alike(&Picture::read(&file), &now) {
        panic!(
            "{name} looks different: {how}; look at it, then store it with COUNTERBORE_REDRAW=1"
        );
    }
}

#[test]
fn sheets_look_as_they_did() {
    let mut section = card();
    section.reading.figures.clear();
    section.reading.neutral.clear();
    section.into.clear();
    assert_looks("press-card", &pdf(&reachable(), "a5"));
    assert_looks("press-section", &pdf(&section, "a6"));
    assert_looks("press-chart", &chart_pdf(Sheet::A4));
}

#[test]
fn a_difference_is_seen() {
    let picture = |moved: usize| {
        let mut dots = vec![255; 100 * 100];
        for row in 20..80 {
            dots[row * 100 + 40 + moved] = 0;
        }
        Picture { width: 100, dots }
    };
    assert!(alike(&picture(0), &picture(0)).is_ok());
    assert!(alike(&picture(0), &picture(1)).is_ok());
    assert!(alike(&picture(0), &picture(3)).is_err());
}

fn sample(name: &str) -> Value {
    let file = root().join("server/paper/templates").join(name);
    serde_json::from_slice(&fs::read(file).unwrap()).unwrap()
}

/// With `COUNTERBORE_REDRAW` set they are written anew.
#[test]
fn samples_are_what_templates_are_given() {
    let charted = chart_of(&["brindlow", "osmark"], "rim inner diameter");
    let given = [
        (
            "card-sample.json",
            given::card(&reachable(), Paper::A5, None),
        ),
        ("chart-sample.json", chart_given(&charted, Sheet::A4)),
    ];
    for (name, given) in given {
        if std::env::var_os("COUNTERBORE_REDRAW").is_some() {
            let text = serde_json::to_string_pretty(&given).unwrap() + "\n";
            fs::write(root().join("server/paper/templates").join(name), text).unwrap();
        }
        assert_eq!(shape(&sample(name)), shape(&given), "{name}");
    }
}

/// What may be asked of data: its keys and the kinds of what they hold.
fn shape(value: &Value) -> Value {
    match value {
        Value::Object(fields) => fields
            .iter()
            .map(|(key, one)| (key.clone(), shape(one)))
            .collect::<serde_json::Map<_, _>>()
            .into(),
        Value::Array(all) => {
            let mut shapes: Vec<Value> = all.iter().map(shape).collect();
            shapes.dedup();
            shapes.into()
        }
        Value::String(_) => "text".into(),
        Value::Number(_) => "number".into(),
        other => other.clone(),
    }
}

#[test]
fn an_empty_chart_says_so_and_is_a_sheet() {
    let mut charted = chart_of(&["brindlow"], "rim inner diameter");
    charted.lanes.clear();
    charted.without = vec!["Brindlow (invented)".into()];
    let printed: Printed =
        print(&charted, Sheet::A4, &Stationery::built_in(), Want::Pdf(DAY)).unwrap();
    if let Some(words) = Document::of(&printed.content.concat()).words() {
        assert!(words.contains("No such size in: Brindlow"), "{words}");
    }
}
