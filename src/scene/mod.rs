//! The document: what is drawn and chosen. A plain value; nothing here knows what sound does.

pub mod model;

pub use model::*;
