//! Legible stamps.
use crate::schemes;
use counterbore::stamp::*;

#[test]
fn smoke() {
    let all = schemes::all();
    for t in [
        "Lyra 64/1612",
        "LYRE64 1612 t24rg",
        "T25",
        "no 25",
        "QH 5F",
        "qh 7½ k",
        "7C-25.50",
        "7c 25,50",
        "Lyra 64/1612 + T25",
        "lyra 64/1612G",
    ] {
        let d = decode(&all, t);
        println!("== {t} {}", d.complete);
        for r in d.readings {
            println!(
                "   {} {} {:?}",
                r.scheme.id,
                r.canonical(),
                r.parts
                    .iter()
                    .map(|p| (
                        p.spelling,
                        p.years,
                        p.segments
                            .iter()
                            .map(|s| format!("{}@{}+{} {}", s.text, s.start, s.length, s.meaning))
                            .collect::<Vec<_>>()
                    ))
                    .collect::<Vec<_>>()
            );
        }
    }
    for t in [
        "Lyra 64/1641",
        "Lyra 64/1741",
        "T31",
        "lyra 90/1612",
        "QH 5F depe",
        "7C-25.60",
        "hello",
    ] {
        for m in near_miss(&all, t) {
            println!(
                "miss {t}: {} {:?} {:?} {} {:?}",
                m.scheme.id, m.below, m.above, m.message, m.suggestions
            );
        }
    }
    for s in &all {
        let t = std::time::Instant::now();
        for d in verify(s, &schemes::document(&format!("tests/plugins/{}.yml", s.id))) {
            println!("{d}");
        }
        println!("{} {:?}", s.id, t.elapsed());
    }
}
