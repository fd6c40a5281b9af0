//! The main job through a real browser: from the keys to the card.
//!
//! Proves, in headless Chromium over the served pages:
//! 1. the field has the focus; results follow the keys without Enter;
//! 2. the stamp's segments, the measures with ±, the section and the nearest of each scheme are there;
//! 3. the address keeps the question, so that back and bookmarks work;
//! 4. one click leads to the card, whose sheet is A6;
//! 5. a worn stamp gives links to what it may be, and one of them leads on;
//! 6. pieces are entered, compared and pinned by keyboard alone;
//! 7. a wall chart is chosen by keyboard alone;
//! 8. a wish is made by keyboard alone;
//! 9. a scheme is searched by keyboard alone;
//! 10. axe-core, where it lies in `target/axe`, finds nothing on any page, light and dark, English and German;
//! 11. no page reports a violation of its content policy, none scrolls sideways at 360 px.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

use crate::webdriver::Browser;

/// Keys of the WebDriver protocol.
const TAB: &str = "\u{e004}";
const ENTER: &str = "\u{e007}";

/// Goes on with the Tab key until what has the focus is the one that is meant.
fn tab_to(browser: &Browser, meant: &str) {
    for _ in 0..60 {
        let there = browser.script(&format!(
            "const it = document.activeElement; return Boolean({meant});"
        ));
        if there == serde_json::Value::Bool(true) {
            return;
        }
        browser.keys(TAB);
    }
    panic!("Tab never comes to {meant}");
}

/// The built program with the demo tables on a port of its own; gone with its guard.
struct Served {
    child: Child,
    address: String,
}

impl Served {
    fn start() -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_counterbore"))
            .args(["serve", "--bind", "127.0.0.1:0"])
            .current_dir(env!("CARGO_MANIFEST_DIR"))
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap())
            .read_line(&mut line)
            .unwrap();
        let address = line.trim().rsplit(' ').next().unwrap().to_owned();
        Self { child, address }
    }
}

impl Drop for Served {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

#[test]
fn from_the_keys_to_the_card() {
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    let address = &server.address;
    browser.open(&format!("{address}/"));
    browser.script("window.broken = []; document.addEventListener('securitypolicyviolation', e => window.broken.push(e.violatedDirective));");
    browser.until("document.activeElement && document.activeElement.name === 'q'");
    browser.keys("Lyra 68/1612");
    browser.until("document.body.innerText.includes('Tarnbeck (invented)') && document.body.innerText.includes('± 0.063 mm')");
    browser.until("location.search.includes('q=Lyra')");
    browser.until("document.querySelectorAll('main svg').length > 3");
    browser.until("document.body.innerText.includes('Vossaby (invented)')");
    assert_eq!(browser.script("return window.broken.length;"), 0);
    browser.click("a[href^='/card?']");
    browser.until("location.pathname === '/card' && document.body.innerText.includes('16.590')");

    browser.open(&format!("{address}/?q=Lyra+6%3F%2F1612"));
    browser.until("document.body.innerText.includes('%')");
    browser.until("document.querySelectorAll(\"main a[href*='q=Lyra']\").length > 1");
    browser.click("main a[href*='q=Lyra']");
    browser.until("document.body.innerText.includes('In the neutral frame')");

    let narrow = Browser::start(360, 740).expect("a second window");
    for page in [
        "/?q=Lyra%2068%2F1612",
        "/compare?piece=Lyra+68%2F1612&piece=38+L&piece=T5d-2B",
        "/chart?scheme=tarnbeck&scheme=wendelour",
        "/schemes",
        "/schemes/vossaby",
        "/help",
        "/help/schemes",
    ] {
        let joint = if page.contains('?') { '&' } else { '?' };
        for language in ["en", "de"] {
            narrow.open(&format!("{address}{page}{joint}language={language}"));
            let over = narrow.script(
                "return document.documentElement.scrollWidth - document.documentElement.clientWidth;",
            );
            assert!(
                over.as_i64().is_some_and(|over| over <= 1),
                "{page} in {language} scrolls sideways by {over} px"
            );
        }
    }
}

#[test]
fn side_by_side_by_keyboard_alone() {
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    browser.open(&format!("{}/compare", server.address));
    browser.until("document.activeElement && document.activeElement.id === 'piece1'");
    browser.keys("Lyra 68/1612");
    browser.keys(TAB);
    tab_to(&browser, "it.id === 'piece2'");
    browser.keys("38 L");
    browser.keys(ENTER);
    browser.until("document.body.innerText.includes('Against Lyra 68/1612')");
    browser.until("document.querySelectorAll('svg.overlay polygon').length > 0");
    browser.until("document.activeElement.id === 'piece3'");
    tab_to(&browser, "it.textContent === 'Pin'");
    browser.keys(ENTER);
    browser.until(
        "location.search.includes('pinned=2') && document.body.innerText.includes('Against 38 L')",
    );
    let low = browser.script("return [...document.querySelectorAll('form a, button, form input:not([type=hidden])')].filter(one => one.getBoundingClientRect().height < 44).length;");
    assert_eq!(low, 0, "targets lower than 44 px");
}

#[test]
fn a_wall_chart_by_keyboard_alone() {
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    browser.open(&format!("{}/chart", server.address));
    browser.until("document.activeElement && document.activeElement.name === 'scheme'");
    browser.keys(" ");
    tab_to(&browser, "it.value === 'vossaby'");
    browser.keys(" ");
    tab_to(&browser, "it.name === 'measure'");
    browser.keys("throat");
    tab_to(&browser, "it.textContent === 'Show'");
    browser.keys(ENTER);
    browser.until("document.querySelector('svg.chart')");
    browser.until("location.search.includes('scheme=calvenza&scheme=vossaby&measure=throat')");
    browser.until(
        "document.querySelector('svg.chart title').textContent.startsWith('throat diameter')",
    );
}

#[test]
fn a_wish_by_keyboard_alone() {
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    browser.open(&format!("{}/?q=Lyra+68%2F1612", server.address));
    tab_to(&browser, "it.matches('.wishes > summary')");
    browser.keys(ENTER);
    tab_to(
        &browser,
        "it.name === 'want' && it.options[1].value.startsWith('cup depth')",
    );
    browser.keys("less");
    browser.keys(TAB);
    browser.keys("0.8 mm");
    browser.keys(ENTER);
    browser.until("location.search.includes('wish=cup+depth%3Aless+0.8+mm')");
    browser.until("document.body.innerText.includes('Wished: cup depth shallower by 0.8 mm')");
    browser.until("document.querySelectorAll('.met').length > 2");
}

#[test]
fn a_scheme_is_searched_by_keyboard_alone() {
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    browser.open(&format!("{}/schemes/vossaby", server.address));
    tab_to(&browser, "it.id === 'within'");
    browser.keys("38 L");
    browser.keys(ENTER);
    browser.until(
        "location.search === '?q=38+L' && document.querySelector('.looked a[href*=\"38+L\"]')",
    );
    browser.until("document.querySelectorAll('#catalogue tbody tr').length > 0");
    tab_to(&browser, "it.matches('.looked a')");
    browser.keys(ENTER);
    browser.until(
        "location.pathname === '/' && document.body.innerText.includes('In the neutral frame')",
    );
}

/// Every kind of page, as a person may find it.
const PAGES: [&str; 16] = [
    "/",
    "/?q=Lyra+68%2F1612",
    "/?q=Lyra+68%2F1612&wish=cup+depth:less+0.8+mm&wish=throat+diameter:more",
    "/?q=Lyra+68%2F1612&wish=cup+depth:huge",
    "/?q=L%3Fra+6*",
    "/?q=zzz",
    "/compare",
    "/compare?piece=Lyra+68%2F1612&piece=38+L&piece=zzz",
    "/chart",
    "/chart?scheme=tarnbeck&scheme=wendelour",
    "/chart?measure=cup+depth",
    "/schemes",
    "/schemes/vossaby?q=deep",
    "/schemes/tarnbeck",
    "/help",
    "/help/schemes",
];

#[test]
fn axe_finds_nothing_on_any_page() {
    let file = concat!(env!("CARGO_MANIFEST_DIR"), "/target/axe/package/axe.min.js");
    let Ok(axe) = std::fs::read_to_string(file) else {
        println!("skipped: axe-core is not there; tests/run fetches it where npm is installed");
        return;
    };
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    let mut found = Vec::new();
    for (scheme, language) in [("light", "en"), ("dark", "en"), ("light", "de")] {
        browser.prefers(scheme);
        for page in PAGES {
            let joint = if page.contains('?') { '&' } else { '?' };
            let page = format!("{page}{joint}language={language}");
            browser.open(&format!("{}{page}", server.address));
            browser.script(&axe);
            browser.script("window.found = null; axe.run().then(done => { window.found = done.violations.map(one => one.id + ': ' + one.nodes.slice(0, 4).map(node => node.target + ' ' + (node.any[0]?.message ?? '')).join('; ')); });");
            browser.until("window.found");
            let faults = browser.script("return window.found;");
            for fault in faults.as_array().unwrap() {
                found.push(format!("{scheme} {page}: {}", fault.as_str().unwrap()));
            }
        }
    }
    assert!(found.is_empty(), "{}", found.join("\n"));
}
