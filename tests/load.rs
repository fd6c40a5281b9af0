//! Folders of plug-ins and tables.
//!
//! 1. One bad file never takes a good one down.
//! 2. What should not be read is not: links out, pipes, huge files, unfinished files.
//! 3. What turns bad keeps its last good state, and shows that it does.
//! 4. However an editor saves, the scheme is there all the time and the new text comes.
//! 5. A file that did not change, under tables that did not, is not checked again, and its target stays.
//! 6. The hash names what is in force, wherever it lies.

use std::fs::{self, File};
use std::path::Path;
use std::sync::mpsc;
use std::thread;
use std::time::{Duration, Instant};

use counterbore::config::Flags;
use counterbore::load::LoadedFile;
use counterbore::reload::{Current, Watch, keep_fresh};
use counterbore::snapshot::Snapshot;

use crate::shop::{Shop, scheme};

fn ids(snapshot: &Snapshot) -> Vec<&str> {
    snapshot
        .schemes
        .iter()
        .map(|scheme| scheme.id.as_str())
        .collect()
}

fn codes(file: &LoadedFile) -> Vec<&str> {
    file.diagnostics.iter().map(|fault| fault.code).collect()
}

fn named<'a>(snapshot: &'a Snapshot, name: &str) -> &'a LoadedFile {
    snapshot
        .files
        .iter()
        .find(|file| file.file_name() == name)
        .unwrap()
}

/// A good scheme whose example says something else than it decodes to.
fn with_wrong_example(id: &str) -> String {
    scheme(id, "1").replace("says: {rim: \"165\"}", "says: {rim: \"160\"}")
}

#[test]
fn the_program_carries_tables_and_schemes_of_its_own() {
    let shop = Shop::new();
    shop.write("config.yml", "shelf: []\n");
    let snapshot = shop.snapshot();
    assert!(!snapshot.files.is_empty() && !snapshot.tables.methods.rows().is_empty());
    assert!(
        snapshot
            .files
            .iter()
            .all(|file| file.name.starts_with("<built in>/plugins/"))
    );
}

#[test]
fn a_bad_file_takes_no_good_one_down() {
    let shop = Shop::new();
    shop.write("plugins/a.yml", &scheme("arlow", "1"));
    shop.write("plugins/b.yml", "scheme: [\n");
    shop.write("plugins/c.yml", "scheme: cendry\n");
    shop.write("plugins/d.yml", &with_wrong_example("dulcor"));
    shop.write("plugins/e.yml", "");
    fs::write(shop.path("plugins/f.yml"), [0xff, 0xfe, 0x00]).unwrap();
    shop.write("plugins/g.yaml", &scheme("gavott", "1"));
    let snapshot = shop.snapshot();
    assert_eq!(ids(&snapshot), ["arlow", "gavott"]);
    let broken: Vec<&str> = snapshot.broken().map(LoadedFile::file_name).collect();
    assert_eq!(broken, ["b.yml", "c.yml", "d.yml", "e.yml", "f.yml"]);
    assert_eq!(codes(named(&snapshot, "d.yml")), ["example"]);
    assert_eq!(snapshot.targets.len(), 2);
    assert_eq!(snapshot.target("gavott").unwrap().scheme.id, "gavott");
    assert_eq!(snapshot.decoder.decode("GA 160").readings.len(), 1);
    assert_eq!(snapshot.words.find("gavott")[0].value.scheme(), 1);
    let worn = snapshot.automaton.find("GA 16?", 3).unwrap();
    assert_eq!(worn.readings[0].scheme.id, "gavott");
}

#[test]
fn of_two_schemes_with_one_name_the_first_stays() {
    let shop = Shop::new();
    shop.write("plugins/a.yml", &scheme("arlow", "first"));
    shop.write("plugins/b.yml", &scheme("arlow", "second"));
    let snapshot = shop.snapshot();
    assert_eq!(snapshot.scheme("arlow").unwrap().revision, "first");
    let fault = &named(&snapshot, "b.yml").diagnostics[0];
    let (first, _) = fault.also.as_ref().unwrap();
    assert_eq!(fault.code, "scheme-twice");
    assert_eq!((fault.place.line, fault.place.column), (1, 9));
    assert!(first.file.ends_with("a.yml") && first.line == 1, "{fault}");
}

#[test]
fn a_new_file_does_not_displace_the_scheme_that_serves() {
    let shop = Shop::new();
    shop.write("plugins/m.yml", &scheme("arlow", "serving"));
    let current = Current::new(shop.snapshot());
    shop.write("plugins/a.yml", &scheme("arlow", "newcomer"));
    let snapshot = current.reload(&shop.config());
    assert_eq!(snapshot.scheme("arlow").unwrap().revision, "serving");
    assert_eq!(codes(named(&snapshot, "a.yml")), ["scheme-twice"]);
    assert!(!named(&snapshot, "m.yml").is_broken());
    shop.write("plugins/m.yml", &scheme("arlow", "mended"));
    let snapshot = current.reload(&shop.config());
    assert_eq!(snapshot.scheme("arlow").unwrap().revision, "mended");
    fs::remove_file(shop.path("plugins/m.yml")).unwrap();
    let snapshot = current.reload(&shop.config());
    assert_eq!(snapshot.scheme("arlow").unwrap().revision, "newcomer");
}

#[test]
fn hidden_and_other_files_are_not_looked_at() {
    let shop = Shop::new();
    shop.write("plugins/.half.yml", "scheme: [");
    shop.write("plugins/notes.txt", "scheme: [");
    shop.write("plugins/arlow.yml~", "scheme: [");
    fs::create_dir(shop.path("plugins/older")).unwrap();
    shop.write("plugins/older/arlow.yml", "scheme: [");
    assert!(shop.snapshot().files.is_empty());
}

#[test]
fn a_huge_file_is_refused_unread() {
    let shop = Shop::new();
    let huge = File::create(shop.path("plugins/huge.yml")).unwrap();
    huge.set_len(50 << 20).unwrap();
    shop.write("plugins/small.yml", &scheme("small", "1"));
    let snapshot = shop.snapshot();
    let file = named(&snapshot, "huge.yml");
    assert_eq!(
        (codes(file), file.bytes, file.text.len()),
        (vec!["too-large"], 50 << 20, 0)
    );
    assert!(
        file.diagnostics[0]
            .message
            .to_string()
            .contains("52428800 bytes"),
        "known by its length"
    );
    assert_eq!(ids(&snapshot), ["small"]);
}

/// An invented catalogue.
fn catalogue(rows: usize) -> String {
    let mut text = String::from(
        "scheme: ostrell\ntitle: Ostrell (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
         contour: {class: trumpet bowl}\nfigures:\n  rim: {quantity: rim inner diameter, method: inner edge, unit: mm}\n  \
         cup: {quantity: cup depth, method: centre, unit: mm}\nentries:\n  columns: [name, rim, cup, note]\n  rows:\n",
    );
    for row in 0..rows {
        let (rim, cup) = (1560 + row % 170, 950 + row % 390);
        let cells = format!(
            "\"{}.{:02}\", \"{}.{:02}\"",
            rim / 100,
            rim % 100,
            cup / 100,
            cup % 100
        );
        text += &format!("    - [x{row}, {cells}, an invented piece]\n");
    }
    text + "stamps:\n  - {part: one-piece, template: \"O {entry}\"}\nexamples:\n  - {stamp: O x1, says: {entry: x1}}\n"
}

#[test]
fn a_catalogue_of_100_000_entries_is_let_in_as_the_program_comes() {
    let text = catalogue(100_000);
    let limits = Shop::new().config().plugin_limits.value;
    assert!(text.len() < limits.bytes, "{} bytes", text.len());
    let document = counterbore::yaml::gate("ostrell.yml", text.as_bytes(), limits);
    assert!(document.is_ok(), "{:?}", document.err());
}

#[test]
fn a_large_catalogue_answers_and_a_shop_says_how_large() {
    let shop = Shop::new();
    let rows = 20_000;
    shop.write("plugins/ostrell.yml", &catalogue(rows));
    let snapshot = shop.snapshot();
    assert_eq!(codes(named(&snapshot, "ostrell.yml")), [""; 0]);
    let read = counterbore::answer::decode(&snapshot, &format!("O x{}", rows - 1)).unwrap();
    assert_eq!(read.readings[0].canonical, format!("O x{}", rows - 1));
    for (limits, code) in [("bytes: 100000", "too-large"), ("nodes: 50000", "too-many")] {
        shop.write(
            "config.yml",
            &format!("plugins: [plugins]\nplugin_limits: {{{limits}}}\n"),
        );
        assert_eq!(
            codes(named(&shop.snapshot(), "ostrell.yml")),
            [code],
            "{limits}"
        );
    }
}

#[cfg(unix)]
#[test]
fn links_that_lead_out_and_things_that_are_no_files_are_refused() {
    use std::os::unix::fs::symlink;
    let shop = Shop::new();
    shop.write("outside.yml", &scheme("outside", "1"));
    shop.write("plugins/inside.yml", &scheme("inside", "1"));
    symlink(shop.path("outside.yml"), shop.path("plugins/a.yml")).unwrap();
    symlink("../outside.yml", shop.path("plugins/b.yml")).unwrap();
    symlink(shop.path("missing"), shop.path("plugins/c.yml")).unwrap();
    fs::create_dir(shop.path("plugins/d.yml")).unwrap();
    let pipe = std::process::Command::new("mkfifo")
        .arg(shop.path("plugins/e.yml"))
        .status();
    assert!(pipe.unwrap().success());
    let snapshot = shop.snapshot();
    let found: Vec<_> = snapshot
        .broken()
        .map(|file| (file.file_name(), file.diagnostics[0].code))
        .collect();
    let expected = [
        ("a.yml", "link-outside"),
        ("b.yml", "link-outside"),
        ("c.yml", "not-readable"),
        ("d.yml", "not-a-file"),
        ("e.yml", "not-a-file"),
    ];
    assert_eq!(found, expected);
    assert_eq!(ids(&snapshot), ["inside"]);
}

#[cfg(unix)]
#[test]
fn a_link_within_the_folder_is_a_file() {
    let shop = Shop::new();
    shop.write("plugins/arlow.txt", &scheme("arlow", "1"));
    std::os::unix::fs::symlink("arlow.txt", shop.path("plugins/arlow.yml")).unwrap();
    assert_eq!(ids(&shop.snapshot()), ["arlow"]);
}

#[test]
fn a_folder_that_is_not_there_and_bad_tables_stop_the_start() {
    let shop = Shop::new();
    shop.write("config.yml", "plugins: [plugins, missing]\n");
    let faults = Snapshot::load(&shop.config()).unwrap_err();
    assert_eq!(faults[0].code, "no-folder");
    assert!(faults[0].place.file.ends_with("missing"));

    let without = |tables: &str| {
        let flags = Flags {
            tables: Some(tables.into()),
            ..Flags::default()
        };
        shop.write("config.yml", "plugins: [plugins]\n");
        Snapshot::load(&shop.try_config(&flags).unwrap()).unwrap_err()[0].code
    };
    fs::create_dir(shop.path("tables")).unwrap();
    assert_eq!(without("tables"), "no-tables");
    shop.write("tables/methods.yml", "methods: [\n");
    assert_ne!(without("tables"), "no-tables");
    let house = Path::new(env!("CARGO_MANIFEST_DIR")).join("tables");
    fs::copy(house.join("methods.yml"), shop.path("tables/methods.yml")).unwrap();
    assert_eq!(without("tables"), "no-glyphs");
    assert_eq!(without("nowhere"), "no-folder");
}

#[test]
fn what_did_not_change_stays_as_it_was() {
    use std::sync::Arc;
    let shop = Shop::new();
    shop.write("plugins/a.yml", &scheme("arlow", "first"));
    shop.write("plugins/b.yml", &scheme("berrick", "first"));
    let current = Current::new(shop.snapshot());
    let before = current.snapshot();
    shop.write("plugins/b.yml", &scheme("berrick", "second"));
    let after = current.reload(&shop.config());
    let same = |place: usize| {
        (
            Arc::ptr_eq(&before.schemes[place], &after.schemes[place]),
            Arc::ptr_eq(&before.targets[place], &after.targets[place]),
        )
    };
    assert_eq!(same(0), (true, true), "arlow");
    assert_eq!(same(1), (false, false), "berrick");
    assert_eq!(after.scheme("berrick").unwrap().revision, "second");

    fs::create_dir(shop.path("tables")).unwrap();
    let tables = Path::new(env!("CARGO_MANIFEST_DIR")).join("tables");
    let entries = fs::read_dir(tables).unwrap().map(Result::unwrap);
    for entry in entries.filter(|entry| entry.path().is_file()) {
        let name = entry.file_name().into_string().unwrap();
        let note = if name.ends_with(".yml") {
            "# invented\n"
        } else {
            ""
        };
        let text = fs::read_to_string(entry.path()).unwrap();
        shop.write(&format!("tables/{name}"), &format!("{note}{text}"));
    }
    shop.write("config.yml", "plugins: [plugins]\ntables: tables\n");
    let other = current.reload(&shop.config());
    assert!(
        !Arc::ptr_eq(&after.schemes[0], &other.schemes[0]),
        "other tables may mean other metal"
    );
}

#[test]
fn a_file_that_turns_bad_keeps_its_last_good_version_and_shows_it() {
    let shop = Shop::new();
    shop.write("plugins/a.yml", &scheme("arlow", "first"));
    let config = shop.config();
    let current = Current::new(shop.snapshot());
    let good = current.snapshot();

    shop.write("plugins/a.yml", "scheme: [\n");
    let kept = current.reload(&config);
    let file = named(&kept, "a.yml");
    let since = file.kept_since.unwrap();
    assert_eq!(kept.scheme("arlow").unwrap().revision, "first");
    assert!(file.is_broken() && file.text == "scheme: [\n");
    assert_eq!(kept.hash, good.hash, "the same is in force");

    shop.write("plugins/a.yml", &with_wrong_example("arlow"));
    let kept = current.reload(&config);
    assert_eq!(
        named(&kept, "a.yml").kept_since,
        Some(since),
        "since it turned bad first"
    );

    shop.write("plugins/a.yml", &scheme("arlow", "second"));
    let mended = current.reload(&config);
    let file = named(&mended, "a.yml");
    assert_eq!((file.kept_since, file.is_broken()), (None, false));
    assert_eq!(mended.scheme("arlow").unwrap().revision, "second");
    assert_ne!(mended.hash, good.hash);

    fs::remove_file(shop.path("plugins/a.yml")).unwrap();
    assert!(
        current.reload(&config).files.is_empty(),
        "a file taken away is gone"
    );
    assert_eq!(
        good.scheme("arlow").unwrap().revision,
        "first",
        "who holds a snapshot keeps it"
    );
}

#[test]
fn a_good_file_stands_over_a_kept_version_of_the_same_name() {
    let shop = Shop::new();
    shop.write("plugins/a.yml", &scheme("arlow", "first"));
    let current = Current::new(shop.snapshot());
    shop.write("plugins/a.yml", "scheme: [\n");
    shop.write("plugins/b.yml", &scheme("arlow", "second"));
    let snapshot = current.reload(&shop.config());
    assert_eq!(snapshot.scheme("arlow").unwrap().revision, "second");
    assert_eq!(named(&snapshot, "a.yml").kept_since, None);
    assert!(snapshot.file("arlow").unwrap().name.ends_with("b.yml"));
}

#[test]
fn tables_that_turn_bad_are_kept_as_they_were() {
    let shop = Shop::new();
    let house = Path::new(env!("CARGO_MANIFEST_DIR")).join("tables");
    fs::create_dir(shop.path("tables")).unwrap();
    for table in fs::read_dir(house).unwrap() {
        let path = table.unwrap().path();
        if path.extension().is_some_and(|ending| ending == "yml") {
            fs::copy(&path, shop.path("tables").join(path.file_name().unwrap())).unwrap();
        }
    }
    shop.write("config.yml", "plugins: [plugins]\ntables: tables\n");
    shop.write("plugins/a.yml", &scheme("arlow", "first"));
    let current = Current::new(shop.snapshot());
    let good = fs::read_to_string(shop.path("tables/methods.yml")).unwrap();

    shop.write("tables/methods.yml", "methods: [\n");
    shop.write("plugins/a.yml", &scheme("arlow", "second"));
    let kept = current.reload(&shop.config());
    assert!(kept.tables_kept_since.is_some() && !kept.faults.is_empty());
    let revision = &kept.scheme("arlow").unwrap().revision;
    assert_eq!(revision, "second", "plug-ins go on by the old tables");

    shop.write("tables/methods.yml", &good);
    let mended = current.reload(&shop.config());
    assert!(mended.tables_kept_since.is_none() && mended.faults.is_empty());
    assert_eq!(mended.hash, kept.hash);
}

#[test]
fn a_folder_that_goes_away_leaves_its_schemes() {
    let shop = Shop::new();
    shop.write("plugins/a.yml", &scheme("arlow", "1"));
    let current = Current::new(shop.snapshot());
    fs::rename(shop.path("plugins"), shop.path("elsewhere")).unwrap();
    let kept = current.reload(&shop.config());
    assert_eq!(
        (ids(&kept), kept.faults[0].code),
        (vec!["arlow"], "no-folder")
    );
    assert!(named(&kept, "a.yml").kept_since.is_some());
    fs::rename(shop.path("elsewhere"), shop.path("plugins")).unwrap();
    let back = current.reload(&shop.config());
    assert!(back.faults.is_empty() && named(&back, "a.yml").kept_since.is_none());
}

/// Steps of one way to save `arlow.yml` in a folder.
type Way = (&'static str, &'static [fn(&Path)]);

fn new_text() -> String {
    scheme("arlow", "second")
}

fn write(path: &Path, text: &str) {
    fs::write(path, text).unwrap();
}

fn rename(folder: &Path, from: &str, to: &str) {
    fs::rename(folder.join(from), folder.join(to)).unwrap();
}

const WAYS: [Way; 6] = [
    (
        "written over",
        &[|folder| write(&folder.join("arlow.yml"), &new_text())],
    ),
    (
        "emptied, then written in two parts",
        &[
            |folder| write(&folder.join("arlow.yml"), ""),
            |folder| write(&folder.join("arlow.yml"), &new_text()[..40]),
            |folder| write(&folder.join("arlow.yml"), &new_text()),
        ],
    ),
    (
        "a hidden file beside it, renamed over it",
        &[
            |folder| write(&folder.join(".arlow.yml.new"), &new_text()),
            |folder| rename(folder, ".arlow.yml.new", "arlow.yml"),
        ],
    ),
    (
        "the old one moved away, a new one written",
        &[
            |folder| rename(folder, "arlow.yml", "arlow.yml~"),
            |folder| write(&folder.join("arlow.yml"), &new_text()),
        ],
    ),
    (
        "the old one deleted, a new one renamed into place",
        &[
            |folder| write(&folder.join("4913"), &new_text()),
            |folder| fs::remove_file(folder.join("arlow.yml")).unwrap(),
            |folder| rename(folder, "4913", "arlow.yml"),
        ],
    ),
    (
        "the whole folder exchanged",
        &[
            |folder| fs::create_dir(folder.with_extension("new")).unwrap(),
            |folder| write(&folder.with_extension("new").join("arlow.yml"), &new_text()),
            |folder| fs::rename(folder, folder.with_extension("old")).unwrap(),
            |folder| fs::rename(folder.with_extension("new"), folder).unwrap(),
        ],
    ),
];

#[test]
fn however_an_editor_saves_the_scheme_is_there_and_the_new_text_comes() {
    for (way, steps) in WAYS {
        let shop = Shop::new();
        shop.write("plugins/arlow.yml", &scheme("arlow", "1"));
        let config = shop.config();
        let current = Current::new(shop.snapshot());
        let mut watch = Watch::new(&config);
        assert!(
            !watch.is_due(&current, &config),
            "{way}: nothing has changed yet"
        );
        for step in steps {
            step(&shop.path("plugins"));
            if watch.is_due(&current, &config) {
                current.reload(&config);
            }
            assert!(current.snapshot().scheme("arlow").is_some(), "{way}");
        }
        // The next look finds the folder as it was at the last one.
        if watch.is_due(&current, &config) {
            current.reload(&config);
        }
        assert_eq!(
            current.snapshot().scheme("arlow").unwrap().revision,
            "second",
            "{way}"
        );
        assert!(!watch.is_due(&current, &config), "{way}: read once");
    }
}

#[test]
fn a_change_between_reading_and_the_first_look_is_seen() {
    let shop = Shop::new();
    let config = shop.config();
    let current = Current::new(shop.snapshot());
    shop.write("plugins/arlow.yml", &scheme("arlow", "1"));
    let mut watch = Watch::new(&config);
    assert!(watch.is_due(&current, &config));
}

#[test]
fn a_thread_keeps_the_snapshot_fresh_until_it_is_let_go() {
    let shop = Shop::new();
    let config = shop.config();
    let current = Current::new(shop.snapshot());
    let (stop, stopped) = mpsc::channel();
    thread::scope(|scope| {
        let (current, config) = (&current, &config);
        let fresh = scope.spawn(move || keep_fresh(current, config, &stopped));
        shop.write("plugins/arlow.yml", &scheme("arlow", "1"));
        let start = Instant::now();
        while current.snapshot().scheme("arlow").is_none() {
            assert!(
                start.elapsed() < Duration::from_secs(60),
                "the new file was never read"
            );
            thread::sleep(Duration::from_millis(50));
        }
        drop(stop);
        fresh.join().unwrap();
    });
}

#[test]
fn the_hash_names_what_is_in_force_wherever_it_lies() {
    let (one, other) = (Shop::new(), Shop::new());
    for shop in [&one, &other] {
        shop.write("plugins/a.yml", &scheme("arlow", "1"));
    }
    assert_eq!(one.snapshot().hash, other.snapshot().hash);
    assert_eq!(one.snapshot().hash.len(), 64);
    other.write("plugins/a.yml", &scheme("arlow", "2"));
    assert_ne!(one.snapshot().hash, other.snapshot().hash);
}
