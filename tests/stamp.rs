//! Legible stamps.
