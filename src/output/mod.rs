//! Answer → what people look at: plan, picture, sentences, tables. Nothing here computes sound.

pub mod changes;
pub mod colour_maps;
pub mod compare;
pub mod course;
pub mod drawing;
pub mod glow;
pub mod json;
pub mod kinds;
pub mod leaks;
pub mod length;
pub mod lesson;
pub mod lettering;
pub mod low_frequency;
pub mod motes;
pub mod names;
pub mod palette;
pub mod picture;
pub mod plan;
pub mod section;
mod sheet;
pub mod stack;
pub mod streaming;
pub mod table;
pub mod treatments;
pub mod words;

pub use changes::Changes;
pub use compare::Comparison;
pub use drawing::Drawing;
pub use glow::{Glow, Scale};
pub use leaks::{By, Leaks};
pub use palette::Theme;
pub use plan::{PlanView, Variant, plan};
pub use section::{Cut, SectionView, section};
