//! Leaklight: by which paths a loud room leaks sound to its neighbours, band by band.
//!
//! One direction of data, each stage a plain function of the one before:
//! [`scene`] (what is drawn and chosen) → [`building`] (spaces, elements and junctions found from geometry) →
//! [`solve`] (one record for every way sound travels, and what each listener gets) → [`output`] and the window.
//! [`acoustics`] is physics on plain numbers and knows no stage; [`catalogue`] is the data the scene names;
//! [`project`] goes the whole way:
//!
//! ```
//! use leaklight::project::Project;
//! use leaklight::scene::Problem;
//!
//! # fn main() -> Result<(), Vec<Problem>> {
//! let solved = Project::open("scenes/bookshop-terrace.ron")?.solve()?;
//! let loudest = solved.answer.listeners.iter().max_by(|a, b| a.la_db.total_cmp(&b.la_db)).expect("it has listeners");
//! println!("{} gets {:.0} dB(A), most of it by:", loudest.name, loudest.la_db);
//! for path in loudest.paths.iter().take(3) {
//!     println!("{:3.0} % {:?}", 100.0 * path.share, path.kind);
//! }
//! # Ok(())
//! # }
//! ```

#![forbid(unsafe_code)]

pub mod acoustics;
pub mod advise;
// A program, no library: what is public in it is so for the tests and the benches.
#[cfg(feature = "window")]
#[doc(hidden)]
pub mod app;
pub mod build_list;
pub mod building;
pub mod catalogue;
pub mod command;
pub mod edit;
mod geometry;
pub mod lesson;
pub mod output;
pub mod project;
pub mod scene;
pub mod solve;
pub mod template;
