//! The one way from a plan and the words of the answers to a scene.

use std::collections::BTreeMap;

use super::plan::{Between, Ears, OpeningPlan, PlanFile, RoomUse, SHARED, STANDING_M, StoreyPlan, WallRule, Whose};
use super::sheet::{Lines, Sheet, SheetWall, round, thickness_m};
use crate::catalogue::target::Place;
use crate::catalogue::{Catalogue, CatalogueFault};
use crate::scene::{
    Background, Contact, FloorBuild, Listener, ListenerId, Opening, OpeningId, Played, Room, RoomId, Scene, Source,
    SourceId, Storey, StoreyId, Usage, Wall, Workmanship,
};

/// How high the lowest storey lies above the street, m.
const STEP_M: f64 = 0.15;
/// Background outdoors, NR. Invented: a quiet street.
const OUTDOORS_NR: f64 = 35.0;
/// What is left of a wall beside an opening, at least, m.
const PIER_M: f64 = 0.3;
/// Most words in a text, those within words too: more than any plan has.
const MOST_WORDS: usize = 64;

type Words<'a> = BTreeMap<&'a str, String>;

/// A storey with the sheet it was drawn from.
struct Drawn<'a> {
    plan: &'a StoreyPlan,
    sheet: Sheet,
    storey: Storey,
}

impl PlanFile {
    /// The scene that these words give.
    ///
    /// # Errors
    ///
    /// When the plan names what is not there, or is not of the form it must have: where and why.
    pub(super) fn scene(&self, words: &Words) -> Result<Scene, CatalogueFault> {
        let plan = &self.plan;
        let lines = |text: &str| Lines::read(&self.text(text, words)?).map_err(|what| self.fault(text, what));
        let (columns, rows) = (lines(&plan.columns)?, lines(&plan.rows)?);
        let mut drawn: Vec<Drawn> = vec![];
        for storey in plan.storeys.iter().filter(|storey| holds(storey.when.as_ref(), words)) {
            let mut next = self.storey(storey, &columns, &rows, words)?;
            let floor = &next.storey.floor.construction;
            let floor_m = thickness_m(floor).map_err(|what| self.fault(&storey.floor, what))?;
            let top_m = drawn.last().map(|below| below.storey.level_m + below.storey.height_m + floor_m);
            next.storey.level_m = round(top_m.unwrap_or(STEP_M));
            drawn.push(next);
        }
        let listeners = self.listeners(&drawn, [columns.last(), rows.last()], words)?;
        let outdoors = listeners.iter().any(|listener| listener.background != Background::Unstated);
        let assumed = format!(" Outdoors the background of a quiet street is assumed, NR {OUTDOORS_NR:.0}.");
        let assumed = if outdoors { assumed.as_str() } else { "" };
        Ok(Scene {
            about: format!("{} Begun from a few answers; all dimensions invented.{assumed}", plan.scene_about),
            sources: drawn.iter().find_map(|drawn| loud(drawn, words)).into_iter().collect(),
            listeners,
            played: played(words),
            storeys: drawn.into_iter().map(|drawn| drawn.storey).collect(),
            ..Scene::empty(&plan.name)
        })
    }

    /// A text of the plan with its `{words}` filled in.
    fn text(&self, text: &str, words: &Words) -> Result<String, CatalogueFault> {
        let mut filled = text.to_owned();
        for _ in 0..MOST_WORDS {
            let Some((before, rest)) = filled.split_once('{') else { return Ok(filled) };
            let found = rest.split_once('}').and_then(|(word, after)| Some((words.get(word)?, after)));
            let Some((with, after)) = found else { break };
            filled = format!("{before}{with}{after}");
        }
        if filled.contains('{') {
            Err(self.fault(text, format!("\"{filled}\" has a word that nothing gives")))
        } else {
            Ok(filled)
        }
    }

    /// A sum of lengths, m.
    fn sum_m(&self, text: &str, words: &Words) -> Result<f64, CatalogueFault> {
        let terms = self.text(text, words)?;
        let sum = terms.split_whitespace().try_fold(0.0, |sum, term| Some(sum + term.parse::<f64>().ok()?));
        sum.ok_or_else(|| self.fault(text, format!("\"{terms}\" is no sum of lengths in m")))
    }

    fn storey<'a>(
        &self,
        plan: &'a StoreyPlan,
        columns: &Lines,
        rows: &Lines,
        words: &Words,
    ) -> Result<Drawn<'a>, CatalogueFault> {
        let text = |text: &str| self.text(text, words);
        let cells: Vec<String> = plan.plan.iter().map(|row| text(row)).collect::<Result<_, _>>()?;
        let sheet = Sheet::draw(columns, rows, &cells).map_err(|what| self.fault(&plan.id, what))?;
        let mut storey = Storey {
            id: StoreyId(plan.id.clone()),
            name: plan.name.clone(),
            level_m: 0.0,
            height_m: self.sum_m(&plan.height, words)?,
            floor: FloorBuild {
                construction: text(&plan.floor)?,
                joist_direction_deg: plan.joists_deg,
                workmanship: Workmanship::Usual,
            },
            ground: text(&plan.ground)?,
            roof: text(&plan.roof)?,
            nodes: sheet.nodes.clone(),
            walls: sheet.walls.iter().map(|wall| self.wall(wall, plan, words)).collect::<Result<_, _>>()?,
            openings: vec![],
            rooms: vec![],
            underlay: None,
        };
        for (word, at) in &sheet.middles {
            storey.rooms.push(self.room(plan, word, *at, words)?);
        }
        for opening in &self.plan.openings {
            storey.openings.extend(self.opening(opening, plan, &sheet, storey.height_m, words)?);
        }
        Ok(Drawn { plan, sheet, storey })
    }

    fn wall(&self, wall: &SheetWall, storey: &StoreyPlan, words: &Words) -> Result<Wall, CatalogueFault> {
        let (a, b) = (&wall.sides.0, &wall.sides.1);
        let house = |word: &String| self.plan.houses.iter().position(|rooms| rooms.contains(word));
        let fits = |rule: &&WallRule| {
            rule.on.as_ref().is_none_or(|on| *on == storey.id)
                && holds(rule.when.as_ref(), words)
                && match &rule.between {
                    Between::Any => true,
                    Between::Outdoors => b.starts_with("outer-"),
                    Between::Houses => house(a) != house(b),
                    Between::Beside(rooms) => rooms.contains(a) || rooms.contains(b),
                }
        };
        let rule = self.plan.walls.iter().find(fits);
        let rule = rule.ok_or_else(|| self.fault(&storey.id, format!("no rule says what the wall {} is", wall.id)))?;
        Ok(Wall {
            id: wall.id.clone(),
            from: wall.from.clone(),
            to: wall.to.clone(),
            construction: self.text(&rule.of, words)?,
            joists_run_on: rule.joists_run_on,
            stops_at_ceiling: rule.stops_at_ceiling,
            workmanship: Workmanship::Usual,
        })
    }

    fn room(&self, storey: &StoreyPlan, word: &str, at: [f64; 2], words: &Words) -> Result<Room, CatalogueFault> {
        let plan = storey.rooms.get(word);
        let plan = plan.ok_or_else(|| self.fault(&storey.id, format!("nothing says what the room \"{word}\" is")))?;
        let used = self.use_of(storey, word, words)?;
        let bare = self.plan.bare_ids.iter().any(|bare| bare == word);
        let roof = plan.2.as_ref().map(|roof| self.text(roof, words)).transpose()?;
        let id = RoomId(if bare { word.to_owned() } else { format!("{word}-{}", storey.id) });
        Ok(Room {
            usage: used.usage,
            finishes: used.finishes.clone(),
            furniture_m2: used.furniture_m2,
            roof,
            background: used.background.clone(),
            ..Room::new(id, self.text(&plan.0, words)?, at)
        })
    }

    fn use_of(&self, storey: &StoreyPlan, word: &str, words: &Words) -> Result<&'static RoomUse, CatalogueFault> {
        let used = self.text(storey.rooms.get(word).map_or("", |room| &room.1), words)?;
        SHARED.uses.get(&used).ok_or_else(|| self.fault(word, format!("there is no use \"{used}\" of rooms")))
    }

    /// An opening, if it belongs on the storey: narrower where the wall is short, lower where the room is.
    fn opening(
        &self,
        plan: &OpeningPlan,
        storey: &StoreyPlan,
        sheet: &Sheet,
        height_m: f64,
        words: &Words,
    ) -> Result<Option<Opening>, CatalogueFault> {
        let (a, b) = (&plan.wall.0, &plan.wall.1);
        let drawn = |word: &String| word.starts_with("outer-") || sheet.middles.contains_key(word);
        if plan.on.as_ref().is_some_and(|on| *on != storey.id) || !drawn(a) || !drawn(b) {
            return Ok(None);
        }
        let wall = sheet.walls.iter().find(|wall| wall.parts(a, b));
        let wall = wall.ok_or_else(|| self.fault(&plan.id, format!("there is no wall between {a} and {b}")))?;
        let key = self.text(&plan.of, words)?;
        let used = SHARED.openings.get(&key);
        let used = used.ok_or_else(|| self.fault(&plan.of, format!("there is no opening \"{key}\"")))?;
        let Some(used) = used else { return Ok(None) };
        let at_most_m = used.at_most.as_ref().map_or(Ok(f64::INFINITY), |sum| self.sum_m(sum, words))?;
        let width_m = round(used.width_m.min(at_most_m).min(wall.length_m - 2.0 * PIER_M));
        Ok(Some(Opening {
            id: OpeningId(self.text(&plan.id, words)?),
            name: used.name.clone(),
            wall: wall.id.clone(),
            construction: used.construction.clone(),
            offset_m: round(PIER_M + plan.along * (wall.length_m - 2.0 * PIER_M - width_m)),
            width_m,
            height_m: round(used.height_m.min(height_m - used.sill_m)),
            sill_m: used.sill_m,
            seal: used.seal.clone(),
            undercut_mm: used.undercut_mm,
            cover: None,
            workmanship: Workmanship::Usual,
        }))
    }

    /// All who listen where something is drawn, of those who were asked for.
    fn listeners(&self, drawn: &[Drawn], ends: [f64; 2], words: &Words) -> Result<Vec<Listener>, CatalogueFault> {
        let mut listeners = vec![];
        for plan in &self.plan.listeners {
            let storey = self.text(&plan.storey, words)?;
            let (Ears::In(room) | Ears::Outdoors { from: room, .. }) = &plan.at;
            let room = self.text(room, words)?;
            let Some(drawn) = drawn.iter().find(|drawn| drawn.plan.id == storey) else { continue };
            let Some([x, y]) = drawn.sheet.middles.get(&room) else { continue };
            let (at, height_m, target, background) = match &plan.at {
                Ears::In(_) => {
                    let used = self.use_of(drawn.plan, &room, words)?;
                    let limit = used.limited.then(|| limit(Some(used.usage), words)).flatten();
                    ([x - 0.3, y + 0.4], used.ears_m, limit, Background::Unstated)
                }
                Ears::Outdoors { x: across, y: along, limited, .. } => {
                    let limit = limited.then(|| limit(None, words)).flatten();
                    let mut words = words.clone();
                    let places = [("x", *x), ("y", *y), ("right", ends[0]), ("back", ends[1])];
                    words.extend(places.map(|(word, place_m)| (word, place_m.to_string())));
                    let at = [self.sum_m(across, &words)?, self.sum_m(along, &words)?];
                    (at, STANDING_M, limit, Background::NoiseRating(OUTDOORS_NR))
                }
            };
            let listener = Listener {
                id: ListenerId(format!("ears-{}", listeners.len() + 1)),
                name: self.text(&plan.name, words)?,
                storey: StoreyId(storey),
                at: at.map(round),
                height_m,
                target,
                background,
            };
            listeners.push((plan.whose, listener));
        }
        let wanted = match words["who"].as_str() {
            "neighbours" => Some(Whose::Neighbour),
            "household" => Some(Whose::Household),
            _ => None,
        };
        listeners.retain(|(whose, _)| wanted.is_none_or(|wanted| wanted == *whose));
        Ok(listeners.into_iter().map(|(_, listener)| listener).collect())
    }
}

fn holds(when: Option<&(String, String)>, words: &Words) -> bool {
    when.is_none_or(|(question, answer)| words.get(question.as_str()) == Some(answer))
}

/// Who is loud, in the middle of the loud room, with what touches the floor.
fn loud(drawn: &Drawn, words: &Words) -> Option<Source> {
    let at = *drawn.sheet.middles.get("loud")?;
    let sound = &words["loud"];
    // "drum kit, loud" is a drum kit.
    let known = Catalogue::built_in_ref().sources.get(sound)?;
    let name = known.name.split([',', ':', '(']).next()?.trim().to_owned();
    Some(Source {
        id: SourceId("loud".to_owned()),
        name,
        storey: drawn.storey.id.clone(),
        at,
        sound: sound.clone(),
        offset_db: 0.0,
        measured: None,
        playing: true,
        touching: true,
        contacts: Contact::usual(known, at),
    })
}

/// Where and when it is played, by the answers.
fn played(words: &Words) -> Played {
    let word = |word: &str| words.get(word).map_or("", String::as_str);
    let hour = |name: &str| word(name).parse::<f64>().ok();
    Played {
        country: word("played_in").to_owned(),
        hours: hour("plays_from").zip(hour("plays_to")),
        ..Played::default()
    }
}

/// The first limit of the country, else of those for all, that holds in rooms of a use (outdoors without one) while it is played.
fn limit(usage: Option<Usage>, words: &Words) -> Option<String> {
    let played = played(words);
    let own = words.get("limits").map_or("", String::as_str);
    let fits = |id: &&str| {
        let Some(target) = Catalogue::built_in_ref().targets.get(*id) else { return false };
        let place = match target.place {
            Place::Bedroom => usage == Some(Usage::Bedroom),
            Place::Classroom => usage == Some(Usage::Classroom),
            Place::Room => usage.is_some_and(|usage| usage != Usage::Classroom),
            Place::Facade | Place::Outdoors => usage.is_none(),
        };
        place && (played.business || !target.business) && played.hours.is_none_or(|hours| target.holds_through(hours))
    };
    own.split_whitespace().chain(SHARED.guidance.split_whitespace()).find(fits).map(str::to_owned)
}
