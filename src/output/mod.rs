//! Answer → what people look at: plan, picture, sentences, tables. Nothing here computes sound.

pub mod changes;
pub mod chart;
pub mod colour_maps;
pub mod compare;
mod draw;
pub mod drawing;
pub mod glow;
pub mod json;
pub mod kinds;
pub mod leaks;
pub mod length;
pub mod lesson;
pub mod lettering;
pub mod names;
mod page;
pub mod palette;
pub mod particles;
pub mod picture;
pub mod plan;
pub mod route;
pub mod section;
pub mod streaming;
pub mod table;
pub mod text;
pub mod treatments;
pub mod view;
pub mod words;

pub use changes::Changes;
pub use compare::Comparison;
pub use drawing::Drawing;
pub use glow::{Glow, Scale};
pub use leaks::{By, Leaks};
pub use palette::Theme;
pub use plan::plan;
pub use section::{Cut, section};
pub use view::PlanView;
