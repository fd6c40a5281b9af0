//! The counter against its peers, in one run: `cargo bench --bench counter`.
//!
//! Ratios, not seconds: each row is measured in turns with its peer on the same machine, several
//! rounds, and the median round counts.
//!
//! * core time without a server: a translation into the demo schemes, against writing its answer as JSON; a
//!   catalogue of 100,000 entries put into the frame, against parsing its YAML with serde_yaml; translate and
//!   identify into it, against plain sums over all of its rows;
//! * translate over HTTP, against a handler of the same framework that serialises a JSON body of equal
//!   size: questions never asked before, and one repeated;
//! * find, against a plain scan of the listed names with the fuzzy-matcher crate;
//! * loading (gate, checks and examples included), against serde_yaml alone;
//! * start-up to the first answer, against a bare server of the same framework.
//!
//! Both sides have the allocator of the program. What follows the program's name is the one group
//! of rows to measure: `cargo bench --bench counter -- loading`.

use std::hint::black_box;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::thread;
use std::time::Instant;

use actix_web::{App, HttpResponse, HttpServer, web};
use counterbore::answer;
use counterbore::config::{Config, Flags, Surroundings};
use counterbore::load::{self, Folder};
use counterbore::route::Piece;
use counterbore::scheme::{Binding, Field, Scheme, Template, Token};
use counterbore::snapshot::Snapshot;
use counterbore::stamp;
use counterbore::translate::{Feel, Many, Target, Translation, identify, translate};
use counterbore::yaml::Limits;
use fuzzy_matcher::FuzzyMatcher;
use fuzzy_matcher::skim::SkimMatcherV2;

/// As in the program.
#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

const ROUNDS: usize = 7;

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    if let Some(place) = arguments.iter().position(|argument| argument == "--peer") {
        let bytes = arguments[place + 1].parse().expect("the size of a body");
        return peer(bytes);
    }
    println!(
        "{:<58} {:>10} {:>10} {:>8}  goal",
        "", "ours", "peer", "ratio"
    );
    let groups: [(&str, fn()); 5] = [
        ("core", core),
        ("loading", loading),
        ("finding", finding),
        ("translating", translating),
        ("starting", starting),
    ];
    let named = |name: &str| arguments.iter().any(|argument| argument == name);
    let all = groups.iter().all(|(name, _)| !named(name));
    for (_, measure) in groups.iter().filter(|(name, _)| all || named(name)) {
        measure();
    }
}

/// One row: medians, their ratio, and what is aimed at.
fn row(what: &str, unit: &str, ours: f64, peer: f64, goal: &str) {
    println!(
        "{what:<58} {ours:>7.1} {unit} {peer:>7.1} {unit} {:>8.2}  {goal}",
        ours / peer
    );
}

fn median(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values[values.len() / 2]
}

/// Both in turns; medians of what each round gives.
fn in_turns(mut ours: impl FnMut() -> f64, mut peer: impl FnMut() -> f64) -> (f64, f64) {
    let (mut a, mut b) = (Vec::new(), Vec::new());
    for _ in 0..ROUNDS {
        a.push(ours());
        b.push(peer());
    }
    (median(a), median(b))
}

/// Milliseconds that something takes.
fn milliseconds(run: impl FnOnce()) -> f64 {
    let start = Instant::now();
    run();
    start.elapsed().as_secs_f64() * 1e3
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

fn demo() -> Snapshot {
    let flags = Flags {
        plugins: vec![root().join("plugins")],
        tables: Some(root().join("tables")),
        ..Flags::default()
    };
    let config =
        Config::load(&flags, &Surroundings::of_process()).expect("the demo configuration is good");
    Snapshot::load(&config).expect("the demo tables are good")
}

/// A catalogue of many rows in the form of a plug-in, for a table larger than the demo's.
fn large(rows: usize) -> String {
    let mut text = String::from(
        "scheme: ostrell\ntitle: Ostrell (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\n\
         contour: {class: trumpet bowl}\nfigures:\n  rim: {quantity: rim inner diameter, method: inner edge, unit: mm}\n  \
         cup: {quantity: cup depth, method: centre, unit: mm}\nentries:\n  columns: [name, rim, cup, note]\n  rows:\n",
    );
    for row in 0..rows {
        let (rim, cup) = (1560 + row % 170, 950 + row % 390);
        text += &format!(
            "    - [x{row}, \"{}.{:02}\", \"{}.{:02}\", an invented piece]\n",
            rim / 100,
            rim % 100,
            cup / 100,
            cup % 100
        );
    }
    text + "stamps:\n  - {part: one-piece, template: \"O {entry}\"}\nexamples:\n  - {stamp: O x1, says: {entry: x1}}\n"
}

fn loading() {
    let tables = load::tables(&Folder::At(root().join("tables")))
        .expect("good tables")
        .tables;
    let folder = Folder::At(root().join("plugins"));
    let texts: Vec<String> = std::fs::read_dir(root().join("plugins"))
        .expect("the demo plug-ins")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "yml"))
        .map(|path| std::fs::read_to_string(path).expect("text"))
        .collect();
    let alone = |text: &String| {
        drop(black_box(
            serde_yaml::from_str::<serde_yaml::Value>(text).expect("YAML"),
        ))
    };
    let times = 10;
    let (ours, peer) = in_turns(
        || {
            milliseconds(|| {
                (0..times).for_each(|_| {
                    drop(black_box(load::plugins(
                        &folder,
                        &tables,
                        Limits::CATALOGUE,
                    )))
                })
            })
        },
        || milliseconds(|| (0..times).for_each(|_| texts.iter().for_each(alone))),
    );
    row(
        "load the demo plug-ins, ten times",
        "ms",
        ours,
        peer,
        "at most 1.5",
    );
    let files: Vec<(String, String)> = (0..4)
        .map(|place| {
            (
                format!("ostrell{place}.yml"),
                large(3000).replace("ostrell", &format!("ostrell{place}")),
            )
        })
        .collect();
    let (ours, peer) = in_turns(
        || {
            milliseconds(|| {
                drop(black_box(load::in_parallel(&files, |(name, text)| {
                    load::checked(name, text.as_bytes(), &tables, Limits::CATALOGUE)
                })))
            })
        },
        || milliseconds(|| files.iter().for_each(|(_, text)| alone(text))),
    );
    row(
        "load four catalogues of 3,000 rows",
        "ms",
        ours,
        peer,
        "at most 1.5",
    );
}

/// Every name without optional groups.
fn names(scheme: &Scheme) -> Vec<String> {
    let each = |(place, stamp): (usize, &counterbore::scheme::Stamp)| {
        let mut combinations: Vec<Vec<Binding>> = vec![Vec::new()];
        for field in required(&stamp.template) {
            let choices = choices(scheme, field);
            combinations = combinations
                .iter()
                .flat_map(|head| {
                    choices
                        .iter()
                        .map(move |one| [head.as_slice(), std::slice::from_ref(one)].concat())
                })
                .collect();
        }
        combinations
            .into_iter()
            .filter_map(|bindings| stamp::encode(scheme, place, &bindings))
            .collect::<Vec<_>>()
    };
    scheme.stamps.iter().enumerate().flat_map(each).collect()
}

fn required(template: &Template) -> Vec<Field> {
    let field = |token: &Token| match token {
        Token::Field(field) => Some(*field),
        _ => None,
    };
    template.tokens.iter().filter_map(field).collect()
}

fn choices(scheme: &Scheme, field: Field) -> Vec<Binding> {
    match field {
        Field::Series => (0..scheme.series.len())
            .map(|series| Binding::Series { series, word: 0 })
            .collect(),
        Field::Entry => (0..scheme.entries.len()).map(Binding::Entry).collect(),
        Field::Figure(figure) => scheme.figures[figure]
            .signs
            .spellings()
            .map(|(sign, _)| Binding::Figure(figure, sign))
            .collect(),
        Field::Mark(mark) => (0..scheme.marks[mark].codes.len())
            .map(|code| Binding::Mark { mark, code })
            .collect(),
    }
}

fn finding() {
    let snapshot = demo();
    let names: Vec<String> = snapshot
        .schemes
        .iter()
        .flat_map(|scheme| names(scheme))
        .collect();
    let matcher = SkimMatcherV2::default().ignore_case();
    for (what, worn) in [
        ("one sign lost", 1),
        ("only the first half typed", 2),
        ("as struck", 0),
    ] {
        let queries: Vec<String> = names
            .iter()
            .step_by(names.len() / 60)
            .map(|name| match worn {
                1 => name
                    .chars()
                    .enumerate()
                    .map(|(place, sign)| if place == 1 { '?' } else { sign })
                    .collect(),
                2 => name
                    .chars()
                    .take(name.chars().count().div_ceil(2))
                    .collect(),
                _ => name.clone(),
            })
            .collect();
        let scan = |query: &String| {
            let mut hits: Vec<_> = names
                .iter()
                .filter_map(|name| Some((matcher.fuzzy_match(name, query)?, name)))
                .collect();
            hits.sort_by_key(|hit| std::cmp::Reverse(hit.0));
            hits.truncate(10);
            drop(black_box(hits));
        };
        let (ours, peer) = in_turns(
            || {
                milliseconds(|| {
                    queries
                        .iter()
                        .for_each(|query| drop(black_box(snapshot.automaton.find(query, 10))))
                })
            },
            || milliseconds(|| queries.iter().for_each(scan)),
        );
        let each = queries.len() as f64 / 1e3;
        row(
            &format!("find among {} listed names, {what}", names.len()),
            "us",
            ours / each,
            peer / each,
            "at most 1",
        );
    }
}

/// A catalogue as large as any, without a server.
const ROWS: usize = 100_000;

fn core() {
    let snapshot = demo();
    snapshot.prepare();
    let fresh = |round: usize| {
        let (cup, rim) = (58 + round % 25, 1540 + 12 * (round / 25 % 15));
        format!("Lyra {cup}/{rim} T{}", 22 + round / 375 % 9)
    };
    let ask = |stamp: &str| {
        let ask = answer::Ask {
            stamp,
            into: Vec::new(),
            reading: 1,
            limit: 3,
        };
        answer::translate(&snapshot, &ask).expect("an answer")
    };
    let one = ask(&fresh(0));
    let (times, mut round) = (200, 0);
    let each = |all: f64| all / times as f64 * 1e3;
    let (ours, peer) = in_turns(
        || {
            let stamps: Vec<String> = (round..round + times).map(fresh).collect();
            round += times;
            each(milliseconds(|| {
                stamps.iter().for_each(|stamp| drop(black_box(ask(stamp))));
            }))
        },
        || {
            each(milliseconds(|| {
                (0..times).for_each(|_| drop(black_box(serde_json::to_string(&one))));
            }))
        },
    );
    let what = format!(
        "translate into {} demo schemes, never asked before; as JSON",
        one.into.len()
    );
    row(&what, "us", ours, peer, "ours under 1000 us");

    let tables = load::tables(&Folder::At(root().join("tables")))
        .expect("good tables")
        .tables;
    let text = large(ROWS);
    let loaded = || load::checked("ostrell.yml", text.as_bytes(), &tables, Limits::CATALOGUE);
    let parsed = || drop(black_box(serde_yaml::from_str::<serde_yaml::Value>(&text)));
    let (ours, peer) = in_turns(
        || milliseconds(|| drop(black_box(loaded()))),
        || milliseconds(parsed),
    );
    let what = format!("load a plug-in of {ROWS} entries; parse its YAML");
    row(&what, "ms", ours, peer, "ours under 3000 ms");
    let scheme = loaded().scheme.expect("a catalogue without fault");
    let many: Many = |shares, work| load::in_parallel(shares, work);
    let (ours, peer) = in_turns(
        || {
            milliseconds(|| {
                let target = Target::shared_out(scheme.clone(), many);
                target.prepare();
                drop(black_box(target));
            })
        },
        || milliseconds(parsed),
    );
    row(
        &format!("put {ROWS} entries into the frame; parse their YAML"),
        "ms",
        ours,
        peer,
        "at most 1",
    );
    searching(&snapshot, &scheme, Target::shared_out(scheme.clone(), many));
}

/// One piece after the other into a large catalogue, against plain sums over all of its rows.
fn searching(snapshot: &Snapshot, scheme: &Scheme, target: Target) {
    target.prepare();
    let feel = Feel::default();
    let pieces: Vec<Piece> = (0..60)
        .map(|entry| {
            let bindings = [Binding::Entry(entry * 1013)];
            scheme.make(&bindings, &[0]).piece
        })
        .collect();
    let rows: Vec<[f64; 2]> = scheme
        .entries
        .iter()
        .map(|entry| [0, 1].map(|place| entry.states[place].1.amount.amount.value))
        .collect();
    let limits = scheme
        .figures
        .iter()
        .map(|figure| feel.limit(figure.method.quantity()));
    let limits: Vec<_> = limits.collect();
    let scan = |piece: &Piece| {
        let ours = [0, 1].map(|place| piece.stated()[place].estimate.value());
        let distance = |row: &[f64; 2]| {
            let felt = [0, 1].map(|place| {
                limits[place].weight * ((row[place] - ours[place]) / limits[place].same).powi(2)
            });
            felt[0] + felt[1]
        };
        let mut all: Vec<(f64, usize)> = rows.iter().map(distance).zip(0..).collect();
        all.select_nth_unstable_by(3, |one, other| one.0.total_cmp(&other.0));
        drop(black_box(all));
    };
    let each = |all: f64| all / pieces.len() as f64 * 1e3;
    type Search = fn(&Piece, &Target, &Feel, usize) -> Translation;
    let ways: [(&str, Search); 2] = [("translate", translate), ("identify", identify)];
    for (what, search) in ways {
        let (ours, peer) = in_turns(
            || {
                each(milliseconds(|| {
                    pieces.iter().for_each(|piece| {
                        drop(black_box(search(piece, &target, &snapshot.feel, 3)))
                    });
                }))
            },
            || each(milliseconds(|| pieces.iter().for_each(scan))),
        );
        let what = format!("{what} into {ROWS} entries; plain sums over all");
        row(&what, "us", ours, peer, "at most 1");
    }
}

/// A process that serves, ended with its guard.
struct Server {
    child: Child,
    address: String,
}

impl Server {
    fn start(command: &mut Command) -> Self {
        let mut child = command
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("a server");
        let mut line = String::new();
        BufReader::new(child.stdout.take().expect("piped"))
            .read_line(&mut line)
            .expect("its address");
        let address = line
            .trim()
            .rsplit("http://")
            .next()
            .unwrap_or_default()
            .to_owned();
        Self { child, address }
    }

    fn ours() -> Self {
        Self::start(
            Command::new(env!("CARGO_BIN_EXE_counterbore"))
                .current_dir(root())
                .args(["serve", "--bind", "127.0.0.1:0"]),
        )
    }

    fn peer(bytes: usize) -> Self {
        let myself = std::env::current_exe().expect("this program");
        Self::start(Command::new(myself).args(["--peer", &bytes.to_string()]))
    }

    fn connect(&self) -> Client {
        let stream = TcpStream::connect(&self.address).expect("a connection");
        stream.set_nodelay(true).expect("no delay");
        Client {
            reader: BufReader::new(stream),
            host: self.address.clone(),
        }
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// One connection, one question after the other.
struct Client {
    reader: BufReader<TcpStream>,
    host: String,
}

impl Client {
    /// Length of the answer; anything but 200 ends the run.
    fn get(&mut self, path: &str) -> usize {
        let request = format!("GET {path} HTTP/1.1\r\nHost: {}\r\n\r\n", self.host);
        self.reader
            .get_mut()
            .write_all(request.as_bytes())
            .expect("sent");
        let (mut line, mut length) = (String::new(), 0);
        self.reader.read_line(&mut line).expect("a status");
        assert!(line.contains(" 200 "), "{path}: {line}");
        while line != "\r\n" {
            line.clear();
            self.reader.read_line(&mut line).expect("a header");
            if let Some(value) = line.to_ascii_lowercase().strip_prefix("content-length:") {
                length = value.trim().parse().expect("a length");
            }
        }
        let mut body = vec![0; length];
        self.reader.read_exact(&mut body).expect("a body");
        length
    }
}

/// Thousands of requests a second, by two connections at once.
fn throughput(server: &Server, paths: &[String]) -> f64 {
    let start = Instant::now();
    thread::scope(|scope| {
        for half in paths.chunks(paths.len().div_ceil(2)) {
            scope.spawn(move || {
                let mut client = server.connect();
                half.iter().for_each(|path| {
                    black_box(client.get(path));
                });
            });
        }
    });
    paths.len() as f64 / start.elapsed().as_secs_f64() / 1e3
}

fn translating() {
    let ours = Server::ours();
    let question = |stamp: &str| {
        format!(
            "/api/v1/translate?stamp={}",
            stamp.replace(' ', "%20").replace('/', "%2F")
        )
    };
    let bytes = ours.connect().get(&question("Lyra 68/1612"));
    let peer = Server::peer(bytes);
    let mut fresh = (0..).flat_map(|round| {
        let word = ["Lyra", "Vela", "Norma", "Crater"][round % 4];
        let throat = 22 + (round / 4) % 9;
        (58..=82).flat_map(move |cup| {
            (0..16).map(move |step| format!("{word} {cup}/{} T{throat}", 1540 + 12 * step))
        })
    });
    let per_round = 1000;
    let peer_paths = vec!["/".to_owned(); per_round];
    let (a, b) = in_turns(
        || {
            throughput(
                &ours,
                &fresh
                    .by_ref()
                    .take(per_round)
                    .map(|stamp| question(&stamp))
                    .collect::<Vec<_>>(),
            )
        },
        || throughput(&peer, &peer_paths),
    );
    row(
        &format!("translate over HTTP, {bytes} bytes, never asked before"),
        "k/s",
        a,
        b,
        "at least 0.2",
    );
    let same = vec![question("Lyra 68/1612"); per_round];
    let (a, b) = in_turns(
        || throughput(&ours, &same),
        || throughput(&peer, &peer_paths),
    );
    row("translate over HTTP, repeated", "k/s", a, b, "at least 0.8");
}

fn starting() {
    let first = |start: &dyn Fn() -> Server, path: &str| {
        milliseconds(|| {
            let server = start();
            black_box(server.connect().get(path));
        })
    };
    let (a, b) = in_turns(
        || first(&Server::ours, "/api/v1/translate?stamp=Lyra%2068%2F1612"),
        || first(&|| Server::peer(1000), "/"),
    );
    row("start-up to the first answer", "ms", a, b, "at most 4");
}

/// A row of the peer's body.
#[derive(serde::Serialize)]
struct PeerRow {
    quantity: String,
    method: String,
    value_mm: f64,
    u_mm: f64,
    expanded_mm: f64,
    k: f64,
    text: String,
}

/// A server of the same framework whose only handler serialises a body of about this size.
fn peer(bytes: usize) {
    let row = |place: usize| PeerRow {
        quantity: "rim inner diameter".into(),
        method: "inner edge, angle 45 deg".into(),
        value_mm: 16.123456 + place as f64 / 1e3,
        u_mm: 0.034567,
        expanded_mm: 0.069134,
        k: 2.0,
        text: "a row of the peer, as long as a sentence".into(),
    };
    let one = serde_json::to_string(&row(1)).expect("a row").len() + 1;
    let rows: web::Data<Vec<PeerRow>> =
        web::Data::new((0..(bytes / one).max(1)).map(row).collect());
    actix_web::rt::System::new().block_on(async move {
        let app = move || {
            App::new().app_data(rows.clone()).route(
                "/",
                web::get().to(|rows: web::Data<Vec<PeerRow>>| async move {
                    HttpResponse::Ok().json(rows.get_ref())
                }),
            )
        };
        let server = HttpServer::new(app)
            .workers(2)
            .bind("127.0.0.1:0")
            .expect("a port");
        println!("http://{}", server.addrs()[0]);
        server.run().await.expect("served");
    });
}
