//! What every response says to browsers, and who may call by which name.
//!
//! A page elsewhere can make a browser ask this server under a name of its own (DNS rebinding):
//! only addresses, this machine's names and those of the configuration are answered.
//! Nothing is fetched from elsewhere and nothing written in a page runs.

use std::net::{IpAddr, Ipv6Addr};

use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::{HOST, HeaderMap, HeaderName, HeaderValue};
use actix_web::middleware::Next;
use actix_web::{Error, web};

use super::error::{Refusal, refused};
use super::server::State;

/// Headers of every response.
const HEADERS: [(&str, &str); 6] = [
    (
        "content-security-policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; font-src 'self'; img-src 'self' data:; \
         connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("referrer-policy", "same-origin"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
    (
        "permissions-policy",
        "camera=(), microphone=(), geolocation=()",
    ),
];

/// Refuses strange hosts and puts the headers on every response.
pub(super) async fn guarded(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<impl MessageBody>, Error> {
    let state = request.app_data::<web::Data<State>>().cloned();
    let stranger = state.filter(|state| !state.hosts.answer(&asked_host(&request)));
    let mut response = match stranger {
        Some(state) => {
            let response = refused(&state.counter, Refusal::WrongHost, request.request());
            request.into_response(response).map_into_right_body()
        }
        None => next.call(request).await?.map_into_left_body(),
    };
    put(response.headers_mut());
    Ok(response)
}

fn put(headers: &mut HeaderMap) {
    for (name, value) in HEADERS {
        headers.insert(
            HeaderName::from_static(name),
            HeaderValue::from_static(value),
        );
    }
}

/// The host without its port; HTTP/2 has it in the address.
fn asked_host(request: &ServiceRequest) -> String {
    let header = request
        .headers()
        .get(HOST)
        .and_then(|host| host.to_str().ok());
    // An address in the request line outranks the header (RFC 9112, 3.2.2).
    request
        .uri()
        .host()
        .or(header)
        .unwrap_or_default()
        .to_owned()
}

/// Names under which the server answers, in small letters.
#[derive(Debug)]
pub(super) struct Hosts {
    names: Vec<String>,
}

impl Hosts {
    /// Those of the configuration, and this machine's.
    pub fn new(configured: &[String], machine: Option<String>) -> Self {
        let mut names: Vec<String> = configured
            .iter()
            .map(|name| name.to_ascii_lowercase())
            .collect();
        names.extend(
            machine
                .map(|name| name.to_ascii_lowercase())
                .filter(|name| !name.is_empty()),
        );
        names.push("localhost".into());
        Self { names }
    }

    /// Whether the server answers under the host of a `Host` header.
    pub fn answer(&self, host: &str) -> bool {
        let Some(name) = without_port(host) else {
            return false;
        };
        let name = name.to_ascii_lowercase();
        if let Some(inside) = name
            .strip_prefix('[')
            .and_then(|rest| rest.strip_suffix(']'))
        {
            return inside.parse::<Ipv6Addr>().is_ok();
        }
        name.parse::<IpAddr>()
            .is_ok_and(|address| address.is_ipv4())
            || self.names.contains(&name)
            || name
                .strip_suffix(".local")
                .is_some_and(|machine| !machine.is_empty())
    }
}

/// The name of a host, where what follows it is a port.
fn without_port(host: &str) -> Option<&str> {
    let end = host.rfind(']').map_or(0, |bracket| bracket + 1);
    match host[end..].find(':') {
        None => Some(host),
        Some(colon) => {
            let (name, port) = host.split_at(end + colon);
            port[1..].parse::<u16>().is_ok().then_some(name)
        }
    }
}

/// This machine's own name, where the system says it.
pub(super) fn machine_name() -> Option<String> {
    let name = std::fs::read_to_string("/proc/sys/kernel/hostname")
        .or_else(|_| std::fs::read_to_string("/etc/hostname"));
    name.ok().map(|name| name.trim().to_owned())
}
