//! What templates share: rooms by their use, windows and doors by their kind, who is loud with what touches the floor, who listens.

use super::Answers;
use super::question::Question;
use super::sheet::{Drawn, Made, Set, round, thickness_m};
use crate::scene::{
    AirConditions, Background, Contact, ContactForce, FORMAT, Finishes, Listener, ListenerId, Outdoors, Room, RoomId,
    Scene, Source, SourceId, Storey, StoreyId, Touches, Usage,
};

/// How high the lowest storey lies above the street, m.
const STEP_M: f64 = 0.15;

/// A room with what usually stands in it. Furniture and backgrounds invented.
pub(super) fn room(id: &str, name: &str, usage: Usage) -> Room {
    let carpeted = Finishes { floor: "carpet-on-felt".into(), ..Finishes::default() };
    let (finishes, furniture_m2, background) = match usage {
        Usage::Practice => (Finishes::default(), 3.0, Background::NoiseRating(25.0)),
        Usage::Bedroom => (carpeted, 4.0, Background::NoiseRating(20.0)),
        Usage::Living => (carpeted, 5.0, Background::NoiseRating(25.0)),
        Usage::Classroom => (Finishes::default(), 6.0, Background::NoiseRating(30.0)),
        Usage::Work => (Finishes::default(), 6.0, Background::NoiseRating(35.0)),
        Usage::Circulation => (Finishes::default(), 0.0, Background::NoiseRating(30.0)),
        Usage::Loft | Usage::Void | Usage::Cavity => (bare_loft(), 0.0, Background::Unstated),
    };
    Room {
        id: RoomId(id.to_owned()),
        name: name.to_owned(),
        at: [0.0; 2],
        usage,
        finishes,
        furniture_m2,
        floor: None,
        roof: None,
        background,
        volume_m3: None,
        reverberation_s: None,
        inner_shell: None,
        fill: None,
    }
}

fn bare_loft() -> Finishes {
    Finishes {
        floor: "mineral-wool-panel-50".into(),
        walls: "brick-bare".into(),
        ceiling: "wood-floor-joists".into(),
        extra: vec![],
    }
}

/// What the window of the loud room is.
pub(super) fn window_question() -> Question {
    Question::one_of(
        "window",
        "What windows has the room?",
        &[
            ("double", "double glazing, closes tight"),
            ("single", "single panes in old sashes"),
            ("secondary", "a second pane well behind the first"),
            ("none", "no window"),
        ],
    )
}

/// The window of the loud room, if it has one. Sizes and seals common practice, no source.
pub(super) fn window(answers: &Answers) -> Option<Set<'static>> {
    let usual = usual_window();
    match answers.word("window") {
        "single" => Some(Set { construction: "window-sash-single-4", seal: Some("worn"), ..usual }),
        "secondary" => Some(Set { construction: "window-secondary-4-100-6", ..usual }),
        "none" => None,
        _ => Some(usual),
    }
}

/// A window of anybody else's.
pub(super) fn usual_window() -> Set<'static> {
    Set {
        name: "window",
        construction: "window-double-4-16-4",
        width_m: 1.4,
        height_m: 1.2,
        sill_m: 0.85,
        seal: Some("compression-single"),
        undercut_mm: 0.0,
    }
}

/// What the door of the loud room is.
pub(super) fn door_question() -> Question {
    Question::one_of(
        "door",
        "What door has it?",
        &[
            ("ordinary", "an ordinary light door with a gap below"),
            ("solid", "a heavy door with seals all round"),
            ("two", "two heavy doors, one behind the other"),
        ],
    )
}

/// The door of the loud room.
pub(super) fn door(answers: &Answers) -> Set<'static> {
    match answers.word("door") {
        "solid" => {
            Set { construction: "door-solid-core-44", seal: Some("drop-threshold"), undercut_mm: 0.0, ..usual_door() }
        }
        "two" => Set {
            construction: "door-double-lobby",
            seal: Some("compression-single"),
            undercut_mm: 0.0,
            ..usual_door()
        },
        _ => usual_door(),
    }
}

/// A door of anybody else's.
pub(super) fn usual_door() -> Set<'static> {
    Set {
        name: "door",
        construction: "door-hollow-core",
        width_m: 0.8,
        height_m: 2.0,
        sill_m: 0.0,
        seal: Some("none"),
        undercut_mm: 8.0,
    }
}

/// A door to the open air.
pub(super) fn front_door() -> Set<'static> {
    Set {
        name: "front door",
        construction: "door-front-timber-54",
        width_m: 0.9,
        height_m: 2.0,
        sill_m: 0.0,
        seal: Some("brush"),
        undercut_mm: 3.0,
    }
}

/// Who listens.
pub(super) fn ears_question() -> Question {
    Question::one_of(
        "who",
        "Who listens?",
        &[
            ("everybody", "the neighbours and your own household"),
            ("neighbours", "the neighbours alone"),
            ("household", "your own household alone"),
        ],
    )
}

/// The size of the loud room.
pub(super) fn size_questions([least, usual, most]: [f64; 3], [narrow, usual_width, wide]: [f64; 3]) -> [Question; 3] {
    [
        Question::length("length", "How long is the room, from the front to the back?", [least, usual, most]),
        Question::length("width", "How wide is it?", [narrow, usual_width, wide]),
        Question::length("height", "How high is it?", [2.1, 2.4, 4.0]),
    ]
}

/// Whose ears.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Whose {
    Neighbour,
    Household,
}

/// A scene in the making.
#[derive(Debug, Default)]
pub(super) struct Making {
    storeys: Vec<Storey>,
    source: Option<Source>,
    listeners: Vec<(Whose, Listener)>,
}

impl Making {
    /// A storey on top of those there are; its floor fills what lies between.
    pub(super) fn add(&mut self, drawn: Drawn) {
        let mut storey = drawn.storey;
        let floor_m = thickness_m(&storey.floor.construction);
        let top = self.storeys.last().map(|below| below.level_m + below.height_m + floor_m);
        storey.level_m = round(top.unwrap_or(STEP_M));
        self.storeys.push(storey);
    }

    /// Who is loud, in the middle of a room, with what touches the floor.
    pub(super) fn loud(&mut self, answers: &Answers, drawn: &Drawn, room: &str) {
        let sound = answers.word("loud");
        let at = drawn.middle(room);
        self.source = Some(Source {
            id: SourceId("loud".to_owned()),
            name: plain_name(&answers.chosen_name("loud")),
            storey: drawn.id(),
            at,
            sound: sound.to_owned(),
            level_db: 0.0,
            playing: true,
            contacts: contacts(sound, at),
        });
    }

    /// Somebody in a room, beside its middle.
    pub(super) fn ears(&mut self, whose: Whose, drawn: &Drawn, room: &str, name: &str, usage: Usage) {
        let [x, y] = drawn.middle(room);
        let (height_m, target) = match usage {
            Usage::Bedroom => (0.7, Some("who-bedroom-night")),
            Usage::Living => (1.2, Some("who-dwelling-day")),
            Usage::Classroom => (1.2, Some("who-school-class")),
            _ => (1.5, None),
        };
        self.listen(whose, drawn.id(), [round(x - 0.3), round(y + 0.4)], height_m, name, target, Background::Unstated);
    }

    /// Somebody outdoors, in a garden or on the street.
    pub(super) fn outdoors(&mut self, whose: Whose, storey: StoreyId, at: [f64; 2], name: &str, target: Option<&str>) {
        self.listen(whose, storey, at.map(round), 1.5, name, target, Background::NoiseRating(35.0));
    }

    #[allow(clippy::too_many_arguments, reason = "the fields of a listener")]
    fn listen(
        &mut self,
        whose: Whose,
        storey: StoreyId,
        at: [f64; 2],
        height_m: f64,
        name: &str,
        target: Option<&str>,
        background: Background,
    ) {
        let id = ListenerId(format!("ears-{}", self.listeners.len() + 1));
        let target = target.map(str::to_owned);
        let listener = Listener { id, name: name.to_owned(), storey, at, height_m, target, background };
        self.listeners.push((whose, listener));
    }

    /// The scene, with those listeners that were asked for.
    pub(super) fn scene(self, answers: &Answers, about: &str) -> Scene {
        let wanted = match answers.word("who") {
            "neighbours" => Some(Whose::Neighbour),
            "household" => Some(Whose::Household),
            _ => None,
        };
        let listeners = self.listeners.into_iter().filter(|(whose, _)| wanted.is_none_or(|wanted| wanted == *whose));
        Scene {
            format: FORMAT,
            name: answers.kind().name().to_owned(),
            about: format!("{about} Begun from a few answers; all dimensions invented."),
            air: AirConditions::default(),
            outdoors: Outdoors::default(),
            residual: Default::default(),
            storeys: self.storeys,
            constructions: vec![],
            sources: self.source.into_iter().collect(),
            listeners: listeners.map(|(_, listener)| listener).collect(),
            ducts: vec![],
            overrides: vec![],
            views: vec![],
        }
    }
}

/// The name without what is said of how it is played: "drum kit, loud" is a drum kit.
fn plain_name(name: &str) -> String {
    name.split([',', ':', '(']).next().unwrap_or(name).trim().to_owned()
}

/// What of a source touches the floor, and where from its middle, m. Places invented.
fn contacts(sound: &str, [x, y]: [f64; 2]) -> Vec<Contact> {
    const BASS_DRUM: [(&str, &str, [f64; 2]); 2] =
        [("bass drum pedal", "bass-drum-pedal", [0.0, 0.25]), ("bass drum spurs", "bass-drum-spurs", [0.0, -0.35])];
    const REST: [(&str, &str, [f64; 2]); 2] =
        [("hi-hat pedal", "hi-hat-pedal", [-0.45, 0.3]), ("stands", "drum-stand", [0.3, 0.0])];
    const BOX: [(&str, &str, [f64; 2]); 1] = [("feet of the loudspeaker", "loudspeaker-feet", [0.4, 0.3])];
    let list: Vec<(&str, &str, [f64; 2])> = match sound {
        "drum-kit-loud" | "drum-kit-soft" => [BASS_DRUM, REST].concat(),
        "bass-drum-alone" => BASS_DRUM.to_vec(),
        "snare-alone" | "cymbals-alone" => vec![("stand", "drum-stand", [0.0, 0.0])],
        "rehearsal-band" => [&BASS_DRUM[..], &REST, &BOX].concat(),
        "bass-amp" | "amplified-music" => BOX.to_vec(),
        "piano" | "grand-piano" => vec![("castors", "piano-castors", [0.0, 0.0])],
        "cello" | "double-bass" => vec![("spike", "cello-spike", [0.0, 0.0])],
        _ => vec![],
    };
    // A soft player treads more softly: as much as the sound is softer, about 14 dB (own judgement).
    let level_db = if sound == "drum-kit-soft" { -14.0 } else { 0.0 };
    let contact = |(name, force, [dx, dy]): (&str, &str, [f64; 2])| Contact {
        name: name.to_owned(),
        at: Some([round(x + dx), round(y + dy)]),
        touches: Touches::Floor,
        force: ContactForce::Known(force.to_owned()),
        level_db,
        mount: None,
    };
    list.into_iter().map(contact).collect()
}

/// A wall through which the floor joists run on.
pub(super) fn run_through(made: &str) -> Made<'_> {
    Made { joists_run_on: true, ..made.into() }
}
