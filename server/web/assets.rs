//! Style, script and icon, each under a name with its own hash.
//!
//! What has the hash of its content in its address never changes and is kept for a year; without
//! it, or with another, the browser asks again. A debug build reads the folder of the sources.

use rust_embed::{Embed, EmbeddedFile};
use serde::Serialize;

#[derive(Embed)]
#[folder = "server/web/assets/"]
struct Assets;

/// An asset by its name.
pub(super) fn asset(name: &str) -> Option<EmbeddedFile> {
    Assets::get(name)
}

/// The hash of an asset, as it stands in addresses.
pub(super) fn version(asset: &EmbeddedFile) -> String {
    hexadecimal(&asset.metadata.sha256_hash()[..8])
}

/// Bytes as hexadecimal digits.
pub(super) fn hexadecimal(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// Addresses of the assets, for pages.
#[derive(Clone, Debug, Serialize)]
pub(super) struct Addresses {
    style: String,
    script: String,
    icon: String,
}

impl Addresses {
    /// Of the assets as they are now.
    pub fn now() -> Self {
        Self {
            style: address("counter.css"),
            script: address("counter.js"),
            icon: address("counter.svg"),
        }
    }
}

fn address(name: &str) -> String {
    let hash = asset(name).map(|asset| version(&asset)).unwrap_or_default();
    format!("/assets/{name}?v={hash}")
}
