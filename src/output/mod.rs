//! Answer → what people look at: plan, picture, sentences, tables. Nothing here computes sound.

pub mod drawing;
pub mod json;
pub mod leaks;
pub mod length;
pub mod lesson;
pub mod lettering;
pub mod low_frequency;
pub mod names;
pub mod palette;
pub mod picture;
pub mod plan;
pub mod table;
pub mod treatments;
pub mod words;

pub use drawing::Drawing;
pub use leaks::{By, Leaks};
pub use palette::Theme;
pub use plan::{PlanView, plan};
