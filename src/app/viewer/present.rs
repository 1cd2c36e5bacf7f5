//! Showing the building to others: one kept view after another; and a view of the window as a scene keeps it, and back.

use bevy::prelude::Resource;

use crate::acoustics::bands::NOMINAL_HZ;
use crate::app::view::{Compare, View};
use crate::output::section::Cut;
use crate::output::{By, words};
use crate::project::Solved;
use crate::scene::{Light, Lit, SavedView};
use crate::solve::BandChoice;

/// Whether the building is shown to others, and what is kept to show.
#[derive(Debug, Clone, Default, PartialEq, Resource)]
pub struct Present {
    /// Which of the scene's views is shown, by position; nothing while the window is worked in.
    pub at: Option<usize>,
    /// True while the list of views is open.
    pub list: bool,
    /// What was looked at before, to come back to.
    pub before: Option<Box<View>>,
}

/// What is looked at now, as a scene keeps it. What is said to it is made of the answer, to be changed at will.
pub fn saved_view(view: &View, solved: &Solved) -> Option<SavedView> {
    let heard = view.heard(solved)?;
    let said = words::lines(&solved.scene, &solved.building, heard, view.bands);
    Some(SavedView {
        caption: said.heard,
        listener: heard.listener.clone(),
        storey: view.storey.clone(),
        hz: match view.bands {
            BandChoice::AWeighted => None,
            BandChoice::Range(first, last) => Some((NOMINAL_HZ[first], NOMINAL_HZ[last.min(NOMINAL_HZ.len() - 1)])),
        },
        lit: match view.by {
            By::Entry => Lit::GetsOut,
            By::Exit => Lit::ComesIn,
        },
        light: if view.levels { Light::Level } else { Light::Share },
        cut: view.cut.map(|cut| [cut.from, cut.to]),
    })
}

/// Looks as a kept view says; theme, units and size of letters stay.
pub fn apply_saved_view(view: &mut View, saved: &SavedView) {
    let band = |hz: f64| NOMINAL_HZ.iter().position(|nominal| *nominal == hz);
    view.listener = Some(saved.listener.clone());
    view.storey.clone_from(&saved.storey);
    view.bands = saved
        .hz
        .and_then(|(low, high)| Some(BandChoice::Range(band(low)?, band(high)?)))
        .unwrap_or(BandChoice::AWeighted);
    view.by = match saved.lit {
        Lit::GetsOut => By::Entry,
        Lit::ComesIn => By::Exit,
    };
    view.levels = saved.light == Light::Level;
    view.cut = saved.cut.map(|[from, to]| Cut { from, to }).filter(Cut::is_line);
    view.compare = Compare::Off;
    view.whole_section = false;
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::Project;
    use crate::scene::file;

    #[test]
    fn a_kept_view_looks_as_it_did() {
        let scene = file::from_text(include_str!("../../../scenes/bookshop-terrace.ron")).expect("it is shipped");
        let solved = Project::of(scene).solve().expect("it can be solved");
        let mut view = View::default();
        view.follow(&solved);
        view.bands = BandChoice::Range(3, 5);
        view.by = By::Exit;
        view.levels = true;
        view.cut = Some(Cut { from: [0.0, 1.0], to: [8.0, 1.0] });
        let saved = saved_view(&view, &solved).expect("someone listens");
        assert_eq!(saved.hz, Some((50.0, 80.0)));
        let mut again = View::default();
        apply_saved_view(&mut again, &saved);
        assert_eq!(again, view);
    }
}
