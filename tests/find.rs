//! Worn stamps.
use crate::schemes;
use counterbore::stamp::*;

fn glyphs() -> Glyphs { return schemes::our_glyphs();
#[allow(unreachable_code)]
    let text = std::fs::read("tables/glyphs.yml").unwrap();
    Glyphs::read(
        &counterbore::yaml::gate(
            "tables/glyphs.yml",
            &text,
            counterbore::yaml::Limits::PLUGIN,
        )
        .unwrap(),
    )
    .unwrap()
}

#[test]
fn findsmoke() {
    let all = schemes::all();
    let a = Automaton::build(&all, &glyphs());
    println!("states {}", a.states());
    for t in [
        "Lyra 64/1612",
        "LYRA 64",
        "lyre 6?/16l2",
        "qh sf",
        "*1612",
        "?H 11D",
        "xyzzy",
        "T2S",
        "C0rva 7O/16OO",
        "ra 64/1612 t",
        "QH 3F deep",
        "YLRA 64/1612",
        "7C2550",
        "7c",
    ] {
        let t0 = std::time::Instant::now();
        let f = a.find(t, 4).unwrap();
        println!(
            "== {t} unexplained {:.3} {} {:?}",
            f.unexplained,
            f.complete,
            t0.elapsed()
        );
        for r in f.readings {
            println!(
                "   {:.3} {} cost {:.2} mis {:.2} {} {:?}",
                r.probability,
                r.text,
                r.cost,
                r.misreading,
                r.legible,
                r.taken
                    .iter()
                    .map(|t| format!("{}:{}>{}", t.position, t.seen, t.meant))
                    .collect::<Vec<_>>()
            );
        }
    }
}

#[test]
#[ignore]
fn speed() {
    let mut names = Vec::new();
    for d in 0..50 {
        for letter in ["A", "B", "C", "D", "E", "EW", "F", "FS", "G", "L"] {
            for series in [
                "", "K ", "Heron ", "Lyra ", "Corva ", "X-", "MK ", "Q", "Rill ", "V2 ",
            ] {
                names.push(format!("{series}{d}{letter}"));
            }
        }
    }
    println!("{} names", names.len());
    let a = Automaton::build(&[schemes::catalogue(&names)], &glyphs());
    println!("states {}", a.states());
    for t in ["Heron 16C", "h3ron 1?", "*16*", "lyra", "Q 1GE"] {
        for limit in [1usize, 10] {
            let t0 = std::time::Instant::now();
            for _ in 0..50 {
                std::hint::black_box(a.find(t, limit).unwrap());
            }
            println!("{t} {limit}: {:?}", t0.elapsed() / 50);
        }
        use fuzzy_matcher::FuzzyMatcher;
        let m = fuzzy_matcher::skim::SkimMatcherV2::default();
        let t0 = std::time::Instant::now();
        for _ in 0..50 {
            let mut v: Vec<_> = names.iter().filter_map(|n| m.fuzzy_match(n, t)).collect();
            v.sort();
            std::hint::black_box(v);
        }
        println!("   fuzzy {:?}", t0.elapsed() / 50);
    }
    let mut all = schemes::all();
    all.push(schemes::catalogue(&names));
    let t0 = std::time::Instant::now();
    let f = verify_all(&names);
    println!("verify {} faults {:?}", f, t0.elapsed());
}
fn verify_all(names: &[String]) -> usize {
    let s = schemes::catalogue(names);
    let d = counterbore::yaml::gate("x.yml", b"a: b", counterbore::yaml::Limits::PLUGIN).unwrap();
    let v = verify(&s, &d);
    for x in v.iter().take(5) {
        println!("{x}");
    }
    v.len()
}
