//! One file over http or https, within limits of length and time.
//!
//! No redirects, no proxies, nothing unpacked: what is counted and summed is what
//! came over the wire.

use std::error::Error;
use std::time::Duration;

use reqwest::header::{ACCEPT_ENCODING, CONTENT_ENCODING, HeaderMap, LOCATION};
use reqwest::{Client, Response, StatusCode, Url, redirect};

use super::Failure;
use crate::config::ShelfLimits;
use crate::language::Sentence;

/// The body of what lies at `url`.
pub(super) async fn download(url: &Url, limits: ShelfLimits) -> Result<Vec<u8>, Failure> {
    let client = client(url, limits).map_err(|error| failed(&error, limits))?;
    let request = client.get(url.clone()).header(ACCEPT_ENCODING, "identity");
    let response = request
        .send()
        .await
        .map_err(|error| failed(&error, limits))?;
    good_status(&response)?;
    unpacked(response.headers())?;
    body(response, limits).await
}

fn client(url: &Url, limits: ShelfLimits) -> reqwest::Result<Client> {
    // Fails if there is one already, which then is the same.
    let _ = rustls::crypto::ring::default_provider().install_default();
    let time = Duration::from_secs(limits.seconds);
    let client = Client::builder()
        .redirect(redirect::Policy::none())
        .no_proxy()
        .connect_timeout(time)
        .timeout(time)
        .user_agent(concat!("counterbore/", env!("CARGO_PKG_VERSION")));
    if url.scheme() == "https" {
        return client.build();
    }
    // A machine without any root certificates can still fetch over http.
    client.tls_certs_only([]).build()
}

fn good_status(response: &Response) -> Result<(), Failure> {
    let status = response.status();
    if status == StatusCode::OK {
        return Ok(());
    }
    let why = sentence!("the server answers {status}", status);
    if status.is_redirection() {
        let to = response
            .headers()
            .get(LOCATION)
            .and_then(|to| to.to_str().ok());
        let why = sentence!(
            "{why}: the file is at {address}",
            why = why.clone(),
            address = to.map_or_else(|| sentence!("another address"), Sentence::from)
        );
        return Err(Failure::refused(
            why,
            sentence!("see whether that is right, and write it as `url`"),
        ));
    }
    if status.is_server_error() {
        return Err(Failure::out_of_reach(why, sentence!("try again later")));
    }
    Err(Failure::refused(why, sentence!("mend the `url`")))
}

fn unpacked(headers: &HeaderMap) -> Result<(), Failure> {
    match headers.get(CONTENT_ENCODING) {
        Some(packed) if packed != "identity" => Err(Failure::refused(
            sentence!("the server packs the file, though it was asked not to"),
            sentence!("name an address at which the file lies as it is"),
        )),
        _ => Ok(()),
    }
}

/// Counts what comes, whatever length was promised.
async fn body(mut response: Response, limits: ShelfLimits) -> Result<Vec<u8>, Failure> {
    if response
        .content_length()
        .is_some_and(|length| length > limits.bytes)
    {
        return Err(too_long(limits));
    }
    let mut bytes = Vec::new();
    while let Some(chunk) = response
        .chunk()
        .await
        .map_err(|error| failed(&error, limits))?
    {
        if (bytes.len() + chunk.len()) as u64 > limits.bytes {
            return Err(too_long(limits));
        }
        bytes.extend_from_slice(&chunk);
    }
    Ok(bytes)
}

fn too_long(limits: ShelfLimits) -> Failure {
    let why = sentence!(
        "the file has more than {bytes} bytes",
        bytes = limits.bytes.to_string()
    );
    Failure::refused(
        why,
        sentence!("see what lies there; `shelf_limits` says how much may come"),
    )
}

fn failed(error: &reqwest::Error, limits: ShelfLimits) -> Failure {
    if error.is_timeout() {
        let why = sentence!(
            "it took longer than {seconds} s",
            seconds = limits.seconds.to_string()
        );
        return Failure::out_of_reach(why, sentence!("try again, or allow more in `shelf_limits`"));
    }
    let why = if error.is_connect() {
        sentence!("no connection")
    } else {
        sentence!("the transfer broke off")
    };
    let why = sentence!("{why}: {cause}", why = why, cause = cause(error));
    Failure::out_of_reach(
        why,
        sentence!("see whether the address is right and the network is there"),
    )
}

/// The innermost cause says most.
fn cause(error: &dyn Error) -> String {
    let mut innermost = error;
    while let Some(source) = innermost.source() {
        innermost = source;
    }
    innermost.to_string()
}
