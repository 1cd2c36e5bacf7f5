//! The open air: what façades and roofs give off reaches ears and other façades straight, round obstacles, and by one reflection.
//!
//! [`faces`] lists the radiating faces of a building; [`obstacles`] what stands between them, [`diffraction`] the paths round it, [`reflection`] the façades
//! that mirror; [`open_air`] puts these together from one end to another. [`pairs`] follows sound from façade to façade, [`listener`] to ears in the open.

mod diffraction;
mod faces;
mod listener;
mod obstacles;
mod open_air;
mod pairs;
mod reflection;

pub(super) use faces::{RadiatingFace, faces};
pub(super) use listener::{ShellPath, shell_paths};
pub(super) use open_air::OpenAir;
pub(super) use pairs::transfers;

#[cfg(test)]
mod tests {
    use super::super::conditions::Conditions;
    use super::super::element::{Elements, elements};
    use super::super::library::Library;
    use super::OpenAir;
    use crate::building::{Building, build};
    use crate::catalogue::Catalogue;
    use crate::scene::{Scene, file};

    /// Shipped scenes with houses beside each other and across streets, and what stands outdoors in them.
    pub(super) fn scenes() -> impl Iterator<Item = (Scene, Building, Elements, OpenAir)> {
        let texts = [
            include_str!("../../../scenes/bookshop-terrace.ron"),
            include_str!("../../../scenes/village-hall.ron"),
            include_str!("../../../scenes/music-school.ron"),
        ];
        texts.into_iter().map(|text| {
            let scene = file::from_text(text).unwrap();
            let catalogue = Catalogue::built_in_ref();
            let building = build(&scene, catalogue).unwrap();
            let conditions = Conditions::of(&scene);
            let library = Library::of(&scene, catalogue, &building, &mut Vec::new());
            let elements = elements(&library, &building, &conditions, &mut Vec::new(), &|| false).unwrap();
            let open_air = OpenAir::round(&building, &conditions);
            (scene, building, elements, open_air)
        })
    }
}
