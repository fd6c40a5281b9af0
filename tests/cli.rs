//! The built program as a process.
//!
//! Proves:
//! 1. every command of the README's terminal section runs, and the plug-in that the README shows is good;
//! 2. exit codes: 0 done, 1 the answer is no, 2 wrong usage, 3 could not;
//! 3. a problem is one line first, then how to mend it, on standard error;
//! 4. a bad plug-in is named with its place and stops nobody;
//! 5. a card is written in each of its forms;
//! 6. JSON is whole and carries units in its names.

use std::fs;
use std::path::Path;
use std::process::{Command, Output};

use serde_json::Value;

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_counterbore"))
        .args(arguments)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .env_clear()
        .output()
        .unwrap()
}

fn code(output: &Output) -> i32 {
    output.status.code().unwrap()
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn problem(output: &Output) -> String {
    assert!(
        output.stdout.is_empty(),
        "a problem leaves nothing on standard output"
    );
    String::from_utf8(output.stderr.clone()).unwrap()
}

#[test]
fn a_legible_stamp_is_read_and_exit_is_0() {
    let output = run(&["decode", "Lyra 68/1612"]);
    assert_eq!(code(&output), 0);
    let text = out(&output);
    for part in [
        "Tarnbeck (invented): Lyra 68/1612",
        "In the neutral frame",
        "times k",
        "± ",
    ] {
        assert!(text.contains(part), "{part} is missing in\n{text}");
    }
}

#[test]
fn no_is_1_and_says_what_is_made() {
    let output = run(&["decode", "Lyra 68/1641"]);
    assert_eq!(code(&output), 1);
    let said = problem(&output);
    let mut lines = said.lines();
    let first = lines.next().unwrap();
    assert!(
        first.ends_with("1641 is not made; the nearest are 1636 and 1648"),
        "{first}"
    );
    assert!(
        lines
            .next()
            .unwrap()
            .contains("mend: made is `Lyra 68/1636` or `Lyra 68/1648`")
    );
    assert_eq!(code(&run(&["decode", "§§§ nothing of the kind §§§"])), 1);
}

#[test]
fn wrong_usage_is_2() {
    let long = "x".repeat(100_000);
    for arguments in [
        &["decode"][..],
        &["frobnicate"],
        &["decode", ""],
        &["decode", &long],
        &["translate", "Lyra 68/1612", "--into", "tarnbek"],
        &["translate", "Lyra 68/1612", "--into", ""],
        &["translate", "Lyra 68/1612", "--into", "vossaby,"],
        &["translate", "Lyra 68/1612", "--reading", "7"],
        &[
            "find",
            "Lyra",
            "--gauge",
            "rim inner diameter@inner edge=16.2 ml",
        ],
        &["find", "Lyra", "--gauge", "rim inner diameter@inner edge"],
        &["find", "Lyra", "--gauge", "throat diameter=drill 99"],
        &["find", "Lyra", "--limit", "0"],
        &["card", "Lyra 68/1612", "--out", "card.docx"],
        &["decode", "Lyra 68/1612", "--config", "tests/no-such.yml"],
    ] {
        let output = run(arguments);
        let said = problem(&output);
        assert_eq!(code(&output), 2, "{arguments:?}: {said}");
        assert!(
            said.lines().next().is_some_and(|line| line.len() < 400),
            "{said}"
        );
    }
    let said = problem(&run(&["translate", "Lyra 68/1612", "--into", "tarnbek"]));
    assert!(said.contains("did you mean `tarnbeck`?"), "{said}");
}

#[test]
fn could_not_is_3() {
    let taken = std::net::TcpListener::bind("127.0.0.1:0").unwrap();
    let address = taken.local_addr().unwrap().to_string();
    let output = run(&["serve", "--bind", &address]);
    assert_eq!(code(&output), 3);
    assert!(
        String::from_utf8_lossy(&output.stderr).starts_with("counterbore: could not listen at"),
        "{output:?}"
    );
    let output = run(&["card", "Lyra 68/1612", "--out", "/no/such/folder/card.txt"]);
    assert_eq!(code(&output), 3);
}

#[test]
fn what_the_eyes_of_an_attacker_found() {
    for (arguments, expected) in [
        (&["find", "zzzzzzzzzzzz"][..], 1),
        (
            &["find", "--gauge", "rim inner diameter@inner edge=16.6±0mm"],
            2,
        ),
        (
            &[
                "find",
                "--gauge",
                "rim inner diameter@inner edge=16.6±0.1in",
            ],
            2,
        ),
        (
            &["find", "--gauge", "rim inner diameter@inner edge=drill 27"],
            2,
        ),
        (
            &[
                "find",
                "--gauge",
                "rim inner diameter=16.6mm",
                "--gauge",
                "rim inner diameter=16.6mm",
            ],
            2,
        ),
        (&["--plugins", "/nowhere", "decode", "38 L"], 3),
        (&["check", "/nowhere"], 3),
    ] {
        assert_eq!(code(&run(arguments)), expected, "{arguments:?}");
    }
    let said = problem(&run(&["decode", "38 L\u{1b}[2J"]));
    assert!(!said.contains('\u{1b}'), "{said:?}");
    let left_out = out(&run(&["translate", "Lyra 68/1612"]));
    assert!(
        left_out.contains("Not asked, since they serve other instruments"),
        "{left_out}"
    );
}

/// A worn stamp whose gauges fit a piece far down the list of what the stamp allows.
#[test]
fn gauges_are_held_against_all_that_fits_the_stamp() {
    let gauges = [
        "--gauge",
        "rim inner diameter@inner edge=16.6±0.1mm",
        "--gauge",
        "cup volume@geometry=1.73±0.02ml",
    ];
    let output = run(&[&["find", "L?ra 6*", "--limit", "5"], &gauges[..]].concat());
    assert!(out(&output).contains("Lyra 68/1612"), "{}", out(&output));
}

#[test]
fn a_bad_plug_in_is_named_and_stops_nobody() {
    let folder = tempfile::tempdir().unwrap();
    let good = Path::new(env!("CARGO_MANIFEST_DIR")).join("plugins/tarnbeck.yml");
    let text = fs::read_to_string(&good).unwrap();
    fs::write(folder.path().join("good.yml"), &text).unwrap();
    let bad = text
        .replace("scheme: tarnbeck", "scheme: tarnbock")
        .replace("to: 1720", "to: 1715");
    fs::write(folder.path().join("bad.yml"), bad).unwrap();
    let folder = folder.path().to_str().unwrap();
    assert_eq!(
        code(&run(&["decode", "Lyra 68/1612", "--plugins", folder])),
        0
    );
    let output = run(&["check", folder]);
    assert_eq!(code(&output), 1);
    let said = out(&output);
    assert!(
        said.contains("steps of 12 from 1540 never reach 1715; the last is 1708 [grid-end]"),
        "{said}"
    );
    assert!(said.contains("mend: write `to: 1708`"), "{said}");
    assert!(said.contains("good.yml: good"), "{said}");
}

#[test]
fn the_demo_tables_are_good() {
    let output = run(&["check"]);
    assert_eq!(code(&output), 0, "{}", out(&output));
    assert_eq!(
        code(&run(&[
            "check",
            "tables",
            "plugins/vossaby.yml",
            "tables/methods.yml"
        ])),
        0
    );
}

#[test]
fn a_card_in_each_of_its_forms() {
    let folder = tempfile::tempdir().unwrap();
    for (name, begins) in [
        ("card.html", "<!"),
        ("card.pdf", "%PDF-"),
        ("card.txt", ""),
        ("card.svg", "<"),
    ] {
        let file = folder.path().join(name);
        let output = run(&[
            "card",
            "Lyra 68/1612",
            "--into",
            "vossaby,skarrow",
            "--out",
            file.to_str().unwrap(),
        ]);
        assert_eq!(code(&output), 0, "{output:?}");
        let written = fs::read(&file).unwrap();
        assert!(
            written.len() > 1000 && written.starts_with(begins.as_bytes()),
            "{name}"
        );
    }
    let text = fs::read_to_string(folder.path().join("card.txt")).unwrap();
    assert!(text.lines().all(|line| line.chars().count() <= 42));
    assert_eq!(
        out(&run(&["card", "Lyra 68/1612", "--into", "vossaby,skarrow"])),
        text
    );
}

#[test]
fn json_carries_units_in_its_names() {
    let output = run(&[
        "translate",
        "Lyra 68/1612",
        "--into",
        "vossaby",
        "--format",
        "json",
    ]);
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let difference = &answer["into"][0]["matches"][0]["differences"][0];
    for field in ["value_mm", "u_mm", "expanded_mm", "k"] {
        assert!(difference[field].is_number(), "{field}: {difference}");
    }
    let number = |field: &str| difference[field].as_f64().unwrap();
    // To the nanometre and to hundredths, so that U is k u within the rounding of u.
    assert!((number("expanded_mm") - number("k") * number("u_mm")).abs() < 2e-6);
    assert!((1.4..2.0).contains(&number("k")), "{difference}");
    let problem = run(&["decode", "", "--format", "json"]);
    let details: Value = serde_json::from_slice(&problem.stderr).unwrap();
    assert_eq!(details["code"], "empty");
}

#[test]
fn json_tells_the_piece_at_hand_once_a_measure() {
    let output = run(&["translate", "Lyra 82/1720", "--format", "json"]);
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let list = |value: &Value| value.as_array().cloned().unwrap_or_default();
    let measure = |one: &Value| (one["quantity"].clone(), one["method"].clone());
    let ours: Vec<_> = list(&answer["ours"]).iter().map(measure).collect();
    for (place, one) in ours.iter().enumerate() {
        assert!(!ours[..place].contains(one), "twice: {one:?}");
    }
    let mut met = vec![false; ours.len()];
    for into in list(&answer["into"]) {
        let matches = list(&into["matches"]);
        let differences = matches.iter().flat_map(|one| list(&one["differences"]));
        for one in differences.chain(list(&into["outside"])) {
            met[ours.iter().position(|ours| *ours == measure(&one)).unwrap()] = true;
        }
    }
    assert!(met.len() > 5 && met.into_iter().all(|one| one));
}

#[test]
fn readings_of_one_spelling_are_told_apart_by_their_era() {
    let decoded = run(&["decode", "136", "--format", "json"]);
    let readings: Value = serde_json::from_slice(&decoded.stdout).unwrap();
    let era = |place: usize| {
        readings["readings"][place]["made"]
            .as_str()
            .unwrap()
            .to_owned()
    };
    assert_ne!(era(0), era(1));
    for (reading, other) in [("1", era(1)), ("2", era(0))] {
        let output = run(&["translate", "136", "--reading", reading]);
        let said = String::from_utf8(output.stdout).unwrap();
        let line = format!("could also be read: 136, {other}, Marrowick (invented)");
        assert!(said.contains(&line), "{said}");
    }
}

#[test]
fn a_wrong_sign_in_one_part_names_the_part() {
    for (stamp, part) in [
        ("Lyra 68/1613 + bore E K", "`Lyra 68/1613`"),
        ("Crater 78/1624 + bore E Q", "`bore E Q`"),
    ] {
        let output = run(&["decode", stamp]);
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(said.contains(&format!("in the part {part}: ")), "{said}");
        assert_eq!(output.status.code(), Some(1));
    }
}

#[test]
fn a_sign_that_is_nothing_like_a_made_one_is_told_without_an_empty_suggestion() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("brindlow.yml"), &readme("yaml")[0]).unwrap();
    let folder = folder.path().to_str().unwrap();
    let said = problem(&run(&["decode", "BR 165 zzz", "--plugins", folder]));
    assert!(
        said.contains("no depth zzz among shallow, medium, deep"),
        "{said}"
    );
    assert!(
        said.contains("try `find`") && !said.contains("made is"),
        "{said}"
    );
}

/// A cup alone, and a scheme that stamps the rim only.
#[test]
fn a_piece_without_a_name_is_not_offered() {
    let folder = tempfile::tempdir().unwrap();
    let rims = readme("yaml")[0]
        .replace("BR {rim}[ {depth}]", "BR {rim}")
        .replace(
            "stamp: BR 165 deep, says: {rim: \"165\", depth: deep}",
            "stamp: BR 165, says: {rim: \"165\"}",
        );
    fs::write(folder.path().join("brindlow.yml"), rims).unwrap();
    let cups = "scheme: cupford\ntitle: Cupford (invented)\nserves: [trumpet]\nrevision: \"1\"\nsource: invented\nfigures:\n  \
        depth: {quantity: cup depth, method: centre, unit: 0.1 mm, grid: {from: 95, to: 125, step: 5}}\nstamps:\n  \
        - {part: underpart, template: \"CU {depth}\"}\nexamples:\n  - {stamp: CU 105, says: {depth: \"105\"}}\n";
    fs::write(folder.path().join("cupford.yml"), cups).unwrap();
    let folder = folder.path().to_str().unwrap();
    for command in ["translate", "card"] {
        let said = out(&run(&[command, "CU 105", "--plugins", folder]));
        let words: Vec<&str> = said.split_whitespace().collect();
        let said = words.join(" ");
        assert!(said.contains("cannot be compared"), "{said}");
        assert!(!said.contains("nearest"), "{said}");
    }
    let translated = || -> Value {
        let asked = [
            "translate",
            "CU 105",
            "--plugins",
            folder,
            "--format",
            "json",
        ];
        serde_json::from_slice(&run(&asked).stdout).unwrap()
    };
    let answer = translated();
    assert_eq!(answer["into"][0]["matches"], Value::Array(Vec::new()));
    assert_eq!(answer["into"][0]["near"], false);

    // Where the depth is stamped too, that much of a name can be told.
    let both = &readme("yaml")[0];
    fs::write(Path::new(folder).join("brindlow.yml"), both).unwrap();
    let answer = translated();
    let matches = answer["into"][0]["matches"].as_array().unwrap();
    assert_eq!(matches[0]["canonical"], "BR ? medium");
    assert!(matches.iter().all(|one| one["canonical"] != ""));
}

#[test]
fn a_fraction_of_another_form_is_told_as_it_is_stamped() {
    let said = problem(&run(&["decode", "65/64 in"]));
    assert!(said.contains("65/64 is stamped 1 1/64"), "{said}");
    assert!(said.contains("made is `1 1/64 in`\n"), "{said}");
}

#[test]
fn parts_that_are_not_of_one_piece_are_told_apart() {
    for (stamp, why) in [
        (
            "bore E K + bore A K",
            "`bore E K` and `bore A K` are both a backbore of Tarnbeck",
        ),
        (
            "bore E K+bore A K",
            "`bore E K` and `bore A K` are both a backbore of Tarnbeck",
        ),
        ("640-2 + bore E K", "parts of two schemes are not one piece"),
    ] {
        let output = run(&["decode", stamp]);
        assert_eq!(code(&output), 1);
        let said = problem(&output);
        assert!(said.contains(why), "{said}");
    }
}

#[test]
fn doubled_names_in_two_folders_are_told_as_where_they_are_read() {
    let shop = tempfile::tempdir().unwrap();
    let folders = ["one", "two"].map(|name| shop.path().join(name));
    for folder in &folders {
        fs::create_dir(folder).unwrap();
        fs::write(folder.join("brindlow.yml"), &readme("yaml")[0]).unwrap();
    }
    let [one, two] = folders.each_ref().map(|folder| folder.to_str().unwrap());
    for arguments in [
        &["check", "--plugins", one, "--plugins", two][..],
        &["check", one, two],
    ] {
        let output = run(arguments);
        assert_eq!(code(&output), 1, "{output:?}");
        let said = out(&output);
        assert!(
            said.contains("there is already a scheme `brindlow`"),
            "{said}"
        );
    }
}

#[test]
fn the_language_is_that_of_option_environment_or_locale_and_json_is_always_english() {
    let said = |arguments: &[&str], variables: &[(&str, &str)]| {
        let output = Command::new(env!("CARGO_BIN_EXE_counterbore"))
            .args(["decode", "Lyra 68/1612"])
            .args(arguments)
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .env_clear()
            .envs(variables.iter().copied())
            .output()
            .unwrap();
        assert!(output.status.success(), "{output:?}");
        out(&output)
    };
    let english = said(&[], &[]);
    assert!(english.contains("16.120 mm ± 0.029 mm"));
    let german = said(&["--language", "de"], &[]);
    assert!(german.contains("16,120 mm ± 0,029 mm") && !german.contains("16.120 mm"));
    assert_eq!(said(&[], &[("LANG", "de_DE.UTF-8")]), german);
    assert_eq!(
        said(&[], &[("LANG", "de_DE.UTF-8"), ("LC_ALL", "C")]),
        english
    );
    assert_eq!(
        said(&[], &[("LANG", "tlh"), ("COUNTERBORE_LANGUAGE", "de")]),
        german
    );
    let json = said(&["--format", "json"], &[]);
    assert_eq!(said(&["--format", "json", "--language", "de"], &[]), json);
}

/// The fenced blocks of a kind in the README.
fn readme(kind: &str) -> Vec<String> {
    let text = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let fence = format!("```{kind}\n");
    text.split(&fence)
        .skip(1)
        .map(|rest| rest.split("```").next().unwrap().to_owned())
        .collect()
}

#[test]
fn the_plug_in_that_the_readme_shows_is_good() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("brindlow.yml");
    fs::write(&file, &readme("yaml")[0]).unwrap();
    let output = run(&["check", file.to_str().unwrap()]);
    assert_eq!(code(&output), 0, "{}", out(&output));
}

#[test]
fn the_commands_that_the_readme_shows_run() {
    let folder = tempfile::tempdir().unwrap();
    let commands: Vec<String> = readme("sh")
        .iter()
        .flat_map(|block| block.lines().map(str::to_owned).collect::<Vec<_>>())
        .collect();
    let commands: Vec<&String> = commands
        .iter()
        .filter(|line| line.starts_with("counterbore "))
        .collect();
    assert!(commands.len() >= 6);
    for line in commands {
        let line = line
            .split(" # ")
            .next()
            .unwrap()
            .replace("card.pdf", folder.path().join("card.pdf").to_str().unwrap());
        let script = line.replacen("counterbore", env!("CARGO_BIN_EXE_counterbore"), 1);
        let output = Command::new("sh")
            .args(["-c", &script])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .output()
            .unwrap();
        assert_eq!(code(&output), 0, "{line}: {output:?}");
    }
}

#[test]
fn the_trace_that_the_readme_shows_tells_rim_cup_and_throat() {
    let block = readme("sh").join("\n");
    let line = block
        .lines()
        .find(|line| line.starts_with("counterbore trace "));
    let line = line.unwrap().split(" # ").next().unwrap();
    let script =
        line.replacen("counterbore", env!("CARGO_BIN_EXE_counterbore"), 1) + " --format json";
    let output = Command::new("sh")
        .args(["-c", &script])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap();
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let told = answer["neutral"].as_array().unwrap().iter();
    let told: Vec<&str> = told
        .filter(|one| one["measured"].is_object())
        .map(|one| one["quantity"].as_str().unwrap())
        .collect();
    for quantity in [
        "rim inner diameter",
        "cup depth",
        "cup volume",
        "throat diameter",
        "backbore bore",
    ] {
        assert!(told.contains(&quantity), "{quantity}: {told:?}");
    }
    let into = answer["into"].as_array().unwrap();
    assert!(into.iter().any(|one| one["near"] == true), "{into:?}");
}

/// 1. Below zero needs no `=`; 2. one constant for command line and interface; 3. nothing that is typed steers a terminal.
#[test]
fn options_take_what_a_person_types() {
    let said = problem(&run(&["trace", "tests/cases/trace.csv", "--seam", "-1"]));
    assert!(
        said.contains("`--seam -1`") || said.contains("a seam at -1 mm"),
        "{said}"
    );
    let said = problem(&run(&["find", "Lyra", "--limit", "-1"]));
    assert!(
        said.contains("a whole number from 1 to 100 is wanted"),
        "{said}"
    );
    for command in ["find", "translate"] {
        assert_eq!(
            code(&run(&[command, "Lyra 68/1612", "--limit", "100"])),
            0,
            "{command}"
        );
        assert_eq!(
            code(&run(&[command, "Lyra 68/1612", "--limit", "101"])),
            2,
            "{command}"
        );
    }
    assert_eq!(code(&run(&["decode", "Lyra 68/1612", "--seed", "3"])), 2);
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("points.csv");
    fs::write(&file, "depth [mm],diam\u{1b}[31meter [mm]\n0,18\n").unwrap();
    for arguments in [
        &["trace", file.to_str().unwrap(), "--u", "0.01"][..],
        &["decode", "Lyra 68/1612", "--limit\u{1b}[2J"],
        &["find", "Lyra 6\u{1b}[31m8/1612"],
        &["find", "Lyra", "--limit", "\u{1b}[2J"],
    ] {
        let output = run(arguments);
        let all = [output.stdout, output.stderr].concat();
        assert!(
            !all.contains(&0x1b),
            "{arguments:?}: {}",
            String::from_utf8_lossy(&all)
        );
    }
}

/// What a top has below it nobody has read: its house usually puts something there, and that is no reading.
#[test]
fn a_top_alone_states_no_backbore() {
    let decoded = |stamp: &str| out(&run(&["decode", stamp]));
    let top = decoded("Lyra 68/1612");
    assert!(!top.contains("backbore bore"), "{top}");
    assert!(
        top.contains("throat diameter"),
        "the throat stays in the top: {top}"
    );
    assert!(decoded("Lyra 68/1612 + bore C").contains("backbore bore"));
    let into = out(&run(&["translate", "38 L", "--into", "tarnbeck"]));
    assert!(
        into.contains("backbore bore: not compared, the piece at hand: it states no backbore bore"),
        "{into}"
    );
    let whole = out(&run(&[
        "translate",
        "Lyra 68/1612 + bore C",
        "--into",
        "vossaby",
    ]));
    assert!(
        whole.contains("backbore bore: not compared, the scheme states no backbore bore"),
        "{whole}"
    );
}

#[test]
fn gauges_that_weigh_nothing_or_twice_are_said() {
    let nothing = run(&["find", "--gauge", "shank taper=0.5±0.1mm"]);
    let says = "No piece here that comes near tells this, so that the gauge weighs nothing: shank taper, growth";
    assert!(out(&nothing).contains(says), "{}", out(&nothing));
    let rim = |at: &str| format!("rim inner diameter@depth at {at}=16.2±0.05mm");
    let twice =
        |one: &str, other: &str| run(&["find", "--gauge", &rim(one), "--gauge", &rim(other)]);
    let near = twice("1.0 mm", "1.01 mm");
    assert_eq!(code(&near), 2);
    assert!(
        problem(&near).contains("in one place, as finely as a gauge can be put"),
        "{}",
        problem(&near)
    );
    assert_eq!(code(&twice("1.0 mm", "2.0 mm")), 0);
}

fn explained(arguments: &[&str]) -> Vec<Value> {
    let output = run(&[arguments, &["--format", "json"]].concat());
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    answer["explained"].as_array().cloned().unwrap_or_default()
}

#[test]
fn a_value_explains_itself_where_that_is_asked_for() {
    assert!(
        explained(&["decode", "Lyra 68/1612"]).is_empty(),
        "not unasked"
    );
    let values = explained(&["translate", "Lyra 68/1612", "--into", "vossaby", "--budget"]);
    let differences = values
        .iter()
        .filter(|one| one["of"].as_str().unwrap().ends_with("theirs less ours"));
    assert!(differences.count() > 1 && values.len() > 5);
    for one in &values {
        let lines = one["budget"]["lines"].as_array().unwrap();
        let shares: f64 = lines
            .iter()
            .map(|line| line["share"].as_f64().unwrap())
            .sum();
        assert!(lines.is_empty() || (shares - 1.0).abs() < 1e-4, "{one}");
        assert!(
            lines
                .iter()
                .all(|line| line["source"].is_string() && line["unit"].is_string())
        );
    }
    let text = out(&run(&["decode", "Lyra 68/1612", "--budget"]));
    for part in [
        "by declared",
        "by contour",
        "turning tolerance",
        "Sensitivity",
        "0.85 ± 0.06",
    ] {
        assert!(text.contains(part), "{part} is missing in\n{text}");
    }
}

#[test]
fn trials_meet_what_first_order_says_and_are_the_same_again() {
    let ask = [
        "decode",
        "Lyra 68/1612",
        "--monte-carlo",
        "2000",
        "--seed",
        "3",
    ];
    let values = explained(&ask);
    assert!(values.len() > 3);
    for one in &values {
        let run = &one["monte_carlo"];
        let number = |value: &Value| value.as_f64().unwrap();
        let unit = run["unit"].as_str().unwrap();
        let (value, u) = (
            number(&one[format!("value_{unit}")]),
            number(&one[format!("u_{unit}")]),
        );
        // 2,000 trials know a mean to 0.02 u and u to about 2 %.
        assert!((number(&run["mean"]) - value).abs() < 0.15 * u, "{one}");
        assert!((number(&run["u"]) / u - 1.0).abs() < 0.1, "{one}");
        assert!(run["trials"] == 2000 && run["seed"] == 3, "{one}");
    }
    assert_eq!(values, explained(&ask));
}

#[test]
fn too_few_and_too_many_trials_are_refused_with_both_limits() {
    for trials in ["10", "1000001"] {
        let output = run(&["decode", "Lyra 68/1612", "--monte-carlo", trials]);
        assert_eq!(code(&output), 2);
        let said = problem(&output);
        assert!(
            said.contains("`--monte-carlo` is a number of trials from 1000 to 1000000"),
            "{said}"
        );
    }
}

#[test]
fn drills_that_pass_and_do_not_are_limits_and_no_value() {
    let ask = |gauge: &str| run(&["find", "Lyra 68/1612", "--gauge", gauge, "--format", "json"]);
    let first = |gauge: &str| -> Value {
        let answer: Value = serde_json::from_slice(&ask(gauge).stdout).unwrap();
        answer["results"][0].clone()
    };
    // The piece is drilled 27, 3.658 mm.
    let fits = first("throat diameter=passes drill 28, not drill 26");
    let limits = &fits["limits"][0];
    let text = limits["text"].as_str().unwrap();
    assert_eq!(limits["limits"], "between");
    assert!(limits["low"]["u_mm"].is_number() && limits["high"]["u_mm"].is_number());
    assert!(
        text.starts_with("between 3.5") && text.contains(" and 3.7"),
        "{text}"
    );
    assert_eq!(limits["says"], "agrees with the limits");
    assert!(
        fits["gauges"].as_array().unwrap().is_empty(),
        "no value is made of them"
    );
    let wide = first("throat diameter=passes drill 20");
    assert_eq!(
        wide["limits"][0]["says"],
        "the piece is tighter than the limits, beyond the uncertainty"
    );
    assert!(
        wide["limits"][0]["text"]
            .as_str()
            .unwrap()
            .starts_with("at least 4.08")
    );
    let number = |one: &Value| one["probability"].as_f64().unwrap();
    assert!(number(&fits) > number(&wide));
    let crossed = run(&[
        "find",
        "Lyra 68/1612",
        "--gauge",
        "throat diameter=passes drill 26, not drill 27",
    ]);
    assert_eq!(code(&crossed), 2);
    let said = problem(&crossed);
    assert!(
        said.contains("the limits cross: at least 3.7338 and at most 3.6576 mm"),
        "{said}"
    );
    let gauge = "throat diameter=passes drill 27, not drill 27";
    let none = run(&["find", "Lyra 68*", "--gauge", gauge]);
    assert_eq!(code(&none), 2);
    assert!(problem(&none).contains("leaves nothing between its limits"));
}

#[test]
fn limits_have_two_ends_in_json_and_no_value() {
    let piece = "652-3 medium 8:2 3.75";
    let output = run(&["translate", piece, "--into", "vossaby", "--format", "json"]);
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let depth = |list: &Value| {
        let list = list.as_array().unwrap();
        let found = list.iter().find(|one| one["quantity"] == "cup depth");
        found.unwrap().clone()
    };
    let ours = depth(&answer["ours"]);
    assert_eq!(ours["limits"], "between");
    assert_eq!(
        (&ours["low"]["value_mm"], &ours["high"]["value_mm"]),
        (&10.3.into(), &11.2.into())
    );
    assert_eq!(ours["low"]["u_mm"], 0.0);
    for middle in ["value", "value_mm", "plus_minus", "u_mm"] {
        assert!(ours.get(middle).is_none(), "{middle}");
    }
    let best = &answer["into"][0]["matches"][0];
    let difference = depth(&best["differences"]);
    let end = |end: &str| difference[end]["value_mm"].as_f64().unwrap();
    let theirs = difference["theirs"]["value_mm"].as_f64().unwrap();
    assert!((end("low") - (theirs - 11.2)).abs() < 1e-6);
    assert!((end("high") - (theirs - 10.3)).abs() < 1e-6);
    assert_eq!(difference["verdict"], "cannot tell");
    assert!(difference.get("e_n").is_none() && difference.get("value_mm").is_none());
}

#[test]
fn each_end_of_limits_has_its_budget_and_no_trials() {
    let output = run(&[
        "decode",
        "652-3 medium 8:2 3.75",
        "--budget",
        "--monte-carlo",
        "1000",
        "--format",
        "json",
    ]);
    assert_eq!(code(&output), 0, "{output:?}");
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let explained = answer["explained"].as_array().unwrap();
    let volumes: Vec<&Value> = explained
        .iter()
        .filter(|one| one["quantity"] == "cup volume")
        .collect();
    assert_eq!(volumes.len(), 2, "one an end");
    for one in volumes {
        assert!(
            one["of_limits"]
                .as_str()
                .unwrap()
                .contains("no distribution")
        );
        assert!(one.get("monte_carlo").is_none());
        assert!(!one["budget"]["lines"].as_array().unwrap().is_empty());
    }
    let rim = explained
        .iter()
        .find(|one| one["quantity"] == "rim inner diameter");
    assert!(rim.unwrap().get("monte_carlo").is_some());
}

#[test]
fn limits_alone_find_every_piece_that_fits() {
    let found = |gauge: &str| {
        let output = run(&[
            "find", "--gauge", gauge, "--limit", "50", "--format", "json",
        ]);
        assert!(code(&output) < 2, "{output:?}");
        serde_json::from_slice::<Value>(&output.stdout).unwrap()
    };
    let answer = found("throat diameter=passes drill 28, not drill 26");
    let results = answer["results"].as_array().unwrap();
    assert!(results.len() > 10);
    let number = |one: &Value| one["probability"].as_f64().unwrap();
    assert!(number(&results[0]) < 0.05, "none of many is likely");
    let fits = results
        .iter()
        .filter(|one| number(one) > 0.5 * number(&results[0]));
    for one in fits {
        let piece = &one["limits"][0]["piece"];
        let value = piece["value_mm"].as_f64().unwrap();
        assert!((3.56..3.74).contains(&value), "{one}");
        assert!(!one["canonical"].as_str().unwrap().is_empty());
    }
    let words = found("cup depth@centre=10.4..11.0 mm");
    let words = words["results"].as_array().unwrap();
    let of_words = |one: &&Value| one["scheme"]["id"] == "skarrow";
    let medium = words.iter().find(of_words).unwrap();
    assert!(
        medium["canonical"].as_str().unwrap().contains("medium"),
        "{medium}"
    );
    assert_eq!(medium["limits"][0]["piece"]["limits"], "between");
}

#[test]
fn a_card_says_limits_in_words_and_no_line_is_too_long() {
    let text = out(&run(&["card", "652-3 medium 8:2 3.75", "--into", "all"]));
    assert!(text.lines().all(|line| line.chars().count() <= 42));
    assert!(text.contains("between 10.3 mm and 11.2 mm"), "{text}");
    assert!(text.contains("Limits have no"), "{text}");
    assert!(!text.contains("10.75"), "no middle");
}

#[test]
fn angles_are_told_in_degrees() {
    let said = out(&run(&[
        "translate",
        "Lyra 68/1612",
        "--into",
        "tarnbeck",
        "--budget",
    ]));
    assert!(said.contains("°, rectangular"), "{said}");
    assert!(!said.contains(" rad,"), "{said}");
}

#[test]
fn a_stamp_and_a_gauge_that_contradict_each_other_are_told() {
    let find = |gauge: &str, format: &str| {
        let gauge = format!("rim inner diameter@inner edge={gauge}");
        let arguments = [
            "find",
            "Lyra 68/1612",
            "--gauge",
            &gauge,
            "--format",
            format,
        ];
        out(&run(&arguments))
    };
    let says = "Stamp and gauge contradict each other. The stamp says Lyra 68/1612";
    let text = find("14.0±0.1mm", "text");
    assert!(text.starts_with(says), "{text}");
    let json: Value = serde_json::from_str(&find("14.0±0.1mm", "json")).unwrap();
    let found = &json["contradiction"];
    assert_eq!(
        (&found["canonical"], &found["scheme"]["id"]),
        (&"Lyra 68/1612".into(), &"tarnbeck".into())
    );
    assert_eq!(
        found["gauges"][0]["says"],
        "the piece is larger than the gauge shows, beyond the uncertainty"
    );
    let figures = &found["gauges"][0];
    assert!(
        figures["piece"].as_str().unwrap().contains(" mm ± ")
            && figures["gauge"]
                .as_str()
                .unwrap()
                .starts_with("14.000 mm ± 0.098 mm"),
        "{figures}"
    );
    assert!(!find("16.5±0.3mm", "text").contains("contradict"));
    let json: Value = serde_json::from_str(&find("16.5±0.3mm", "json")).unwrap();
    assert!(
        json["contradiction"].is_null() && json["results"][0]["gauges"][0]["agrees"] == true,
        "{json}"
    );
}

/// A million trials say that they are at work to who waits at a terminal, and to nobody else.
#[cfg(target_os = "linux")]
#[test]
fn many_trials_are_announced_and_can_be_stopped() {
    use std::os::unix::process::ExitStatusExt;
    let million = ["decode", "Lyra 68/1612", "--monte-carlo", "1000000"];
    let mut child = Command::new(env!("CARGO_BIN_EXE_counterbore"))
        .args(million)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    std::thread::sleep(std::time::Duration::from_millis(700));
    let stopped = Command::new("kill")
        .args(["-INT", &child.id().to_string()])
        .status()
        .unwrap();
    assert!(stopped.success());
    assert_eq!(child.wait().unwrap().signal(), Some(2), "Ctrl-C ends it");
    let mut said = String::new();
    std::io::Read::read_to_string(&mut child.stderr.take().unwrap(), &mut said).unwrap();
    assert_eq!(said, "", "no terminal, no announcement");
    // `script` (util-linux) lends a terminal.
    let program = env!("CARGO_BIN_EXE_counterbore");
    let command = format!("{program} decode 'Lyra 68/1612' --monte-carlo 1000 > /dev/null");
    match Command::new("script")
        .args(["-qec", &command, "/dev/null"])
        .output()
    {
        Ok(output) => {
            let said = out(&output);
            assert!(
                said.starts_with("running 1000 trials of each value; Ctrl-C stops it"),
                "{said:?}"
            );
        }
        Err(_) => eprintln!("skipped: no `script` is there to lend a terminal"),
    }
}

#[test]
fn a_budget_explains_what_is_told_and_no_route_leads_to_itself() {
    let output = run(&["decode", "Lyra 68/1612", "--budget", "--format", "json"]);
    let answer: Value = serde_json::from_slice(&output.stdout).unwrap();
    let names = |all: &Value| -> Vec<String> {
        let all = all.as_array().unwrap().iter();
        all.map(|one| one["quantity"].as_str().unwrap().to_owned())
            .collect()
    };
    assert_eq!(
        names(&answer["explained"]),
        names(&answer["readings"][0]["neutral"])
    );
    for one in answer["explained"].as_array().unwrap() {
        for route in one["routes"].as_array().unwrap() {
            let steps: Vec<&str> = route.as_str().unwrap().split(", then ").collect();
            let to: Vec<&str> = steps
                .iter()
                .filter_map(|step| step.strip_prefix("to "))
                .collect();
            let ends = to.iter().map(|step| step.split(" by ").next().unwrap());
            let ends: Vec<&str> = ends.collect();
            assert!(ends.windows(2).all(|pair| pair[0] != pair[1]), "{route}");
        }
    }
}

#[test]
fn a_scale_starts_and_ends() {
    let says = |stamp: &str| out(&run(&["translate", stamp, "--plugins", "tests/plugins"]));
    let (small, large) = (says("osmark wren"), says("osmark heron"));
    assert!(
        small.contains("is outside its scale of rim, which starts at 15.40 mm"),
        "{small}"
    );
    assert!(
        large.contains("is outside its scale of rim, which ends at 16.80 mm"),
        "{large}"
    );
}
