//! One line a request, under an id that the client gets too.
//!
//! Route template, status and time; what was typed is a customer's matter and stands in the log
//! only where somebody has asked for debugging.

use std::hash::{BuildHasher, RandomState};
use std::sync::LazyLock;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::Instant;

use actix_web::Error;
use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::{HeaderName, HeaderValue};
use actix_web::middleware::Next;
use tracing::Instrument;

/// Ids of two runs do not meet: each starts somewhere else.
static NEXT: LazyLock<AtomicU64> =
    LazyLock::new(|| AtomicU64::new(RandomState::new().hash_one(std::process::id())));

/// Writes the line and the header.
pub(super) async fn traced(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> Result<ServiceResponse<impl MessageBody>, Error> {
    let start = Instant::now();
    let id = format!("{:016x}", NEXT.fetch_add(1, Ordering::Relaxed));
    let span = tracing::info_span!("request", id);
    let method = request.method().clone();
    tracing::debug!(parent: &span, asked = %request.uri(), "asked");
    let mut response = next.call(request).instrument(span.clone()).await?;
    let route = response.request().match_pattern();
    tracing::info!(
        parent: &span,
        %method,
        route = route.as_deref().unwrap_or("none"),
        status = response.status().as_u16(),
        microseconds = start.elapsed().as_micros() as u64,
        "answered"
    );
    if let Ok(id) = HeaderValue::from_str(&id) {
        response
            .headers_mut()
            .insert(HeaderName::from_static("x-request-id"), id);
    }
    Ok(response)
}
