//! A contact of a source: what it touches, with what force, and what it rests on.

use bevy_egui::egui::Ui;

use super::Seen;
use super::fields::{button, check, choice, fact, number, set_length, slider, title};
use super::force::force_ui;
use super::head;
use crate::acoustics::isolation::USUAL_PLATFORM_M2;
use crate::app::editor::state::Editor;
use crate::edit::{Edit, Item, Pick};
use crate::scene::{Contact, Mount, Source, SourceId, Spring, Thing, Touches};

const LEVEL_DB: ((f64, f64), (f64, f64)) = ((-20.0, 20.0), (-60.0, 60.0));

/// The panel of a contact that is picked.
pub(super) fn picked_ui(ui: &mut Ui, seen: &Seen, editor: &mut Editor, id: &SourceId, at: usize) -> Option<Vec<Edit>> {
    let source = seen.scene.sources.iter().find(|source| source.id == *id)?;
    let contact = source.contacts.get(at)?;
    head(ui, seen, &format!("Contact of {}", source.name), &contact.name, None, &Thing::Source(id.0.clone()));
    let mut after = source.clone();
    contact_ui(ui, seen, source, at, &mut after.contacts[at]);
    if button(ui, "Pick its source", "") {
        editor.picks = vec![Pick::Source(id.clone())];
    }
    Some(if after == *source { vec![] } else { vec![Edit::Put(Item::Source(after))] })
}

/// The fields of a contact.
pub(super) fn contact_ui(ui: &mut Ui, seen: &Seen, source: &Source, at: usize, contact: &mut Contact) {
    title(ui, seen, "Bass drum pedal, piano castors, bracket of the saw …", &mut contact.name);
    let mut touches = vec![(Touches::Floor, "the floor".to_owned())];
    if let Some((_, storey)) = seen.storey(&source.storey) {
        let wall = |id: &crate::scene::WallId| (Touches::Wall(id.clone()), format!("wall {id}"));
        touches.extend(storey.walls.iter().map(|wall_of| wall(&wall_of.id)));
    }
    choice(ui, seen, "Touches", "The floor under it, or a wall of its room", &mut contact.touches, &touches);
    let mut apart = contact.at.is_some();
    if check(ui, "at a place of its own", "Else where its source stands", &mut apart) {
        contact.at = apart.then_some(source.at);
    }
    if let Some([x, y]) = &mut contact.at {
        set_length(ui, seen, "Rightwards", "From the plan's origin to the right", x, (-2000.0, 2000.0));
        set_length(ui, seen, "Upwards", "From the plan's origin up the sheet", y, (-2000.0, 2000.0));
    }
    force_ui(ui, seen, &mut contact.force);
    slider(ui, seen, ("Level", "Stronger (+) or weaker (−)", "dB"), &mut contact.level_db, LEVEL_DB);
    let mut mounted = contact.mount.is_some();
    let told = "A platform, mat or springs between it and the building";
    if check(ui, "rests on something that gives", told, &mut mounted) {
        contact.mount = mounted.then(usual_mount);
    }
    if let Some(mount) = &mut contact.mount {
        mount_ui(ui, seen, mount);
    }
    answer_ui(ui, seen, source, at);
}

/// A drummer with kit on rubber. Common practice, no source.
fn usual_mount() -> Mount {
    let spring = Spring::RubberDeflection(5.0, 1.5);
    Mount { load_kg: 150.0, spring, loss: 0.2, places: 4.0, area_m2: None }
}

fn mount_ui(ui: &mut Ui, seen: &Seen, mount: &mut Mount) {
    let told = "What rests on the springs: platform, instrument and player";
    number(ui, seen, ("Load", told, "kg"), &mut mount.load_kg, (0.1, 1e5));
    let usual = [
        (Spring::SteelDeflection(10.0), "steel springs"),
        (Spring::RubberDeflection(5.0, 1.5), "rubber or foam"),
        (Spring::Mat(20.0, 2.0), "mat"),
        (Spring::Stiffness(100_000.0), "a known stiffness"),
    ];
    let now = mount.spring.clone();
    let same = |one: &Spring| std::mem::discriminant(one) == std::mem::discriminant(&now);
    let all: Vec<(Spring, String)> =
        usual.into_iter().map(|(one, word)| (if same(&one) { now.clone() } else { one }, word.to_owned())).collect();
    choice(ui, seen, "Springs", "What it rests on", &mut mount.spring, &all);
    let give = ("Gives by", "How far they give under the load", "mm");
    match &mut mount.spring {
        Spring::SteelDeflection(mm) => drop(number(ui, seen, give, mm, (0.1, 200.0))),
        Spring::RubberDeflection(mm, stiffer) => {
            number(ui, seen, give, mm, (0.1, 100.0));
            let told = "How many times stiffer they are when they move: 1.3 to 3";
            number(ui, seen, ("Stiffer", told, "times"), stiffer, (1.0, 10.0));
        }
        Spring::Mat(stiffness, area_m2) => {
            number(ui, seen, ("Stiffness", "Dynamic, of the mat", "MN/m³"), stiffness, (0.1, 1000.0));
            number(ui, seen, ("Area", "Of contact", "m²"), area_m2, (0.001, 1000.0));
        }
        Spring::Stiffness(n_m) => {
            number(ui, seen, ("Stiffness", "Dynamic, of all of them together", "N/m"), n_m, (1.0, 1e9));
        }
    }
    number(ui, seen, ("Loss factor", "Of the springs", ""), &mut mount.loss, (0.001, 1.0));
    let of_mat = match mount.spring {
        Spring::Mat(_, area_m2) => Some(area_m2),
        _ => {
            number(ui, seen, ("Places", "Over how many the load is spread", ""), &mut mount.places, (1.0, 1000.0));
            None
        }
    };
    let mut area_m2 = mount.area_m2.or(of_mat).unwrap_or(USUAL_PLATFORM_M2);
    if number(ui, seen, ("Platform", "Its area on the floor", "m²"), &mut area_m2, (0.01, 1000.0)) {
        mount.area_m2 = Some(area_m2);
    }
    if let Err(why) = mount.isolators() {
        super::fields::alert(ui, &seen.palette, &format!("{}.", crate::output::words::heading(&why.to_string())));
    }
}

/// Where the mount swings.
fn answer_ui(ui: &mut Ui, seen: &Seen, source: &Source, at: usize) {
    let Some(solved) = seen.solved() else { return };
    let Some(contact) = source.contacts.get(at) else { return };
    let is_it = |mount: &&crate::solve::answer::MountAnswer| mount.source == source.id && mount.contact == contact.name;
    if let Some(mount) = solved.answer.mounts.iter().find(is_it) {
        let text = format!(
            "Swings at {:.1} Hz with its load; gains {:.0} dB at 63 Hz, {:.0} dB at 250 Hz",
            mount.resonance_hz, mount.gain_db[4], mount.gain_db[10]
        );
        fact(ui, &seen.palette, &text);
    }
}
