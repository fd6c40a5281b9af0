//! Plug-ins from elsewhere, against servers that misbehave.
//!
//! 1. A file comes when it is what was meant and of use; then it is readable and alone.
//! 2. Whatever else comes, the old file stays as it was, byte for byte, and nothing is left over.
//! 3. Each failure says of which kind it is, what happened and what to do.

use std::fs;
use std::io::{Read, Write};
use std::net::{TcpListener, TcpStream};
use std::thread;
use std::time::{Duration, Instant};

use counterbore::config::Sha256Sum;
use counterbore::fetch::{FailureKind, Outcome, Pulled, exit_code, pull_now};
use sha2::{Digest, Sha256};

use crate::shop::{Shop, scheme};

/// A server for one connection. Gives its port.
fn listener(talk: impl FnOnce(&mut TcpStream) + Send + 'static) -> u16 {
    let listener = TcpListener::bind("127.0.0.1:0").unwrap();
    let port = listener.local_addr().unwrap().port();
    thread::spawn(move || talk(&mut listener.accept().unwrap().0));
    port
}

/// A server for one request, which it answers with whatever `answer` writes.
fn server(answer: impl FnOnce(&mut TcpStream) + Send + 'static) -> u16 {
    listener(|stream| {
        let mut head = Vec::new();
        let mut byte = [0];
        while !head.ends_with(b"\r\n\r\n") && stream.read(&mut byte).unwrap_or(0) == 1 {
            head.push(byte[0]);
        }
        answer(stream);
    })
}

/// Writes as long as the other side listens.
fn send(stream: &mut TcpStream, bytes: &[u8]) -> bool {
    stream
        .write_all(bytes)
        .and_then(|()| stream.flush())
        .is_ok()
}

fn head(status: &str, headers: &str) -> String {
    format!("HTTP/1.1 {status}\r\nConnection: close\r\n{headers}\r\n")
}

/// A good answer with `body`.
fn whole(body: String) -> impl FnOnce(&mut TcpStream) + Send {
    move |stream| {
        let head = head("200 OK", &format!("Content-Length: {}\r\n", body.len()));
        send(stream, (head + &body).as_bytes());
    }
}

fn sum(text: &str) -> String {
    Sha256Sum(Sha256::digest(text).into()).to_string()
}

const OLD: &str = "the old file, which need not even be good";

/// A shop with one shelved file, `brindlow.yml`, that is there in an old state.
struct Shelf(Shop);

impl Shelf {
    fn new(port: u16, sha256: &str, limits: &str) -> Self {
        let shop = Shop::new();
        shop.write("plugins/brindlow.yml", OLD);
        shop.write(
            "config.yml",
            &format!(
                "plugins: [plugins]\nshelf_limits: {limits}\nshelf:\n- {{url: 'http://127.0.0.1:{port}/brindlow.yml', sha256: {sha256}, file: brindlow.yml}}\n"
            ),
        );
        Self(shop)
    }

    fn pull(&self) -> Vec<Pulled> {
        pull_now(&self.0.config(), &self.0.snapshot())
    }

    fn file(&self) -> String {
        fs::read_to_string(self.0.path("plugins/brindlow.yml")).unwrap()
    }

    fn files(&self) -> usize {
        fs::read_dir(self.0.path("plugins")).unwrap().count()
    }
}

/// Pulls, and holds that the old file stays. Gives why.
fn left_alone(shelf: &Shelf, kind: FailureKind) -> String {
    let pulled = shelf.pull();
    let Outcome::Failed(failure) = &pulled[0].outcome else {
        panic!("{pulled:?}")
    };
    assert_eq!(failure.kind, kind, "{failure:?}");
    assert!(!failure.mend.to_string().is_empty());
    assert_eq!(shelf.file(), OLD);
    assert_eq!(shelf.files(), 1);
    let code = if kind == FailureKind::Refused { 1 } else { 3 };
    assert_eq!(exit_code(&pulled), code);
    failure.why.to_string()
}

const USUAL: &str = "{seconds: 10}";

#[test]
fn what_was_meant_and_is_of_use_comes() {
    let text = scheme("brindlow", "2");
    let shelf = Shelf::new(server(whole(text.clone())), &sum(&text), USUAL);
    let pulled = shelf.pull();
    assert_eq!(pulled[0].outcome, Outcome::Fetched, "{pulled:?}");
    assert_eq!(
        (shelf.file(), shelf.files(), exit_code(&pulled)),
        (text, 1, 0)
    );
    assert_eq!(shelf.0.snapshot().scheme("brindlow").unwrap().revision, "2");

    // The server is gone by now, and not asked.
    let again = shelf.pull();
    assert_eq!(
        (&again[0].outcome, exit_code(&again)),
        (&Outcome::AlreadyTheSame, 0)
    );
}

#[cfg(unix)]
#[test]
fn a_fetched_file_can_be_read_by_who_runs_the_counter() {
    use std::os::unix::fs::PermissionsExt;
    let text = scheme("brindlow", "2");
    let shelf = Shelf::new(server(whole(text.clone())), &sum(&text), USUAL);
    shelf.pull();
    let mode = fs::metadata(shelf.0.path("plugins/brindlow.yml"))
        .unwrap()
        .permissions()
        .mode();
    assert_eq!(mode & 0o777, 0o644);
}

#[test]
fn a_body_in_pieces_without_a_length_comes() {
    let text = scheme("brindlow", "2");
    let body = text.clone();
    let answer = move |stream: &mut TcpStream| {
        send(
            stream,
            head("200 OK", "Transfer-Encoding: chunked\r\n").as_bytes(),
        );
        for piece in body.as_bytes().chunks(50) {
            send(stream, format!("{:x}\r\n", piece.len()).as_bytes());
            send(stream, piece);
            send(stream, b"\r\n");
        }
        send(stream, b"0\r\n\r\n");
    };
    let shelf = Shelf::new(server(answer), &sum(&text), USUAL);
    assert_eq!(shelf.pull()[0].outcome, Outcome::Fetched);
}

#[test]
fn another_file_than_was_meant_is_refused() {
    let (meant, other) = (scheme("brindlow", "2"), scheme("brindlow", "3"));
    let shelf = Shelf::new(server(whole(other.clone())), &sum(&meant), USUAL);
    let why = left_alone(&shelf, FailureKind::Refused);
    assert!(
        why.contains(&sum(&other)) && why.contains(&sum(&meant)),
        "{why}"
    );
}

#[test]
fn a_file_that_was_meant_but_has_faults_is_refused() {
    let text = scheme("brindlow", "2").replace("rim: \"165\"", "rim: \"160\"");
    let shelf = Shelf::new(server(whole(text.clone())), &sum(&text), USUAL);
    let why = left_alone(&shelf, FailureKind::Refused);
    assert!(why.contains("brindlow.yml:17:"), "{why}");

    let shelf = Shelf::new(server(whole("a: [".into())), &sum("a: ["), USUAL);
    left_alone(&shelf, FailureKind::Refused);
}

#[test]
fn a_scheme_whose_name_another_file_has_is_refused() {
    let text = scheme("arlow", "2");
    let shelf = Shelf::new(server(whole(text.clone())), &sum(&text), USUAL);
    shelf.0.write("plugins/zz.yml", &scheme("arlow", "1"));
    let pulled = shelf.pull();
    let Outcome::Failed(failure) = &pulled[0].outcome else {
        panic!("{pulled:?}")
    };
    assert!(failure.why.to_string().contains("zz.yml"), "{failure:?}");
    assert_eq!(shelf.0.snapshot().scheme("arlow").unwrap().revision, "1");
}

#[test]
fn a_redirect_is_not_followed() {
    let text = scheme("brindlow", "2");
    let there = server(whole(text.clone()));
    let to = format!("http://127.0.0.1:{there}/b.yml");
    for status in [
        "301 Moved Permanently",
        "302 Found",
        "307 Temporary Redirect",
    ] {
        let headers = format!("Location: {to}\r\nContent-Length: 0\r\n");
        let answer = head(status, &headers);
        let here = server(move |stream| {
            send(stream, answer.as_bytes());
        });
        let shelf = Shelf::new(here, &sum(&text), USUAL);
        let why = left_alone(&shelf, FailureKind::Refused);
        assert!(why.contains(&to), "{why}");
    }
}

#[test]
fn other_answers_than_yes_say_whose_matter_it_is() {
    let cases = [
        ("404 Not Found", FailureKind::Refused),
        ("206 Partial Content", FailureKind::Refused),
        ("503 Service Unavailable", FailureKind::OutOfReach),
    ];
    let text = scheme("brindlow", "2");
    for (status, kind) in cases {
        let body = text.clone();
        let here = server(move |stream| {
            let head = head(status, &format!("Content-Length: {}\r\n", body.len()));
            send(stream, (head + &body).as_bytes());
        });
        let why = left_alone(&Shelf::new(here, &sum(&text), USUAL), kind);
        assert!(why.contains(&status[..3]), "{why}");
    }
}

#[test]
fn a_drip_is_cut_off() {
    let text = scheme("brindlow", "2");
    let body = text.clone();
    let here = server(move |stream| {
        let head = head("200 OK", &format!("Content-Length: {}\r\n", body.len()));
        send(stream, head.as_bytes());
        // One byte in a fifth of a second keeps any wait for the next one short.
        for byte in body.bytes() {
            thread::sleep(Duration::from_millis(200));
            if !send(stream, &[byte]) {
                return;
            }
        }
    });
    let shelf = Shelf::new(here, &sum(&text), "{seconds: 1}");
    let start = Instant::now();
    let why = left_alone(&shelf, FailureKind::OutOfReach);
    assert!(why.contains("longer than 1 s"), "{why}");
    // The whole drip would take more than a minute.
    assert!(start.elapsed() < Duration::from_secs(10));
}

#[test]
fn silence_is_cut_off() {
    let here = server(|stream| {
        // Reads until the other side hangs up.
        let _ = stream.read(&mut [0]);
    });
    let shelf = Shelf::new(here, &sum(""), "{seconds: 1}");
    left_alone(&shelf, FailureKind::OutOfReach);
}

/// Sends `headers` and then bytes without end; tells how many went before it was cut off.
fn flood(headers: &str) -> (u16, std::sync::mpsc::Receiver<usize>) {
    let (tell, told) = std::sync::mpsc::channel();
    let head = head("200 OK", headers);
    let port = server(move |stream| {
        let mut sent = 0;
        if send(stream, head.as_bytes()) {
            while sent < MOST_SENT && send(stream, &[b'#'; 4096]) {
                sent += 4096;
            }
        }
        tell.send(sent).unwrap();
    });
    (port, told)
}

/// Far more than the limit of the test and all buffers on the way together.
const MOST_SENT: usize = 256 << 20;

#[test]
fn a_body_over_the_limit_is_cut_off_whatever_length_was_promised() {
    for headers in ["", "Content-Length: 999999999999\r\n"] {
        let (port, told) = flood(headers);
        let shelf = Shelf::new(port, &sum(""), "{bytes: 10000, seconds: 10}");
        let why = left_alone(&shelf, FailureKind::Refused);
        assert!(why.contains("more than 10000 bytes"), "{why}");
        let sent = told.recv_timeout(Duration::from_secs(20)).unwrap();
        assert!(sent < MOST_SENT, "{headers:?}: {sent} bytes were taken");
    }
}

#[test]
fn a_length_that_lies_brings_no_half_file() {
    let text = scheme("brindlow", "2");
    for (promised, kind) in [
        (text.len() + 100, FailureKind::OutOfReach),
        (text.len() - 100, FailureKind::Refused),
    ] {
        let body = text.clone();
        let here = server(move |stream| {
            let head = head("200 OK", &format!("Content-Length: {promised}\r\n"));
            send(stream, (head + &body).as_bytes());
        });
        left_alone(&Shelf::new(here, &sum(&text), USUAL), kind);
    }
}

#[test]
fn a_packed_body_is_refused_and_never_unpacked() {
    let text = scheme("brindlow", "2");
    for packed in ["gzip", "br", "deflate"] {
        let body = text.clone();
        let headers = format!(
            "Content-Encoding: {packed}\r\nContent-Length: {}\r\n",
            body.len()
        );
        let here = server(move |stream| {
            send(stream, (head("200 OK", &headers) + &body).as_bytes());
        });
        let why = left_alone(&Shelf::new(here, &sum(&text), USUAL), FailureKind::Refused);
        assert!(why.contains("packs"), "{why}");
    }
}

#[test]
fn no_connection_is_no_answer() {
    // TCP port service multiplexer (RFC 1078): nothing has answered there for decades.
    let port = 1;
    let shelf = Shelf::new(port, &sum(""), USUAL);
    let why = left_alone(&shelf, FailureKind::OutOfReach);
    assert!(why.contains("no connection"), "{why}");
}

#[test]
fn an_answer_that_is_no_http_is_no_answer() {
    let here = server(|stream| {
        send(stream, b"SSH-2.0-counter\r\n");
    });
    left_alone(&Shelf::new(here, &sum(""), USUAL), FailureKind::OutOfReach);
}

#[test]
fn an_https_address_takes_no_plain_answer() {
    let text = scheme("brindlow", "2");
    let answer = whole(text.clone());
    let here = listener(|stream| {
        stream.read_exact(&mut [0; 16]).unwrap();
        answer(stream);
    });
    let shelf = Shelf::new(here, &sum(&text), USUAL);
    let config = fs::read_to_string(shelf.0.path("config.yml")).unwrap();
    shelf
        .0
        .write("config.yml", &config.replace("http://", "https://"));
    left_alone(&shelf, FailureKind::OutOfReach);
}

#[test]
fn one_failure_does_not_stop_the_next_file() {
    let text = scheme("brindlow", "2");
    let (bad, good) = (server(whole("x".into())), server(whole(text.clone())));
    let shop = Shop::new();
    let entry = |port: u16, file: &str| {
        format!(
            "- {{url: 'http://127.0.0.1:{port}/', sha256: {}, file: {file}}}\n",
            sum(&text)
        )
    };
    let shelf = entry(bad, "a.yml") + &entry(good, "b.yml");
    shop.write(
        "config.yml",
        &format!("plugins: [plugins]\nshelf:\n{shelf}"),
    );
    let pulled = pull_now(&shop.config(), &shop.snapshot());
    assert!(matches!(pulled[0].outcome, Outcome::Failed(_)));
    assert_eq!(
        (&pulled[1].outcome, exit_code(&pulled)),
        (&Outcome::Fetched, 1)
    );
    assert!(!shop.path("plugins/a.yml").exists());
}

#[test]
fn nothing_is_fetched_into_the_program_itself() {
    let shop = Shop::new();
    let shelf = format!(
        "shelf: [{{url: 'http://127.0.0.1:9/', sha256: {}, file: b.yml}}]\n",
        sum("")
    );
    shop.write("config.yml", &shelf);
    let pulled = pull_now(&shop.config(), &shop.snapshot());
    let Outcome::Failed(failure) = &pulled[0].outcome else {
        panic!("{pulled:?}")
    };
    assert_eq!(failure.kind, FailureKind::Refused);
}
