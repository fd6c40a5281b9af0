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
//! 10. the list of what it may be belongs to the field, by keyboard, by touch and without scripts;
//! 11. nothing that stands moves as answers follow the keys; all of a piece is on one screen, and no text is too small;
//! 12. axe-core, where it lies in `target/axe`, finds nothing on any page, light and dark, English and German;
//! 13. no page reports a violation of its content policy, none scrolls sideways at 360 px.

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
        "/gauge?gauge=throat+diameter%3Dpasses+drill+27",
        "/settings",
        "/schemes",
        "/card?stamp=Lyra+68%2F1612",
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
    browser.until("document.querySelector('.wall svg')");
    browser.until("location.search.includes('scheme=calvenza&scheme=vossaby&measure=throat')");
    browser.until(
        "document.querySelector('.wall svg title').textContent.startsWith('throat diameter')",
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

/// What is smaller than text may be at arm's length, px: words in drawings are as large as they are drawn.
const TOO_SMALL: &str = "return [...document.querySelectorAll('body *')].filter(one => one.checkVisibility() && [...one.childNodes].some(node => node.nodeType === 3 && node.data.trim())).filter(one => parseFloat(getComputedStyle(one).fontSize) * (one.getScreenCTM?.().a ?? 1) < 14.95).map(one => one.outerHTML.slice(0, 80));";

#[test]
fn all_of_a_piece_is_on_one_screen() {
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    for (scheme, language) in [("light", "en"), ("dark", "de")] {
        browser.prefers(scheme);
        browser.viewport(1280, 800);
        for stamp in [
            "Lyra+68%2F1612",
            "38+L",
            "T7g-2B",
            "Common+Teasel",
            "644",
            "19.50",
            "132+f",
        ] {
            browser.open(&format!(
                "{}/?q={stamp}&language={language}",
                server.address
            ));
            browser.until("document.querySelector('.measures')");
            browser.until("document.fonts.status === 'loaded'");
            let grown = browser.script("return document.documentElement.scrollHeight <= 800 && document.documentElement.scrollWidth <= document.documentElement.clientWidth;");
            assert_eq!(grown, true, "{language} {stamp}");
            let small = browser.script(TOO_SMALL);
            assert_eq!(
                small,
                serde_json::json!([]),
                "smaller than 15 px: {language} {stamp}"
            );
        }
        // Of the README's example all is in sight, segments, measures and section, without scrolling in its
        // place, and no word of its measures is cut in two where its language does not break it.
        browser.open(&format!(
            "{}/?q=Lyra+68%2F1612&language={language}",
            server.address
        ));
        browser.until("document.fonts.status === 'loaded'");
        let hidden = browser.script("const left = document.querySelector('.left'); return left.scrollHeight - left.clientHeight;");
        assert_eq!(hidden, 0, "{language}");
        let cut = browser.script("for (const one of document.querySelectorAll('.desk')) one.style.overflowWrap = 'normal'; return [...document.querySelectorAll('.measures :is(th, td), .lines li')].filter(one => one.scrollWidth > one.clientWidth + 1).map(one => one.innerText);");
        assert_eq!(cut, serde_json::json!([]), "{language}");
    }
    browser.viewport(390, 844);
    let over = browser.script("return document.documentElement.scrollWidth - innerWidth;");
    assert!(
        over.as_i64().is_some_and(|over| over <= 0),
        "{over} px sideways"
    );
}

#[test]
fn nothing_is_too_small_to_be_read_at_arms_length() {
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    for (width, height) in [(1280, 800), (390, 844)] {
        browser.viewport(width, height);
        // A wall chart is a picture of paper, and the sheets of a card are, too: both are enlarged to be read.
        for page in PAGES.iter().filter(|page| !page.starts_with("/chart?")) {
            browser.open(&format!("{}{page}", server.address));
            let small = browser.script(&TOO_SMALL.replace("'body *'", "'body :not(.sheet *)'"));
            assert_eq!(small, serde_json::json!([]), "{page} at {width}");
        }
    }
}

#[test]
fn more_schemes_than_fit_are_reached_by_keyboard() {
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    browser.viewport(1280, 800);
    browser.open(&format!("{}/?q=Lyra+68%2F1612", server.address));
    tab_to(&browser, "it.matches('.rows-of-schemes')");
    browser.keys("\u{e010}");
    browser.until("document.querySelector('.rows-of-schemes').scrollTop > 0");
    tab_to(&browser, "it.matches('.why > summary')");
    browser.keys(ENTER);
    browser.until("document.activeElement.parentElement.open && document.activeElement.parentElement.innerText.includes('one division')");
}

#[test]
fn gauges_by_picture_by_keyboard_alone() {
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    browser.open(&format!("{}/", server.address));
    tab_to(&browser, "it.id === 'gauges'");
    browser.keys(ENTER);
    browser.until("location.pathname === '/gauge'");
    tab_to(&browser, "it.name === 'by'");
    browser.keys(" ");
    for _ in 0..40 {
        if browser.script("return document.activeElement.value;") == "rim inner diameter@depth" {
            break;
        }
        browser.keys("\u{e015}");
    }
    tab_to(&browser, "it.name === 'at'");
    browser.keys("1.0");
    tab_to(&browser, "it.name === 'shows'");
    browser.keys("16.2");
    browser.keys(ENTER);
    browser.until("document.querySelectorAll('.gauge-list li').length === 1");
    browser
        .until("location.search.includes('gauge=rim+inner+diameter%40depth+at+1.0+mm%3D16.2+mm')");
    browser.until("document.querySelectorAll('.results li').length > 0");
    let low = browser.script("return [...document.querySelectorAll('.place, .gauging button, .gauging a, .shows label > :is(input, select)')].filter(one => one.checkVisibility() && one.getBoundingClientRect().height < 44).map(one => one.outerHTML.slice(0, 90));");
    assert_eq!(low, serde_json::json!([]), "targets lower than 44 px");
    tab_to(&browser, "it.textContent === 'Remove'");
    browser.keys(ENTER);
    browser.until("!document.querySelector('.gauge-list')");
}

/// Notes when the last key was pressed and when the measures that follow it were painted (Element Timing).
const TRACE: &str = "window.trace = {}; document.getElementById('q').addEventListener('keydown', event => { trace.key = event.timeStamp; }, {capture: true}); new PerformanceObserver(list => { trace.painted = list.getEntries().at(-1).renderTime; }).observe({type: 'element'}); new MutationObserver(() => { document.querySelector('.measures th')?.setAttribute('elementtiming', 'results'); }).observe(document.getElementById('answer'), {childList: true});";

/// Where the time from the key to the picture went, ms: until asked, until the answer began, until it was whole, until painted.
const TRACED: &str = "const asked = performance.getEntriesByType('resource').filter(one => one.name.includes('/answer?')).at(-1); const times = [trace.key, asked.requestStart, asked.responseStart, asked.responseEnd, trace.painted]; return times.slice(1).map((time, at) => (time - times[at]).toFixed(1)).concat((trace.painted - trace.key).toFixed(1)).join(' ');";

#[test]
fn a_lost_server_keeps_what_was_typed() {
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    browser.viewport(1280, 800);
    browser.open(&format!("{}/", server.address));
    browser.until("document.activeElement && document.activeElement.name === 'q'");
    browser.keys("Lyra 68/161");
    browser.until("document.querySelector('.results')");
    browser.script(TRACE);
    browser.keys("2");
    browser.until("document.querySelector('.measures') && trace.painted");
    let took = browser.script(TRACED);
    println!(
        "from the key to the results on the screen, ms (asked, server, received, painted, all): {took}"
    );

    browser.offline(true);
    browser.keys(" T26");
    browser.until("!document.getElementById('gone').hidden");
    assert_eq!(
        browser.script("return document.getElementById('q').value;"),
        "Lyra 68/1612 T26"
    );
    browser.offline(false);
    browser.until(
        "document.getElementById('gone').hidden && document.body.innerText.includes('throat')",
    );
}

/// All shifts count, those within half a second of a key too, which the usual sum leaves out.
#[test]
fn nothing_that_stands_moves_as_answers_follow_the_keys() {
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    for (width, height) in [(1280, 800), (1024, 768), (390, 844)] {
        browser.viewport(width, height);
        browser.open(&format!("{}/", server.address));
        browser.until("document.activeElement && document.activeElement.name === 'q'");
        browser.until("document.fonts.status === 'loaded'");
        browser.script("window.shifts = []; new PerformanceObserver(list => { for (const one of list.getEntries()) window.shifts.push(one.value); }).observe({type: 'layout-shift'}); window.before = JSON.stringify(document.getElementById('q').getBoundingClientRect());");
        // Nothing yet, what it may be, a piece, something that is near, nothing again.
        for (typed, shown) in [
            ("L?ra 6", ".results"),
            (
                "\u{e003}\u{e003}\u{e003}\u{e003}\u{e003}yra 68/1612",
                ".measures",
            ),
            ("\u{e003}1", ".near"),
            ("\u{e00c}", ".empty"),
        ] {
            for key in typed.chars() {
                browser.keys(&key.to_string());
                browser.until("!document.querySelector('[aria-busy]')");
            }
            browser.until(&format!("document.querySelector('{shown}')"));
        }
        let moved = browser.script("return window.before !== JSON.stringify(document.getElementById('q').getBoundingClientRect());");
        assert_eq!(moved, false, "the field moved at {width}");
        let shifts = browser.script("return window.shifts.reduce((sum, one) => sum + one, 0);");
        println!("layout shift while typing at {width}: {shifts}");
        let shifts = shifts.as_f64().unwrap();
        assert!(shifts < MOST_SHIFT, "{shifts} at {width}");
    }
}

/// What all the keys of one piece may shift together: a tenth of what the web vitals call good (0.1).
const MOST_SHIFT: f64 = 0.01;

/// The combobox of the WAI-ARIA Authoring Practices Guide, "editable combobox with list autocomplete".
#[test]
fn the_list_belongs_to_the_field_by_keyboard_alone() {
    const DOWN: &str = "\u{e015}";
    const UP: &str = "\u{e013}";
    const HOME: &str = "\u{e011}";
    const END: &str = "\u{e010}";
    const ESCAPE: &str = "\u{e00c}";
    let server = Served::start();
    let Some(browser) = Browser::start(1280, 800) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    let chosen = |which: &str| {
        browser.until(&format!(
            "(() => {{ const field = document.getElementById('q'); const all = [...document.querySelectorAll('#choices [role=option]')]; const marked = all.filter(one => one.ariaSelected === 'true'); return document.activeElement === field && field.getAttribute('aria-activedescendant') === ({which})?.id && marked.length === 1 && marked[0] === ({which}); }})()"
        ));
    };
    let none_chosen = || {
        browser.until("document.activeElement.id === 'q' && !document.activeElement.hasAttribute('aria-activedescendant') && !document.querySelector('[aria-selected=true]')");
    };
    for (language, title) in [("en", "What it may be"), ("de", "Was es sein kann")] {
        browser.open(&format!("{}/?language={language}", server.address));
        browser.until("document.activeElement && document.activeElement.role === 'combobox'");
        browser.until("document.activeElement.ariaExpanded === 'false' && document.activeElement.ariaAutoComplete === 'list'");
        browser.keys("L?ra 68/1612");
        browser.until("document.getElementById('q').ariaExpanded === 'true'");
        browser.until(&format!("document.getElementById(document.getElementById('q').getAttribute('aria-controls')).matches('[role=listbox][aria-label=\"{title}\"]')"));
        browser.until("document.querySelectorAll('#choices [role=option]').length > 2 && document.querySelector('#choices [role=option]').textContent.includes('Lyra 68/1612')");
        // The answer to the last key: a later one would take the choice away.
        browser.until("new URLSearchParams(location.search).get('q') === document.getElementById('q').value && !document.querySelector('[aria-busy=true]')");
        none_chosen();
        for (key, which) in [
            (DOWN, "all[0]"),
            (DOWN, "all[1]"),
            (UP, "all[0]"),
            (UP, "all.at(-1)"),
            (DOWN, "all[0]"),
        ] {
            browser.keys(key);
            chosen(which);
        }
        for key in [HOME, END, ESCAPE] {
            browser.keys(DOWN);
            browser.keys(key);
            none_chosen();
        }
        let typed = browser.script("const field = document.getElementById('q'); return `${field.value} ${field.selectionStart}`;");
        assert_eq!(
            typed, "L?ra 68/1612 12",
            "End leads to the end of the field"
        );
        browser.keys(UP);
        chosen("all.at(-1)");
        browser.keys(DOWN);
        browser.keys(DOWN);
        chosen("all[1]");
        let second =
            browser.script("return document.querySelectorAll('#choices [role=option]')[1].href;");
        browser.keys(ENTER);
        browser.until(&format!(
            "location.href === {second} && document.querySelector('.measures')"
        ));

        // Enter without a choice takes the first; Escape without one empties the field.
        browser.open(&format!("{}/?language={language}", server.address));
        browser.keys("L?ra 68/1612");
        browser.keys(ENTER);
        browser.until("document.querySelector('.piece h1')?.textContent.includes('Lyra 68/1612')");
        browser.keys(ESCAPE);
        browser
            .until("document.getElementById('q').value === '' && document.querySelector('.empty')");
    }
    // Another reading of what was read is one key away, too.
    browser.open(&format!("{}/?q=Common+Teasel", server.address));
    browser.keys(DOWN);
    chosen("document.querySelector('.rivals .rival')");
    browser.keys(ENTER);
    browser.until("location.search.includes('reading=2')");
}

#[test]
fn a_choice_is_taken_by_touch_and_without_scripts_by_a_link() {
    let server = Served::start();
    let Some(browser) = Browser::start(390, 844) else {
        println!("skipped: chromedriver is not installed; tests/run installs it");
        return;
    };
    browser.viewport(390, 844);
    browser.open(&format!("{}/?q=L%3Fra+68%2F1612", server.address));
    browser.until("document.querySelector('#choices [role=option]')");
    browser.tap("#choices [role=option]");
    browser.until("document.querySelector('.piece h1')?.textContent.includes('Lyra 68/1612')");

    browser.scripts(false);
    browser.open(&format!("{}/?q=L%3Fra+68%2F1612", server.address));
    browser.click(".results a[href]");
    browser.until("document.querySelector('.piece h1')?.textContent.includes('Lyra 68/1612')");
    browser.until("!document.querySelector('[role=combobox], [role=option]')");
}

/// Every kind of page, as a person may find it.
const PAGES: [&str; 21] = [
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
    "/gauge",
    "/gauge?add=yes&by=rim+inner+diameter%40depth&shows=16.2",
    "/gauge?gauge=throat+diameter%3Dpasses+drill+27&gauge=cup+depth%3Dhuge",
    "/settings",
    "/card?stamp=Lyra+68%2F1612",
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
