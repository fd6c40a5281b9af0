//! The stamp reader at scale, against its peers, in one run: `cargo bench --bench stamps`.
//!
//! Catalogues of invented names and their worn readings, by grade, are drawn from a seed by
//! `tests/generator.rs`, which says what is assumed. For each size it reports, on one thread:
//!
//! * p50 and p99 of a query, by grade and over all, and of the exhaustive scan of all names by
//!   the same model in vectors;
//! * recall at 1, 5 and 10, of the reader and of the scan;
//! * how often the ten best costs are those of the scan, and how often it is said that they
//!   may not be;
//! * calibration of the stated probabilities: expected calibration error, Brier score,
//!   reliability by tenths;
//! * bytes a name beyond the names, and building against parsing the names with serde_yaml;
//! * the same for the peers, on fewer queries where they are slow: all but fuzzy-matcher with
//!   `--features peers`.
//!
//! `--names N.txt --queries Q.tsv` takes names, one a line, and queries with a tab and the
//! true name. `--size N` takes one size only, `--queries-of-grade N` so many queries, `--fuzz N`
//! so many texts that are anything at all, for which only an answer is asked for.
//!
//! `fuzz --cases N` does nothing else: so many texts on schemes of anything, [`TEXTS`] on each
//! (`tests/grammars.rs`), then as many on a catalogue. `--seed N` begins elsewhere.

use std::hint::black_box;
use std::time::Instant;

use counterbore::stamp::{Automaton, Found};
use fuzzy_matcher::FuzzyMatcher;
use fuzzy_matcher::skim::SkimMatcherV2;

#[path = "../generator.rs"]
mod generator;
#[path = "../grammars.rs"]
mod grammars;
#[cfg(feature = "peers")]
mod peers;
#[path = "../schemes.rs"]
#[expect(dead_code, clippy::unwrap_used, reason = "it belongs to the tests")]
mod schemes;

use generator::{GRADES, Random};

const SEED: u64 = 20;

/// Readings asked for.
const LIMIT: usize = 10;

/// Queries of each grade that slow peers get.
const FEW: usize = 5;

/// A text and the name that was meant.
struct Asked {
    grade: usize,
    text: String,
    meant: String,
}

fn main() {
    let given = Given::of(&std::env::args().collect::<Vec<_>>());
    if let Some(cases) = given.cases {
        fuzz_grammars(cases, given.seed);
        return fuzz(cases);
    }
    if let (Some(names), Some(queries)) = (&given.names, &given.queries) {
        let names = lines(names);
        let asked: Vec<Asked> = lines(queries)
            .iter()
            .filter_map(|line| line.split_once('\t'))
            .map(|(text, meant)| Asked {
                grade: 0,
                text: text.to_owned(),
                meant: meant.to_owned(),
            })
            .collect();
        return run(&names, &asked, &["as given"]);
    }
    let sizes = given
        .size
        .map_or(vec![10_000, 100_000, 1_000_000], |size| vec![size]);
    let grades = GRADES.map(|grade| grade.1);
    for size in sizes {
        let names = generator::names(size, SEED);
        run(&names, &asked(&names, given.of_grade), &grades);
    }
    fuzz(given.fuzz);
}

/// What the command line says.
#[derive(Default)]
struct Given {
    names: Option<String>,
    queries: Option<String>,
    size: Option<usize>,
    of_grade: usize,
    fuzz: usize,
    cases: Option<usize>,
    seed: u64,
}

impl Given {
    fn of(arguments: &[String]) -> Self {
        let text = |name: &str| {
            let place = arguments.iter().position(|argument| argument == name)?;
            arguments.get(place + 1).cloned()
        };
        let number = |name: &str| text(name).map(|text| text.parse().expect("a number"));
        Self {
            names: text("--names"),
            queries: text("--queries"),
            size: number("--size"),
            of_grade: number("--queries-of-grade").unwrap_or(100),
            fuzz: number("--fuzz").unwrap_or(1_000_000),
            cases: (arguments.iter().any(|one| one == "fuzz"))
                .then(|| number("--cases").unwrap_or(1_000_000)),
            seed: number("--seed").unwrap_or(0) as u64,
        }
    }
}

fn lines(path: &str) -> Vec<String> {
    let text = std::fs::read_to_string(path).expect("a file of lines");
    text.lines().map(str::to_owned).collect()
}

fn asked(names: &[String], of_grade: usize) -> Vec<Asked> {
    let mut random = Random::new(SEED + 1);
    let grades = (0..GRADES.len()).flat_map(|grade| std::iter::repeat_n(grade, of_grade));
    let asked = grades.map(|grade| {
        let meant = random.one_of(names).clone();
        Asked {
            grade,
            text: generator::worn(&meant, grade, &mut random),
            meant,
        }
    });
    asked
        .filter(|one| one.text.chars().any(|glyph| !"* ".contains(glyph)))
        .collect()
}

/// All that is measured for some names.
fn run(names: &[String], asked: &[Asked], grades: &[&str]) {
    println!("\n{} names, {} queries", names.len(), asked.len());
    let automaton = built(names);
    let ours = measured(asked, 3, |text| answered(automaton.find(text, LIMIT).ok()));
    let scan = measured(asked, 1, |text| {
        answered(automaton.find_by_scan(text, LIMIT).ok())
    });
    println!(
        "{:<24}{:>9}{:>9}{:>9}{:>9}  {:<20}{:<20}{:>7}{:>8}",
        "grade",
        "p50 ms",
        "p99 ms",
        "scan 50",
        "scan 99",
        "recall 1 5 10",
        "of the scan",
        "exact",
        "marked"
    );
    for (grade, name) in grades.iter().enumerate() {
        row(name, asked, &ours, &scan, |one| one.grade == grade);
    }
    row("all", asked, &ours, &scan, |_| true);
    calibration(asked, &ours);
    peers_in_turn(names, asked, grades, &times(&ours));
}

fn built(names: &[String]) -> Automaton {
    let yaml: String = names
        .iter()
        .map(|name| format!("- [\"{name}\", \"1600\"]\n"))
        .collect();
    let start = Instant::now();
    drop(black_box(
        serde_yaml::from_str::<serde_yaml::Value>(&yaml).expect("YAML"),
    ));
    let parsing = start.elapsed();
    let scheme = schemes::listed("listed", "{entry}", names);
    let glyphs = schemes::our_glyphs();
    let start = Instant::now();
    let automaton = Automaton::build(&[scheme], &glyphs);
    let building = start.elapsed();
    println!(
        "built in {building:.0?}, {:.2} of parsing the names with serde_yaml ({parsing:.0?}); {:.1} bytes a name beyond the names",
        building.as_secs_f64() / parsing.as_secs_f64(),
        automaton.lexicon_bytes() as f64 / names.len() as f64
    );
    automaton
}

/// What was answered to one query, and how long it took.
struct Answered {
    milliseconds: f64,
    /// Names with their stated probabilities and costs, where there are any.
    readings: Vec<(String, f64, f64)>,
    complete: bool,
}

fn answered(found: Option<Found>) -> Answered {
    let complete = found.as_ref().is_none_or(|found| found.complete);
    let readings = found.into_iter().flat_map(|found| found.readings);
    Answered {
        milliseconds: 0.0,
        readings: readings
            .map(|one| (one.text, one.probability, one.cost))
            .collect(),
        complete,
    }
}

/// The quickest of some rounds counts: other work on the machine only ever adds.
fn measured(asked: &[Asked], rounds: usize, ask: impl Fn(&str) -> Answered) -> Vec<Answered> {
    let once = |text: &str| {
        let start = Instant::now();
        let mut answered = ask(text);
        answered.milliseconds = start.elapsed().as_secs_f64() * 1e3;
        answered
    };
    let quickest = |one: &Asked| {
        let all = (0..rounds).map(|_| once(&one.text));
        all.min_by(|one, other| one.milliseconds.total_cmp(&other.milliseconds))
    };
    asked.iter().filter_map(quickest).collect()
}

fn times(answered: &[Answered]) -> Vec<f64> {
    let mut times: Vec<f64> = answered.iter().map(|one| one.milliseconds).collect();
    times.sort_by(f64::total_cmp);
    times
}

fn share_at(times: &[f64], share: f64) -> f64 {
    let last = times.len().saturating_sub(1);
    times
        .get((last as f64 * share).round() as usize)
        .copied()
        .unwrap_or(f64::NAN)
}

/// The shares of answers that hold the name that was meant among the first 1, 5 and 10.
fn recall(asked: &[&Asked], answered: &[&Answered]) -> String {
    let share = |first: usize| {
        let hits = asked.iter().zip(answered).filter(|(asked, answered)| {
            answered
                .readings
                .iter()
                .take(first)
                .any(|one| one.0 == asked.meant)
        });
        hits.count() as f64 / asked.len() as f64
    };
    format!("{:.3} {:.3} {:.3}", share(1), share(5), share(10))
}

fn row(
    name: &str,
    asked: &[Asked],
    ours: &[Answered],
    scan: &[Answered],
    of: impl Fn(&Asked) -> bool,
) {
    let places: Vec<usize> = (0..asked.len())
        .filter(|&place| of(&asked[place]))
        .collect();
    if places.is_empty() {
        return;
    }
    let asked: Vec<&Asked> = places.iter().map(|&place| &asked[place]).collect();
    let pick = |all: &'_ [Answered]| -> Vec<f64> {
        let mut times: Vec<f64> = places
            .iter()
            .map(|&place| all[place].milliseconds)
            .collect();
        times.sort_by(f64::total_cmp);
        times
    };
    let (our_times, scan_times) = (pick(ours), pick(scan));
    let of_ours: Vec<&Answered> = places.iter().map(|&place| &ours[place]).collect();
    let of_scan: Vec<&Answered> = places.iter().map(|&place| &scan[place]).collect();
    let same = |one: &Answered, other: &Answered| {
        let costs = one.readings.iter().zip(&other.readings);
        one.readings.len() == other.readings.len()
            && costs
                .into_iter()
                .all(|(one, other)| (one.2 - other.2).abs() < 1e-6)
    };
    let exact = of_ours
        .iter()
        .zip(&of_scan)
        .filter(|(one, other)| same(one, other))
        .count();
    let wrong = of_ours
        .iter()
        .zip(&of_scan)
        .filter(|(one, other)| one.complete && !same(one, other))
        .count();
    let marked = of_ours.iter().filter(|one| !one.complete).count();
    println!(
        "{name:<24}{:>9.3}{:>9.3}{:>9.1}{:>9.1}  {:<20}{:<20}{:>7.3}{:>8.3}{}",
        share_at(&our_times, 0.5),
        share_at(&our_times, 0.99),
        share_at(&scan_times, 0.5),
        share_at(&scan_times, 0.99),
        recall(&asked, &of_ours),
        recall(&asked, &of_scan),
        exact as f64 / places.len() as f64,
        marked as f64 / places.len() as f64,
        if wrong > 0 {
            format!("  {wrong} WRONG AND NOT MARKED")
        } else {
            String::new()
        }
    );
}

/// How often what is stated to be so probable is so.
fn calibration(asked: &[Asked], ours: &[Answered]) {
    const TENTHS: usize = 10;
    let mut tenths = [(0_usize, 0.0, 0_usize); TENTHS];
    let mut brier = 0.0;
    for (asked, answered) in asked.iter().zip(ours) {
        for (name, probability, _) in &answered.readings {
            let is_so = *name == asked.meant;
            brier += (probability - f64::from(u8::from(is_so))).powi(2);
            let tenth = &mut tenths[((probability * TENTHS as f64) as usize).min(TENTHS - 1)];
            *tenth = (
                tenth.0 + 1,
                tenth.1 + probability,
                tenth.2 + usize::from(is_so),
            );
        }
    }
    let all = tenths.iter().map(|tenth| tenth.0).sum::<usize>().max(1) as f64;
    let error: f64 = tenths
        .iter()
        .map(|tenth| (tenth.1 - tenth.2 as f64).abs())
        .sum();
    println!(
        "calibration: expected error {:.4}, Brier score {:.4}; stated and so, by tenths:",
        error / all,
        brier / all
    );
    for (count, stated, so) in tenths.iter().filter(|tenth| tenth.0 > 0) {
        let count_f = *count as f64;
        println!(
            "  {count:>7} readings  {:.3} stated  {:.3} so",
            stated / count_f,
            *so as f64 / count_f
        );
    }
}

/// Every peer on the same queries, with ratios to ours.
fn peers_in_turn(names: &[String], asked: &[Asked], grades: &[&str], ours: &[f64]) {
    let few: Vec<&Asked> = (0..grades.len())
        .flat_map(|grade| asked.iter().filter(move |one| one.grade == grade).take(FEW))
        .collect();
    let peer = |name: &str, ask: &dyn Fn(&str) -> Vec<usize>| {
        let mut times = Vec::new();
        let mut hits = [0; 3];
        for one in &few {
            let start = Instant::now();
            let found = ask(&one.text);
            times.push(start.elapsed().as_secs_f64() * 1e3);
            for (hits, first) in hits.iter_mut().zip([1, 5, 10]) {
                *hits += usize::from(
                    found
                        .iter()
                        .take(first)
                        .any(|&place| names[place] == one.meant),
                );
            }
        }
        times.sort_by(f64::total_cmp);
        let median = share_at(&times, 0.5);
        println!(
            "{name:<28} p50 {median:>8.2} ms, p99 {:>8.2} ms, recall {:.2} {:.2} {:.2}; our p50 is 1/{:.0} and our p99 1/{:.1} of its p50",
            share_at(&times, 0.99),
            hits[0] as f64 / few.len() as f64,
            hits[1] as f64 / few.len() as f64,
            hits[2] as f64 / few.len() as f64,
            median / share_at(ours, 0.5),
            median / share_at(ours, 0.99),
        );
    };
    let matcher = SkimMatcherV2::default();
    peer("fuzzy-matcher scan", &|text| {
        let all = names.iter().enumerate();
        best(all.filter_map(|(place, name)| Some((-matcher.fuzzy_match(name, text)?, place))))
    });
    #[cfg(feature = "peers")]
    peers::all(names, &peer);
}

/// The places of the least, in order.
fn best<Rank: PartialOrd>(all: impl Iterator<Item = (Rank, usize)>) -> Vec<usize> {
    let mut best: Vec<(Rank, usize)> = Vec::new();
    for (rank, place) in all {
        let at = best.partition_point(|one| one.0 <= rank);
        if at < LIMIT {
            best.insert(at, (rank, place));
            best.truncate(LIMIT);
        }
    }
    best.into_iter().map(|one| one.1).collect()
}

/// Texts read on each scheme of anything.
const TEXTS: usize = 20;

/// Schemes of anything, with texts that are anything or nearly a stamp.
fn fuzz_grammars(cases: usize, seed: u64) {
    let (blank, glyphs) = (grammars::Blank::new(), schemes::our_glyphs());
    let mut worst = grammars::Worst::default();
    let schemes = cases.div_ceil(TEXTS);
    for one in 0..schemes as u64 {
        worst = worst.or(grammars::tried(&blank, &glyphs, seed + one, TEXTS));
    }
    println!(
        "{schemes} schemes of anything, {} texts: no panic; at worst {} states, {:.1?} to build, {:.1?} to read one text",
        schemes * TEXTS,
        worst.states,
        worst.built,
        worst.read
    );
}

/// Texts of anything: an answer is asked for, and soon.
fn fuzz(texts: usize) {
    let names = generator::names(5_000, SEED);
    let automaton = Automaton::build(
        &[schemes::listed("listed", "L {entry}[ X{rim}]", &names)],
        &schemes::our_glyphs(),
    );
    let signs: Vec<char> =
        "?*?* -/.,:+0123456789ABCDEFGHIKLMNORSTVWXZabel½¼é×\u{200F}\u{200B}\u{AD}٣۴߿漢\u{301}ß|'\""
            .chars()
            .collect();
    let mut random = Random::new(SEED + 2);
    let mut longest = (0.0_f64, String::new());
    for _ in 0..texts {
        let length = random.below(24) + if random.below(500) == 0 { 120 } else { 0 };
        let text: String = (0..length).map(|_| *random.one_of(&signs)).collect();
        let start = Instant::now();
        let _ = black_box(automaton.find(&text, LIMIT));
        let took = start.elapsed().as_secs_f64() * 1e3;
        if took > longest.0 {
            longest = (took, text);
        }
    }
    println!(
        "\n{texts} texts of anything: no panic; the longest took {:.1} ms: {:?}",
        longest.0, longest.1
    );
}
