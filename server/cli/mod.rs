//! stub
#[allow(missing_docs)]
pub mod say;
