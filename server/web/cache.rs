//! Whole answers that depend on nothing but the tables, kept to be sent again.
//!
//! The key is the state of the tables, the language, the path and the parameters in the route's order, so that
//! a new table makes every older answer unreachable; it then ages out. Bounded by bytes: the
//! process needs the same memory after ten questions and after ten million.

use std::sync::Arc;

use actix_web::http::header::HeaderValue;
use actix_web::web::Bytes;
use quick_cache::Weighter;
use quick_cache::sync::Cache as Kept;
use sha2::{Digest, Sha256};

use super::assets::hexadecimal;
use super::question::Media;

/// All kept answers together, bytes.
const CAPACITY: u64 = 32 * 1024 * 1024;

/// A usual answer, bytes: only the first size of the index.
const USUAL: u64 = 16 * 1024;

/// One answer as it goes out.
#[derive(Clone, Debug)]
pub(super) struct Whole {
    pub media: Media,
    pub body: Bytes,
    pub etag: HeaderValue,
}

#[derive(Clone, Debug)]
struct Weight;

impl Weighter<String, Arc<Whole>> for Weight {
    fn weight(&self, key: &String, whole: &Arc<Whole>) -> u64 {
        (key.len() + whole.body.len() + size_of::<Whole>()) as u64
    }
}

/// Answers by their key.
#[derive(Debug)]
pub(super) struct Cache {
    kept: Kept<String, Arc<Whole>, Weight>,
    /// What besides tables and question an answer depends on: program and settings.
    build: String,
}

impl Cache {
    /// An empty one; `build` says which program with which settings answers.
    pub fn new(build: String) -> Self {
        Self {
            kept: Kept::with_weighter((CAPACITY / USUAL) as usize, CAPACITY, Weight),
            build,
        }
    }

    /// What a question is kept under.
    pub fn key(tables: &str, language: &str, path: &str, query: &str) -> String {
        [tables, " ", language, " ", path, "?", query].concat()
    }

    /// A kept answer.
    pub fn get(&self, key: &str) -> Option<Arc<Whole>> {
        self.kept.get(key)
    }

    /// Keeps an answer, and gives it as it goes out.
    pub fn keep(&self, key: String, media: Media, body: Vec<u8>) -> Arc<Whole> {
        let whole = Arc::new(Whole {
            media,
            body: body.into(),
            etag: self.etag(&key),
        });
        self.kept.insert(key, whole.clone());
        whole
    }

    /// A strong tag (RFC 9110, section 8.8.3): equal tags mean equal bytes.
    fn etag(&self, key: &str) -> HeaderValue {
        let sum = Sha256::new()
            .chain_update(&self.build)
            .chain_update([0])
            .chain_update(key)
            .finalize();
        let tag = format!("\"{}\"", hexadecimal(&sum[..16]));
        HeaderValue::from_str(&tag).expect("hexadecimal digits in quotes are a header value")
    }
}
