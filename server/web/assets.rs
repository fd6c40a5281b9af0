//! Style, script, icon and the faces of the type, each under a name with its own hash.
//!
//! What has the hash of its content in its address never changes and is kept for a year; without
//! it, or with another, the browser asks again. A debug build reads the folder of the sources.

use rust_embed::{Embed, EmbeddedFile};
use serde::Serialize;

use crate::paper::fonts;

#[derive(Embed)]
#[folder = "server/web/assets/"]
struct Assets;

/// An asset by its name. Pages are set in the face of paper, so that they look and fit the same on every machine.
pub(super) fn asset(name: &str) -> Option<EmbeddedFile> {
    Assets::get(name).or_else(|| fonts::file(name))
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
    faces: [String; 2],
}

impl Addresses {
    /// Of the assets as they are now.
    pub fn now() -> Self {
        Self {
            style: address("counter.css"),
            script: address("counter.js"),
            icon: address("counter.svg"),
            faces: [
                address("IBMPlexSansCondensed-Regular.ttf"),
                address("IBMPlexSansCondensed-Bold.ttf"),
            ],
        }
    }
}

fn address(name: &str) -> String {
    let hash = asset(name).map(|asset| version(&asset)).unwrap_or_default();
    format!("/assets/{name}?v={hash}")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A page loads its faces early, and a style sheet that named another address would load them twice.
    #[test]
    fn style_and_page_name_the_faces_alike() {
        let style = include_str!("assets/counter.css");
        for face in Addresses::now().faces {
            let name = face.trim_start_matches("/assets/");
            assert!(style.contains(&format!("url(\"{name}\")")), "{name}");
        }
    }
}
