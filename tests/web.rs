//! The counter over real HTTP.
//!
//! 1. Every route answers, under headers that let nothing strange in; HEAD is GET without body.
//! 2. The OpenAPI document and the router say the same, and answers follow their schemas.
//! 3. Every refusal is one clear thing: problem details for programs, a page for people.
//! 4. What was typed or written into a plug-in stays text.
//! 5. The same question is not answered twice; a new table is a new answer.
//! 6. Silent, slow and greedy clients take nothing down.

use std::fs;
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpStream};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use counterbore::config::Flags;
use counterbore::problem::exit;
use counterbore::snapshot::Snapshot;
use counterbore::web::{Stopper, bind};
use reqwest::header::{
    ACCEPT_LANGUAGE, ALLOW, CACHE_CONTROL, CONTENT_TYPE, ETAG, HOST, HeaderMap, IF_NONE_MATCH,
    LOCATION,
};
use reqwest::{Client, Method, RequestBuilder, StatusCode, redirect};
use serde_json::Value;

use crate::shop::{Shop, scheme};

/// A server on a port of its own, over a folder of its own; both go with it.
pub struct Server {
    shop: Shop,
    address: SocketAddr,
    stopper: Stopper,
    thread: Option<JoinHandle<()>>,
    runtime: tokio::runtime::Runtime,
    client: Client,
}

pub struct Reply {
    pub status: StatusCode,
    pub headers: HeaderMap,
    body: Vec<u8>,
}

impl Reply {
    pub fn text(&self) -> String {
        String::from_utf8_lossy(&self.body).into_owned()
    }

    pub fn json(&self) -> Value {
        serde_json::from_slice(&self.body).unwrap()
    }

    pub fn header(&self, name: impl reqwest::header::AsHeaderName) -> &str {
        self.headers
            .get(name)
            .map_or("", |value| value.to_str().unwrap())
    }
}

/// Markup wherever a plug-in has words. Invented.
const HOSTILE: &str = r#"scheme: hostile
title: "<script>alert(1)</script> (invented)"
serves: [trumpet]
revision: "1"
source: "<img src=x onerror=alert(2)>"
notes: ["</td></table><script>alert(3)</script>"]
figures:
  rim: {quantity: rim inner diameter, method: seam, unit: 0.1 mm, grid: {from: 155, to: 170, step: 5}, tolerance: 0.03 mm}
stamps:
  - part: one-piece
    template: "HX {rim}"
examples:
  - {stamp: HX 165, says: {rim: "165"}}
"#;

impl Server {
    pub fn start() -> Self {
        Self::start_with(&[])
    }

    /// With more small schemes, each by its name and revision.
    fn start_with(more: &[(&str, &str)]) -> Self {
        Self::set_up(more, "")
    }

    /// With more lines in its configuration.
    pub fn configured(config: &str) -> Self {
        Self::set_up(&[], config)
    }

    fn set_up(more: &[(&str, &str)], config: &str) -> Self {
        let shop = Shop::new();
        shop.write("config.yml", &format!("plugins: [plugins]\n{config}"));
        for name in ["brindlow", "osmark", "lutterel"] {
            let from = format!("{}/tests/plugins/{name}.yml", env!("CARGO_MANIFEST_DIR"));
            fs::copy(from, shop.path(&format!("plugins/{name}.yml"))).unwrap();
        }
        for (id, revision) in more {
            shop.write(&format!("plugins/{id}.yml"), &scheme(id, revision));
        }
        shop.write("plugins/hostile.yml", HOSTILE);
        shop.write(
            "plugins/broken.yml",
            &HOSTILE
                .replace("hostile", "broken")
                .replace("from: 155, to: 170", "from: 155, to: 171"),
        );
        let flags = Flags {
            bind: Some("127.0.0.1:0".into()),
            ..Flags::default()
        };
        let config = shop.try_config(&flags).unwrap();
        let bound = bind(config.clone(), Snapshot::load(&config).unwrap()).unwrap();
        let (address, stopper) = (bound.address(), bound.stopper());
        let thread = std::thread::spawn(move || bound.run().unwrap());
        let _ = rustls::crypto::ring::default_provider().install_default();
        let client = Client::builder()
            .no_proxy()
            .redirect(redirect::Policy::none())
            .build()
            .unwrap();
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .unwrap();
        Self {
            shop,
            address,
            stopper,
            thread: Some(thread),
            runtime,
            client,
        }
    }

    pub fn address(&self) -> SocketAddr {
        self.address
    }

    fn ask(&self, method: Method, path: &str) -> RequestBuilder {
        self.client
            .request(method, format!("http://{}{path}", self.address))
    }

    fn send(&self, request: RequestBuilder) -> Reply {
        self.runtime.block_on(async {
            let response = request.send().await.unwrap();
            let (status, headers) = (response.status(), response.headers().clone());
            Reply {
                status,
                headers,
                body: response.bytes().await.unwrap().to_vec(),
            }
        })
    }

    pub fn get(&self, path: &str) -> Reply {
        self.send(self.ask(Method::GET, path))
    }

    /// As a browser that would rather have some languages than others.
    pub fn get_in(&self, accepts: &str, path: &str) -> Reply {
        self.send(self.ask(Method::GET, path).header(ACCEPT_LANGUAGE, accepts))
    }

    fn raw(&self) -> TcpStream {
        let stream = TcpStream::connect(self.address).unwrap();
        stream
            .set_read_timeout(Some(Duration::from_secs(30)))
            .unwrap();
        stream
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        self.stopper.stop();
        let ran = self.thread.take().map(JoinHandle::join);
        assert!(
            std::thread::panicking() || matches!(ran, Some(Ok(()))),
            "the server did not stop well"
        );
    }
}

/// An address of every route, with what it needs to answer, and what it then gives.
const ADDRESSES: [(&str, &str, &str); 31] = [
    ("/", "/?q=BR+1576-110", "text/html; charset=utf-8"),
    (
        "/answer",
        "/answer?q=BR+1576-110",
        "text/html; charset=utf-8",
    ),
    (
        "/compare",
        "/compare?piece=BR+1576-110&piece=osmark+lark",
        "text/html; charset=utf-8",
    ),
    (
        "/chart",
        "/chart?scheme=brindlow&scheme=osmark",
        "text/html; charset=utf-8",
    ),
    (
        "/chart.svg",
        "/chart.svg?scheme=brindlow&sheet=a3",
        "image/svg+xml",
    ),
    (
        "/gauge",
        "/gauge?gauge=throat+diameter%3Dpasses+drill+27",
        "text/html; charset=utf-8",
    ),
    ("/settings", "/settings", "text/html; charset=utf-8"),
    ("/api/v1/settings", "/api/v1/settings", "application/json"),
    ("/schemes", "/schemes", "text/html; charset=utf-8"),
    (
        "/schemes/{id}",
        "/schemes/brindlow",
        "text/html; charset=utf-8",
    ),
    (
        "/chart.pdf",
        "/chart.pdf?scheme=brindlow&sheet=letter&date=2031-04-05",
        "application/pdf",
    ),
    (
        "/sheet.css",
        "/sheet.css?width=80&height=212.5",
        "text/css; charset=utf-8",
    ),
    (
        "/card",
        "/card?stamp=BR+1576-110",
        "text/html; charset=utf-8",
    ),
    (
        "/card.txt",
        "/card.txt?stamp=BR+1576-110",
        "text/plain; charset=utf-8",
    ),
    ("/card.svg", "/card.svg?stamp=BR+1576-110", "image/svg+xml"),
    (
        "/card.pdf",
        "/card.pdf?stamp=BR+1576-110",
        "application/pdf",
    ),
    ("/help", "/help", "text/html; charset=utf-8"),
    ("/help/schemes", "/help/schemes", "text/html; charset=utf-8"),
    ("/live", "/live", "text/plain; charset=utf-8"),
    ("/ready", "/ready", "text/plain; charset=utf-8"),
    (
        "/api/v1/decode",
        "/api/v1/decode?stamp=BR+1576-110",
        "application/json",
    ),
    (
        "/api/v1/find",
        "/api/v1/find?partial=BR+15%3F6-110&limit=3",
        "application/json",
    ),
    (
        "/api/v1/translate",
        "/api/v1/translate?stamp=BR+1576-110&into=osmark,lutterel",
        "application/json",
    ),
    (
        "/api/v1/compare",
        "/api/v1/compare?piece=BR+1576-110&piece=osmark+lark&pinned=2",
        "application/json",
    ),
    (
        "/api/v1/chart",
        "/api/v1/chart?scheme=brindlow&scheme=osmark&measure=cup+depth@centre",
        "application/json",
    ),
    (
        "/api/v1/card",
        "/api/v1/card?stamp=BR+1576-110&into=osmark&into=lutterel",
        "application/json",
    ),
    ("/api/v1/check", "/api/v1/check", "application/json"),
    ("/api/v1/schemes", "/api/v1/schemes", "application/json"),
    (
        "/api/v1/schemes/{id}",
        "/api/v1/schemes/osmark",
        "application/json",
    ),
    (
        "/api/v1/schemes/{id}/guide",
        "/api/v1/schemes/osmark/guide?q=lark",
        "application/json",
    ),
    (
        "/api/v1/openapi.json",
        "/api/v1/openapi.json",
        "application/json",
    ),
];

/// What every response must say to a browser.
fn guarded(path: &str, reply: &Reply) {
    let policy = reply.header("content-security-policy");
    for rule in [
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    ] {
        assert!(policy.contains(rule), "{path}: {policy}");
    }
    assert!(!policy.contains("unsafe"), "{path}: {policy}");
    assert_eq!(reply.header("x-content-type-options"), "nosniff", "{path}");
    assert_eq!(reply.header("referrer-policy"), "same-origin", "{path}");
    assert_eq!(
        reply.header("cross-origin-opener-policy"),
        "same-origin",
        "{path}"
    );
    assert_eq!(
        reply.header("cross-origin-resource-policy"),
        "same-origin",
        "{path}"
    );
    assert_eq!(reply.header("x-request-id").len(), 16, "{path}");
}

/// Problem details that say something (RFC 9457).
fn problem(reply: &Reply, status: u16, code: &str) -> String {
    assert_eq!(reply.status.as_u16(), status, "{}", reply.text());
    assert_eq!(reply.header(CONTENT_TYPE), "application/problem+json");
    let body = reply.json();
    assert_eq!(body["status"], status);
    assert_eq!(body["code"], code);
    assert_eq!(body["type"], format!("/help#{code}"));
    body["detail"].as_str().unwrap().to_owned()
}

#[test]
fn every_route_answers_and_head_is_get_without_a_body() {
    let server = Server::start();
    for (_, address, media) in ADDRESSES {
        let got = server.get(address);
        assert_eq!(got.status, 200, "{address}: {}", got.text());
        assert_eq!(got.header(CONTENT_TYPE), media, "{address}");
        assert!(!got.body.is_empty(), "{address}");
        guarded(address, &got);
        let head = server.send(server.ask(Method::HEAD, address));
        assert_eq!(head.status, 200, "{address}");
        assert!(head.body.is_empty(), "{address}");
        for (name, value) in &got.headers {
            if name != "x-request-id" && name != "date" {
                assert_eq!(head.headers.get(name), Some(value), "{address}: {name}");
            }
        }
    }
}

#[test]
fn the_document_and_the_router_say_the_same() {
    let server = Server::start();
    let document = server.get("/api/v1/openapi.json").json();
    assert_eq!(document["openapi"], "3.1.0");
    let mut documented: Vec<&str> = document["paths"]
        .as_object()
        .unwrap()
        .keys()
        .map(String::as_str)
        .collect();
    let mut known: Vec<&str> = ADDRESSES.iter().map(|(path, ..)| *path).collect();
    documented.sort_unstable();
    known.sort_unstable();
    assert_eq!(documented, known);
    for (path, address, media) in ADDRESSES {
        let content =
            &document["paths"][path]["get"]["responses"]["200"]["content"][media]["schema"];
        assert!(content.is_object(), "{path}: {media}");
        if media == "application/json" && path != "/api/v1/openapi.json" {
            let mut schema = content.clone();
            schema["components"] = document["components"].clone();
            let answer = server.get(address).json();
            let faults: Vec<String> = jsonschema::validator_for(&schema)
                .unwrap()
                .iter_errors(&answer)
                .map(|fault| fault.to_string())
                .collect();
            assert!(faults.is_empty(), "{path}: {faults:?}");
        }
    }
}

#[test]
fn documented_parameters_are_the_ones_that_are_read() {
    let server = Server::start();
    let document = server.get("/api/v1/openapi.json").json();
    for (path, address, _) in ADDRESSES {
        let operation = &document["paths"][path]["get"];
        let parameters = operation["parameters"].as_array().unwrap();
        for parameter in parameters.iter().filter(|one| one["in"] == "query") {
            let name = parameter["name"].as_str().unwrap();
            let join = if address.contains('?') { '&' } else { '?' };
            let reply = server.get(&format!("{address}{join}{name}="));
            let unknown = reply.status == 400 && reply.text().contains("there is no parameter");
            assert!(!unknown, "{path} documents `{name}` and does not read it");
        }
        let join = if address.contains('?') { '&' } else { '?' };
        let reply = server.get(&format!("{address}{join}colour=red"));
        assert_eq!(reply.status, 400, "{path}");
        assert!(
            reply.text().contains("there is no parameter `colour` here"),
            "{path}: {}",
            reply.text()
        );
        guarded(path, &reply);
    }
}

#[test]
fn other_methods_are_told_which_are_answered() {
    let server = Server::start();
    for (path, address, _) in ADDRESSES {
        for method in [
            Method::POST,
            Method::PUT,
            Method::PATCH,
            Method::DELETE,
            Method::OPTIONS,
        ] {
            if path == "/" && method == Method::POST {
                continue;
            }
            let reply = server.send(server.ask(method.clone(), address));
            assert_eq!(reply.status, 405, "{method} {path}");
            assert!(
                reply.header(ALLOW).starts_with("GET, HEAD"),
                "{method} {path}"
            );
            guarded(path, &reply);
            if path.starts_with("/api/") {
                problem(&reply, 405, "wrong-method");
            }
        }
    }
}

#[test]
fn problems_are_details_for_programs_and_pages_for_people() {
    let server = Server::start();
    let says = problem(
        &server.get("/api/v1/decode?stamp=nothing+like+it"),
        404,
        "nothing-matches",
    );
    assert!(says.contains("nothing like it"), "{says}");
    problem(&server.get("/api/v1/decode"), 400, "empty");
    problem(
        &server.get("/api/v1/translate?stamp=BR+1576-110&into=osmork"),
        404,
        "unknown-scheme",
    );
    problem(
        &server.get("/api/v1/translate?stamp=BR+1576-110&reading=9"),
        400,
        "bad-parameter",
    );
    problem(
        &server.get("/api/v1/translate?stamp=BR+1576-110&reading=first"),
        400,
        "bad-parameter",
    );
    problem(
        &server.get("/api/v1/translate?stamp=a&stamp=b"),
        400,
        "bad-parameter",
    );
    problem(
        &server.get("/api/v1/find?partial=BR&limit=0"),
        400,
        "bad-parameter",
    );
    problem(&server.get("/api/v1/find?gauge=rim"), 400, "bad-gauge");
    problem(&server.get("/api/v1/schemes/osmork"), 404, "unknown-scheme");
    problem(&server.get("/api/v2"), 404, "not-found");
    for address in [
        "/nothing",
        "/card?stamp=nothing+like+it",
        "/card.pdf",
        "/schemes/osmork",
        "/?units=ells",
        "/assets/nothing.css",
    ] {
        let reply = server.get(address);
        assert!(reply.status.is_client_error(), "{address}");
        assert_eq!(
            reply.header(CONTENT_TYPE),
            "text/html; charset=utf-8",
            "{address}"
        );
        assert!(
            reply.text().contains("<h1>") && reply.text().contains("Back to the counter"),
            "{address}"
        );
        guarded(address, &reply);
    }
}

#[test]
fn only_hosts_of_this_machine_are_answered() {
    let server = Server::start();
    let name =
        fs::read_to_string("/proc/sys/kernel/hostname").unwrap_or_else(|_| "localhost".into());
    let good = [
        "localhost",
        "LOCALHOST:80",
        "127.0.0.1",
        "127.0.0.1:8017",
        "10.1.2.3",
        "[::1]",
        "[::1]:8017",
        "bench.local",
        name.trim(),
    ];
    let bad = [
        "example.org",
        "localhost.example.org",
        ".local",
        "127.0.0.1.example.org",
        "[::1",
        "localhost:x",
        "[bench]",
        "local",
        "127.1",
        "0x7f.1",
        "",
    ];
    for (_, address, _) in ADDRESSES {
        for host in good {
            let reply = server.send(server.ask(Method::GET, address).header(HOST, host));
            assert_eq!(reply.status, 200, "{host} {address}");
        }
        for host in bad {
            let reply = server.send(server.ask(Method::GET, address).header(HOST, host));
            assert_eq!(reply.status.as_u16(), 421, "{host} {address}");
            guarded(address, &reply);
        }
    }
}

#[test]
fn the_same_question_is_the_same_answer_until_a_table_changes() {
    let server = Server::start();
    let first = server.get("/api/v1/decode?stamp=BR+1576-110");
    let etag = first.header(ETAG).to_owned();
    assert!(
        etag.starts_with('"') && etag.ends_with('"'),
        "a strong tag: {etag}"
    );
    assert_eq!(first.header(CACHE_CONTROL), "no-cache");
    let spelled = server.get("/api/v1/decode?stamp=%20BR%201576-110%20");
    assert_eq!(
        (spelled.header(ETAG), &spelled.body),
        (etag.as_str(), &first.body),
        "one question, spelled in two ways"
    );
    for tags in [etag.clone(), format!("\"other\", W/{etag}"), "*".to_owned()] {
        let same = server.send(
            server
                .ask(Method::GET, "/api/v1/decode?stamp=BR+1576-110")
                .header(IF_NONE_MATCH, &tags),
        );
        assert_eq!(same.status, 304, "{tags}");
        assert_eq!(same.header(ETAG), etag, "{tags}");
        assert!(same.body.is_empty(), "{tags}");
    }
    let other = server.send(
        server
            .ask(Method::GET, "/api/v1/decode?stamp=BR+1588-110")
            .header(IF_NONE_MATCH, &etag),
    );
    assert_eq!(other.status, 200);

    server
        .shop
        .write("plugins/later.yml", &scheme("later", "1"));
    let until = Instant::now() + Duration::from_secs(20);
    while server.get("/api/v1/schemes/later").status != 200 {
        assert!(Instant::now() < until, "a new plug-in never came");
        std::thread::sleep(Duration::from_millis(200));
    }
    let after = server.send(
        server
            .ask(Method::GET, "/api/v1/decode?stamp=BR+1576-110")
            .header(IF_NONE_MATCH, &etag),
    );
    assert_eq!(after.status, 200, "the old tag no longer holds");
    assert_ne!(after.header(ETAG), etag);
}

#[test]
fn assets_are_kept_for_a_year_under_their_own_hash_only() {
    let server = Server::start();
    let page = server.get("/").text().replace("&#x2f;", "/");
    let style = page
        .split('"')
        .find(|text| text.starts_with("/assets/counter.css?v="))
        .unwrap();
    let kept = server.get(style);
    assert_eq!(
        kept.header(CACHE_CONTROL),
        "public, max-age=31536000, immutable"
    );
    assert!(kept.header(CONTENT_TYPE).starts_with("text/css"));
    guarded(style, &kept);
    for address in [
        "/assets/counter.css",
        "/assets/counter.css?v=0123456789abcdef",
    ] {
        assert_eq!(
            server.get(address).header(CACHE_CONTROL),
            "no-cache",
            "{address}"
        );
    }
    for address in [
        "/assets/..%2f..%2fCargo.toml",
        "/assets/%2e%2e/mod.rs",
        "/assets/../../config.yml",
    ] {
        assert_eq!(server.get(address).status, 404, "{address}");
    }
}

#[test]
fn what_was_typed_stays_text() {
    let server = Server::start();
    let typed = "%22%3E%3Cscript%3Ealert(1)%3C%2Fscript%3E";
    for address in [
        "/?q=",
        "/answer?q=",
        "/card?stamp=",
        "/?gauge=",
        "/?units=",
        "/schemes/",
        "/",
        "/?",
    ] {
        let page = server.get(&format!("{address}{typed}")).text();
        assert!(!page.contains("<script>alert"), "{address}: {page}");
    }
    for address in [
        "/",
        "/schemes",
        "/schemes/hostile",
        "/?q=HX+165",
        "/card?stamp=HX+165&into=osmark",
        "/?q=BR+1576-110",
    ] {
        let reply = server.get(address);
        assert_eq!(reply.status, 200, "{address}");
        let page = reply.text();
        assert!(
            page.contains("&lt;script&gt;alert(1)"),
            "{address} shows the title"
        );
        for markup in ["<script>alert", "<img src=x", "</table><script"] {
            assert!(!page.contains(markup), "{address}: {markup}");
        }
    }
}

#[test]
fn pages_need_no_inline_style_or_script() {
    let server = Server::start();
    for (_, address, media) in ADDRESSES {
        if media.starts_with("text/html") {
            let page = server.get(address).text();
            for inline in [
                " style=\"",
                "<style",
                " onclick=",
                " onload=",
                "javascript:",
            ] {
                assert!(!page.contains(inline), "{address}: {inline}");
            }
            assert!(
                page.split("<script")
                    .skip(1)
                    .all(|script| script.contains("src=\"")),
                "{address}"
            );
        }
    }
}

#[test]
fn a_legible_stamp_is_read_measured_and_compared_on_one_page() {
    let server = Server::start();
    let page = server.get("/?q=BR+1576-110").text().replace("&#x2f;", "/");
    for shown in [
        "Brindlow",
        "15.760",
        "± 0.0",
        "stated",
        "osmark",
        "compared on",
        "theirs",
        "unsaid:",
        "class=\"line\"",
        "/card?stamp=BR",
    ] {
        assert!(page.contains(shown), "no `{shown}`");
    }
    assert!(
        page.contains("cannot be compared"),
        "Lutterel measures in a way to which there is no route"
    );
    assert!(
        page.contains(" in</span>") && page.contains(" mm</span>") && page.contains("k 1."),
        "both units"
    );
    let inches = server.get("/?q=BR+1576-110&units=inch").text();
    let table = inches
        .split("class=\"card measures\"")
        .nth(1)
        .and_then(|rest| rest.split("</tbody>").next())
        .unwrap();
    assert!(
        table.contains(" in</span>") && !table.contains(" mm</span>"),
        "inches only: {table}"
    );
}

#[test]
fn a_worn_stamp_is_looked_for_and_a_near_miss_is_named() {
    let server = Server::start();
    let miss = server.get("/answer?q=BR+1580-110").text();
    assert!(
        miss.contains("1580 is not made; the nearest are 1576 and 1588"),
        "{miss}"
    );
    let worn = server.get("/answer?q=osm%3Frk+l*k").text();
    assert!(
        worn.contains("osmark lark") && worn.contains(" %"),
        "{worn}"
    );
    assert!(worn.contains("taken for"), "{worn}");
    let bare = server.get("/answer?gauge=rim+inner+diameter%40inner+edge%3D16.6%C2%B10.05mm&gauge=throat+diameter%3D3.73mm").text();
    assert!(bare.contains("osmark lark"), "gauges alone find: {bare}");
    let held = server
        .get("/answer?q=osmark+lark&gauge=rim+inner+diameter%40inner+edge%3D16.6%C2%B10.05mm")
        .text();
    assert!(
        held.contains("Held against the gauge") && held.contains("agrees within the uncertainty"),
        "{held}"
    );
    assert!(!held.contains("<html"), "a part of a page");
    assert!(server.get("/").text().contains("What is it?"));
}

#[test]
fn every_reading_of_a_stamp_is_one_link_away() {
    let server = Server::start_with(&[("twin", "1"), ("twine", "1")]);
    let first = server
        .get("/answer?q=TW+165&units=mm")
        .text()
        .replace("&#x2f;", "/")
        .replace("&amp;", "&");
    assert!(
        first.contains(
            "<a class=\"rival\" href=\"/?q=TW+165&reading=2&units=mm\">TW 165, twine (invented)</a>"
        ),
        "{first}"
    );
    assert!(first.contains("/card?stamp=TW+165\""), "{first}");
    let second = server
        .get("/answer?q=TW+165&reading=2")
        .text()
        .replace("&#x2f;", "/")
        .replace("&amp;", "&");
    assert!(
        second.contains("<a class=\"rival\" href=\"/?q=TW+165\">TW 165, twin (invented)</a>"),
        "{second}"
    );
    assert!(
        second.contains("/card?stamp=TW+165&reading=2\""),
        "{second}"
    );
    assert_eq!(server.get("/?q=TW+165&reading=3").status, 400);
}

#[test]
fn a_broken_plug_in_is_shown_and_the_others_serve() {
    let server = Server::start();
    let page = server.get("/schemes").text();
    for shown in [
        "plugins&#x2f;broken.yml:8:",
        "the last is 170",
        "Mend: write `to: 170`",
        "<b>broken</b>",
    ] {
        assert!(page.contains(shown), "no `{shown}`: {page}");
    }
    assert!(page.contains("Brindlow"));
    assert!(
        server.get("/ready").text().contains("4 schemes, 1 broken"),
        "{}",
        server.get("/ready").text()
    );
    let check = server.get("/api/v1/check").json();
    assert_eq!(check["good"], false);
    let faults = check["faults"].as_array().unwrap();
    assert!(
        faults
            .iter()
            .any(|fault| fault["code"] == "grid-end" && fault["line"] == 8),
        "{faults:?}"
    );
}

#[test]
fn answers_say_that_an_older_version_of_a_table_is_in_use() {
    let server = Server::start();
    let asked = "stamp=BR+1576-110&into=osmark";
    let api = format!("/api/v1/translate?{asked}");
    assert!(!server.get(&api).text().contains("is kept"));
    server.shop.write("plugins/brindlow.yml", "scheme: [\n");
    server.shop.write("plugins/osmark.yml", "scheme: [\n");
    let says = "the newer file is broken";
    let until = Instant::now() + Duration::from_secs(20);
    while server.get(&api).text().matches(says).count() < 2 {
        assert!(Instant::now() < until, "{}", server.get(&api).text());
        std::thread::sleep(Duration::from_millis(200));
    }
    let answer = server.get(&api).json();
    for scheme in [&answer["reading"]["scheme"], &answer["into"][0]["scheme"]] {
        assert!(scheme["kept"].as_str().unwrap().contains(says), "{scheme}");
    }
    for (path, times) in [
        ("/?q=BR+1576-110".to_owned(), 2),
        ("/answer?q=BR+15%3F6-110".to_owned(), 1),
        (format!("/card?{asked}"), 2),
        (format!("/card.txt?{asked}"), 2),
    ] {
        let page = server.get(&path).text();
        let together: String = page.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(together.matches(says).count() >= times, "{path}: {page}");
    }
}

#[test]
fn a_form_leads_to_the_address_that_says_the_same() {
    let server = Server::start();
    let post = |body: &str| {
        server.send(
            server
                .ask(Method::POST, "/")
                .header(CONTENT_TYPE, "application/x-www-form-urlencoded")
                .body(body.to_owned()),
        )
    };
    let form = post("q=BR+1576-110");
    assert_eq!(
        (form.status.as_u16(), form.header(LOCATION)),
        (303, "/?q=BR+1576-110")
    );
    assert_eq!(post("").header(LOCATION), "/");
    assert_eq!(post("p=1").status, 400);
}

#[test]
fn too_much_is_one_clear_refusal_and_the_server_goes_on() {
    let server = Server::start();
    let says = problem(
        &server.get(&format!("/api/v1/decode?stamp={}", "9".repeat(5000))),
        400,
        "too-long",
    );
    assert!(says.contains("5000 characters"), "{says}");
    let page = server.get(&format!("/?q={}", "9".repeat(5000)));
    assert_eq!(page.status, 400);
    assert!(
        page.text().contains("5000 characters were typed"),
        "{}",
        page.text()
    );

    let form = server.send(
        server
            .ask(Method::POST, "/")
            .body(format!("q={}", "9".repeat(2_000_000))),
    );
    assert_eq!(form.status, 413);
    assert!(form.text().contains("64 KiB"), "{}", form.text());

    let mut stream = server.raw();
    let head = format!(
        "GET /?q={} HTTP/1.1\r\nHost: localhost\r\n\r\n",
        "9".repeat(2_000_000)
    );
    // The server may answer and close before all of it is sent.
    let _ = stream.write_all(head.as_bytes());
    let mut answer = [0; 64];
    let read = stream.read(&mut answer).unwrap_or(0);
    let status = String::from_utf8_lossy(&answer[..read]).into_owned();
    assert!(
        status.is_empty() || status.starts_with("HTTP/1.1 4"),
        "{status}"
    );
    assert_eq!(server.get("/live").status, 200);
}

#[test]
fn a_slow_form_is_cut_off_while_others_are_answered() {
    let server = Server::start();
    let mut stream = server.raw();
    stream
        .write_all(b"POST / HTTP/1.1\r\nHost: localhost\r\nContent-Length: 100\r\n\r\n")
        .unwrap();
    let start = Instant::now();
    let mut writer = stream.try_clone().unwrap();
    let drip = std::thread::spawn(move || {
        while start.elapsed() < Duration::from_secs(15) && writer.write_all(b"q").is_ok() {
            std::thread::sleep(Duration::from_secs(1));
        }
    });
    assert_eq!(server.get("/live").status, 200);
    let mut answer = [0; 16];
    stream.read_exact(&mut answer).unwrap();
    assert!(
        answer.starts_with(b"HTTP/1.1 408"),
        "{}",
        String::from_utf8_lossy(&answer)
    );
    assert!(
        start.elapsed() < Duration::from_secs(14),
        "{:?}",
        start.elapsed()
    );
    drop(stream);
    drip.join().unwrap();
}

#[test]
fn silent_connections_do_not_hold_up_a_key_press() {
    let server = Server::start();
    let silent: Vec<TcpStream> = (0..300).map(|_| server.raw()).collect();
    server.get("/answer?q=BR+1576-110");
    let start = Instant::now();
    assert_eq!(server.get("/answer?q=BR+1576-110").status, 200);
    // They are given five seconds each; whoever waited for one of them waits as long.
    assert!(
        start.elapsed() < Duration::from_secs(4),
        "{:?} beside {} connections",
        start.elapsed(),
        silent.len()
    );
}

#[test]
fn a_port_that_is_taken_is_one_clear_line() {
    let server = Server::start();
    let flags = Flags {
        bind: Some(server.address.to_string()),
        ..Flags::default()
    };
    let config = server.shop.try_config(&flags).unwrap();
    let problem = bind(config.clone(), Snapshot::load(&config).unwrap())
        .err()
        .unwrap();
    assert_eq!(problem.exit(), exit::COULD_NOT);
    assert!(
        problem
            .message
            .to_string()
            .contains(&server.address.to_string()),
        "{}",
        problem.message
    );
    assert!(problem.hint.unwrap().to_string().contains("--bind"));
}

#[test]
fn the_interface_explains_values_and_bounds_its_trials() {
    let server = Server::start();
    let answer = server
        .get("/api/v1/decode?stamp=BR+1576-110&budget=yes&monte_carlo=1000&seed=2")
        .json();
    let explained = answer["explained"].as_array().unwrap();
    assert!(
        explained
            .iter()
            .all(|one| one["budget"]["lines"].is_array())
    );
    assert!(explained.iter().all(|one| one["monte_carlo"]["seed"] == 2));
    let alone = server.get("/api/v1/decode?stamp=BR+1576-110&seed=2");
    assert_eq!(alone.status, 400, "a seed of no trials");
    let refused = server.get("/api/v1/decode?stamp=BR+1576-110&monte_carlo=10001");
    assert_eq!(refused.status, 400);
    assert!(
        refused.text().contains("from 1000 to 10000"),
        "{}",
        refused.text()
    );
    let page = server.get("/?q=BR+1576-110").text();
    assert!(page.contains("<summary>What each ± adds up from</summary>"));
    assert!(page.contains("turning tolerance"));
}

#[test]
fn trials_for_a_client_that_left_are_called_off() {
    let server = Server::start();
    let under_way = || {
        let asked = server.get("/api/v1/decode?stamp=of+nobody&monte_carlo=1000");
        asked.status == StatusCode::SERVICE_UNAVAILABLE
    };
    // One run at a time: a look whether one is under way may have been before it.
    let asked = || {
        let mut client = TcpStream::connect(server.address).unwrap();
        client
            .write_all(b"GET /api/v1/translate?stamp=BR+1576-110&into=all&monte_carlo=10000 HTTP/1.1\r\nHost: localhost\r\n\r\n")
            .unwrap();
        std::thread::sleep(Duration::from_millis(300));
        under_way().then_some(client)
    };
    let client = (0..30).find_map(|_| asked()).expect("a run that began");
    // It is still under way when it is called off, long before it would have ended.
    std::thread::sleep(Duration::from_millis(200));
    assert!(under_way());
    drop(client);
    let left = Instant::now();
    while under_way() {
        assert!(left.elapsed() < Duration::from_secs(2), "the run goes on");
    }
}

#[test]
fn a_scheme_asked_for_often_is_answered_once() {
    let server = Server::start();
    let once = server.get("/api/v1/translate?stamp=BR+1576-110&into=osmark");
    let often = server.get(&format!(
        "/api/v1/translate?stamp=BR+1576-110{}",
        "&into=osmark".repeat(400)
    ));
    assert_eq!(often.text(), once.text());
    assert!(once.text().contains("osmark"), "{}", once.text());
    let chart = |schemes: usize| {
        let schemes = "&scheme=osmark".repeat(schemes);
        server.get(&format!(
            "/api/v1/chart?measure=rim+inner+diameter{schemes}"
        ))
    };
    assert_eq!(chart(300).text(), chart(1).text());
}
