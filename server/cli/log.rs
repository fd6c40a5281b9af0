//! The log of a serving counter: to standard error, as the configuration says.

use std::io::IsTerminal;

use tracing_subscriber::filter::LevelFilter;

use crate::config::{Config, LogFormat};

/// Begins to log. A second call in one process changes nothing.
pub fn begin(config: &Config) {
    let level = LevelFilter::from_level(config.log_level.value);
    let log = tracing_subscriber::fmt()
        .with_max_level(level)
        .with_ansi(std::io::stderr().is_terminal())
        .with_writer(std::io::stderr);
    // Fails only where a log was begun before, which may go on.
    let _ = match config.log_format.value {
        LogFormat::Json => log.json().try_init(),
        LogFormat::Human => log.with_target(false).try_init(),
    };
    for one in config.effective() {
        tracing::debug!(setting = one.key, value = one.value, origin = %one.origin, "set");
    }
}
