//! How loud, where and when it is played, as files say it, and what is told of limits that do not fit.

use leaklight::project::Project;
use leaklight::scene::file::{from_text, to_text};
use leaklight::scene::{Measured, Scene};

use super::problems::{SOUND, sound};

fn warned(change: impl FnOnce(&mut Scene)) -> Vec<String> {
    let mut scene = sound();
    change(&mut scene);
    match Project::of(scene).build() {
        Ok(built) => built.warnings.iter().map(ToString::to_string).collect(),
        Err(problems) => problems.iter().map(ToString::to_string).collect(),
    }
}

/// The old name of the offset is still read, of sources and contacts; the new one is written.
#[test]
fn an_offset_goes_by_its_old_name_as_well() {
    let contact = "contacts: [(name: \"pedal\", force: Known(\"bass-drum-pedal\"), level_db: 2)]";
    let old =
        SOUND.replace("sound: \"drum-kit-loud\")", &format!("sound: \"drum-kit-loud\", level_db: -3, {contact})"));
    let scene = from_text(&old).unwrap();
    assert_eq!((scene.sources[0].offset_db, scene.sources[0].contacts[0].offset_db), (-3.0, 2.0));
    let text = to_text(&scene).unwrap();
    assert!(
        text.contains("offset_db: -3.0") && text.contains("offset_db: 2.0") && !text.contains("level_db"),
        "{text}"
    );
    let measured = SOUND.replace(
        "sound: \"drum-kit-loud\")",
        "sound: \"drum-kit-loud\", measured: (la_db: 92, distance_m: 1), touching: false)",
    );
    let scene = from_text(&measured).unwrap();
    let wanted = Measured { la_db: 92.0, distance_m: Some(1.0), in_room: false };
    assert!(scene.sources[0].measured == Some(wanted) && !scene.sources[0].touching);
    assert_eq!(from_text(&to_text(&scene).unwrap()).unwrap(), scene);
}

#[test]
fn how_loud_it_is_is_said_in_one_way() {
    let measured = |la_db: f64, distance_m: Option<f64>, offset_db: f64| {
        warned(|scene| {
            scene.sources[0].measured = Some(Measured { la_db, distance_m, in_room: false });
            scene.sources[0].offset_db = offset_db;
        })
    };
    for (found, said) in [
        (measured(92.0, Some(1.0), 3.0), "it has both a measured level and an offset; keep one"),
        (measured(92.0, None, 0.0), "its measured level has no distance; give `distance_m`, or say `in_room: true`"),
        (measured(900.0, Some(1.0), 0.0), "measured level"),
        (measured(92.0, Some(0.0), 0.0), "distance of the measurement"),
    ] {
        assert!(found.len() == 1 && found[0].contains(said), "{found:?}");
    }
    assert_eq!(measured(92.0, Some(1.0), 0.0), Vec::<String>::new());
}

/// A limit that does not fit where, when or for what it is used is told, with its listener; one that fits is not.
#[test]
fn a_limit_that_does_not_fit_is_told() {
    let with = |target: &str, at: [f64; 2], country: &str, hours: Option<(f64, f64)>, business: bool| {
        warned(|scene| {
            (scene.listeners[0].target, scene.listeners[0].at) = (Some(target.into()), at);
            scene.listeners[0].background = leaklight::scene::Background::NoiseRating(30.0);
            scene.played.country = country.into();
            (scene.played.hours, scene.played.business) = (hours, business);
        })
    };
    let (room, garden) = ([6.0, 1.0], [6.0, -6.0]);
    for (found, said) in [
        (
            with("who-bedroom-night", garden, "", None, false),
            "holds in rooms, and this is outdoors; choose a limit for",
        ),
        (with("uk-garden-day", room, "", None, false), "holds outdoors, and this is a room; choose a limit for rooms"),
        (
            with("who-bedroom-night", room, "", Some((19.0, 22.0)), false),
            "holds from 23 to 7 h, and it is played from 19 to 22 h; choose one for the hours of playing",
        ),
        (
            with("england-night", room, "Germany", None, false),
            "is one of England and Wales, and it is played in Germany; choose one that holds there",
        ),
        (with("germany-day", room, "Germany", None, false), "is a rule for businesses, and this is music at home"),
    ] {
        assert!(found.len() == 1 && found[0].contains(said), "{found:?}");
        assert!(found[0].starts_with("storey \"low\", listener \"ear\": its limit \""), "{found:?}");
    }
    for fits in [
        with("who-bedroom-night", room, "", Some((23.0, 1.0)), false),
        with("who-bedroom-night", room, "Germany", Some((2.0, 7.0)), false),
        with("germany-day", room, "Germany", Some((10.0, 16.0)), true),
        with("uk-garden-day", garden, "England and Wales", Some((19.0, 23.0)), false),
        with("sweden-music", room, "Sweden", Some((22.0, 2.0)), false),
    ] {
        assert_eq!(fits, Vec::<String>::new());
    }
}

/// How long it is played and by how many is read and written; what cannot be is told with what to do.
#[test]
fn playing_time_fits_into_the_clock_hours() {
    let text = SOUND.replacen("format: 1,", "format: 1, played: (hours: (19, 22), hours_a_day: 2, people: 4),", 1);
    let scene = from_text(&text).unwrap();
    assert_eq!((scene.played.hours_a_day, scene.played.people), (Some(2.0), Some(4)));
    assert_eq!(from_text(&to_text(&scene).unwrap()).unwrap(), scene);
    let with = |hours: Option<(f64, f64)>, a_day: f64, people: u32| {
        warned(|scene| {
            (scene.played.hours, scene.played.hours_a_day, scene.played.people) = (hours, Some(a_day), Some(people));
            scene.listeners[0].target = None;
        })
    };
    for (found, said) in [
        (with(Some((19.0, 22.0)), 4.0, 1), "it is played 4 h a day within 3 clock hours; give fewer hours a day"),
        (with(Some((22.0, 1.0)), 3.5, 1), "it is played 3.5 h a day within 3 clock hours"),
        (with(None, 0.0, 1), "its playing time is 0 h a day; give 0.01 to 24 h a day"),
        (with(None, 25.0, 1), "its playing time is 25 h a day"),
        (with(None, f64::NAN, 1), "its playing time is not a number"),
        (with(None, 2.0, 0), "number of people in the loud room is 0"),
    ] {
        assert!(found.len() == 1 && found[0].contains(said), "{found:?}");
    }
    assert_eq!(with(Some((0.0, 0.0)), 24.0, 1), Vec::<String>::new());
    assert_eq!(with(Some((23.0, 7.0)), 8.0, 2), Vec::<String>::new());
}

/// By hand: 2 h in 16 h is 10 lg(1/8) = −9.03 dB, and the sentence says that the mean was taken. The level heard stays as it is.
#[test]
fn a_limit_by_day_is_held_against_the_mean_where_hours_are_said() {
    let solved = |hours_a_day: Option<f64>, target: &str| {
        let mut scene = sound();
        scene.listeners[0].target = Some(target.into());
        scene.played.hours_a_day = hours_a_day;
        Project::of(scene).solve().unwrap()
    };
    for (target, gains_db) in [("who-dwelling-day", 9.031), ("sweden-music", 0.0)] {
        let [plain, spread] = [solved(None, target), solved(Some(2.0), target)];
        let [strict, mean] = [&plain, &spread].map(|solved| solved.answer.listeners[0].target.clone().unwrap());
        assert!(
            (mean.margin_db - strict.margin_db - gains_db).abs() < 0.001,
            "{} {}",
            mean.margin_db,
            strict.margin_db
        );
        assert!(mean.probability >= strict.probability);
        assert_eq!(plain.answer.listeners[0].la_db, spread.answer.listeners[0].la_db);
        let said = "as the mean of 16 h, with 2 h of playing";
        let [without, with] = [&plain, &spread].map(|solved| leaklight::output::table::text(solved, &[0]));
        let one_line = with.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(!without.contains("as the mean of 16 h"), "{without}");
        assert_eq!(one_line.matches(said).count(), if gains_db > 0.0 { 2 } else { 0 }, "{with}");
    }
}
