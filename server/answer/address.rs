//! Addresses that ask a question again.

use super::translate::{Ask, wants_all};

/// The address that reopens the card of a question, below `base`.
pub fn card_address(base: &str, ask: &Ask<'_>) -> String {
    let mut address = format!("{base}/card?stamp={}", encoded(ask.stamp.trim()));
    if !wants_all(&ask.into) {
        address += &format!("&into={}", encoded(&ask.into.join(",")));
    }
    if ask.reading != 1 {
        address += &format!("&reading={}", ask.reading);
    }
    address
}

/// Percent-encoding of a query value (RFC 3986, section 2.3: unreserved characters stay).
fn encoded(text: &str) -> String {
    let kept = |byte: u8| byte.is_ascii_alphanumeric() || b"-._~".contains(&byte);
    text.bytes()
        .map(|byte| {
            if kept(byte) {
                char::from(byte).to_string()
            } else {
                format!("%{byte:02X}")
            }
        })
        .collect()
}
