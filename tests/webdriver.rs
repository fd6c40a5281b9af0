//! A small WebDriver client (W3C Recommendation "WebDriver", the commands used here), for tests
//! through a real browser. JSON over HTTP to a chromedriver that the guard starts and stops.

use std::io::{BufRead, BufReader};
use std::process::{Child, Command, Stdio};

use serde_json::{Value, json};

/// A browser with one window; both are gone when it is dropped.
pub struct Browser {
    driver: Child,
    client: reqwest::Client,
    runtime: tokio::runtime::Runtime,
    session: String,
}

/// The key of element references (WebDriver, section 11).
const ELEMENT: &str = "element-6066-11e4-a52e-4f735466cecf";

impl Browser {
    /// Starts chromedriver and headless Chromium; none where either is not installed.
    pub fn start(width: u32, height: u32) -> Option<Self> {
        let mut driver = Command::new("chromedriver")
            .arg("--port=0")
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .ok()?;
        let port = port(&mut driver);
        let _ = rustls::crypto::ring::default_provider().install_default();
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .unwrap();
        let client = reqwest::Client::builder().no_proxy().build().unwrap();
        let base = format!("http://127.0.0.1:{port}/session");
        let mut browser = Self {
            driver,
            client,
            runtime,
            session: base,
        };
        let arguments = [
            "--headless=new",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-quic",
            "--no-first-run",
            "--disable-background-networking",
            "--disable-component-update",
            "--disable-sync",
            &format!("--window-size={width},{height}"),
        ];
        let wanted =
            json!({"capabilities": {"alwaysMatch": {"goog:chromeOptions": {"args": arguments}}}});
        let opened = browser.post("", &wanted);
        let session = opened["sessionId"].as_str().unwrap().to_owned();
        browser.session = format!("{}/{session}", browser.session);
        Some(browser)
    }

    fn post(&self, path: &str, body: &Value) -> Value {
        self.call(
            self.client
                .post(format!("{}{path}", self.session))
                .body(body.to_string()),
        )
    }

    fn call(&self, request: reqwest::RequestBuilder) -> Value {
        let text = self
            .runtime
            .block_on(async { request.send().await.unwrap().text().await.unwrap() });
        let answer: Value = serde_json::from_str(&text).unwrap();
        assert!(
            answer["value"]["error"].is_null(),
            "{}: {}",
            answer["value"]["error"],
            answer["value"]["message"]
        );
        answer["value"].clone()
    }

    /// Shows pages light or dark, as a person would have set the system.
    pub fn prefers(&self, scheme: &str) {
        let features = json!([{"name": "prefers-color-scheme", "value": scheme}]);
        let command =
            json!({"cmd": "Emulation.setEmulatedMedia", "params": {"features": features}});
        self.post("/goog/cdp/execute", &command);
    }

    /// Shows pages in a window of exactly this inner size.
    pub fn viewport(&self, width: u32, height: u32) {
        let metrics =
            json!({"width": width, "height": height, "deviceScaleFactor": 1, "mobile": false});
        let command = json!({"cmd": "Emulation.setDeviceMetricsOverride", "params": metrics});
        self.post("/goog/cdp/execute", &command);
    }

    /// Lets no answer come, or lets them come again.
    pub fn offline(&self, offline: bool) {
        self.post(
            "/goog/cdp/execute",
            &json!({"cmd": "Network.enable", "params": {}}),
        );
        let conditions = json!({"offline": offline, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1});
        let command = json!({"cmd": "Network.emulateNetworkConditions", "params": conditions});
        self.post("/goog/cdp/execute", &command);
    }

    /// Opens an address.
    pub fn open(&self, address: &str) {
        self.post("/url", &json!({ "url": address }));
    }

    /// Types keys into whatever has the focus.
    pub fn keys(&self, text: &str) {
        let press = |key: char| {
            [
                json!({"type": "keyDown", "value": key.to_string()}),
                json!({"type": "keyUp", "value": key.to_string()}),
            ]
        };
        let actions: Vec<Value> = text.chars().flat_map(press).collect();
        self.post(
            "/actions",
            &json!({"actions": [{"type": "key", "id": "keys", "actions": actions}]}),
        );
    }

    /// Runs a script that returns a value.
    pub fn script(&self, script: &str) -> Value {
        self.post("/execute/sync", &json!({"script": script, "args": []}))
    }

    /// Clicks the first element that the selector names.
    pub fn click(&self, selector: &str) {
        let found = self.post(
            "/element",
            &json!({"using": "css selector", "value": selector}),
        );
        let element = found[ELEMENT].as_str().unwrap();
        self.post(&format!("/element/{element}/click"), &json!({}));
    }

    /// Touches the middle of the first element that the selector names.
    pub fn tap(&self, selector: &str) {
        let found = self.post(
            "/element",
            &json!({"using": "css selector", "value": selector}),
        );
        let steps = json!([
            {"type": "pointerMove", "origin": found, "x": 0, "y": 0},
            {"type": "pointerDown", "button": 0},
            {"type": "pointerUp", "button": 0},
        ]);
        let finger = json!({"type": "pointer", "id": "finger", "parameters": {"pointerType": "touch"}, "actions": steps});
        self.post("/actions", &json!({ "actions": [finger] }));
    }

    /// Runs the scripts of pages, or does not; those of the test run all the same.
    pub fn scripts(&self, run: bool) {
        let command =
            json!({"cmd": "Emulation.setScriptExecutionDisabled", "params": {"value": !run}});
        self.post("/goog/cdp/execute", &command);
    }

    /// Waits until a script returns true; a browser that never gets there fails with the page's text.
    pub fn until(&self, condition: &str) {
        for _ in 0..100 {
            if self.script(&format!("return Boolean({condition});")) == Value::Bool(true) {
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(100));
        }
        panic!(
            "never `{condition}`; the page says: {}",
            self.script("return document.body.innerText;")
        );
    }
}

/// chromedriver prints the port it took.
fn port(driver: &mut Child) -> u16 {
    let lines = BufReader::new(driver.stdout.take().unwrap()).lines();
    lines
        .map_while(Result::ok)
        .find_map(|line| {
            line.split("successfully on port ")
                .nth(1)?
                .trim_end_matches('.')
                .trim()
                .parse()
                .ok()
        })
        .expect("chromedriver says its port")
}

impl Drop for Browser {
    fn drop(&mut self) {
        let request = self.client.delete(self.session.clone());
        let _ = self.runtime.block_on(request.send());
        let _ = self.driver.kill();
        let _ = self.driver.wait();
    }
}
