//! Leaklight: by which paths a loud room leaks sound to its neighbours, band by band.
//!
//! One direction of data, each stage a plain function of the one before:
//! [`scene`] (what is drawn and chosen) → [`building`] (spaces, elements and junctions found from geometry) →
//! [`solve`] (one record for every way sound travels, and what each listener gets) → [`output`] and the window.
//! [`acoustics`] is physics on plain numbers and knows no stage; [`catalogue`] is the data the scene names.

#![forbid(unsafe_code)]

pub mod acoustics;
#[cfg(feature = "window")]
pub mod app;
pub mod building;
pub mod catalogue;
pub mod command;
pub mod edit;
mod geometry;
pub mod lesson;
pub mod output;
pub mod scene;
pub mod solve;
pub mod template;
