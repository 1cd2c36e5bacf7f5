//! Where sources, listeners and the mouths of ducts are, and what sources touch.

use crate::geometry::{DVec2, contains, distance, line};
use crate::scene::{DuctEnd, Problem, Scene, StoreyId, Thing, Touches, Usage, WallId};

use super::constructions::refuse;
use super::model::{
    Element, ElementIndex, ElementShape, PlacedDuct, PlacedListener, PlacedMouth, PlacedSource, SpaceIndex,
};
use super::plan::{PlanRoom, Site, readable};

/// How far into a room the point of a duct's end may lie before its mouth, m. Own choice: a point stands for the mouth, it is no survey.
const INTO_ROOM_M: f64 = 1.0;

/// What has a place in a building of these elements.
pub(super) struct Places<'a> {
    pub scene: &'a Scene,
    pub site: &'a Site<'a>,
    pub elements: &'a [Element],
}

impl Places<'_> {
    /// Storey and space of a point. Points in no room are outdoors; in a wall there is no space. `what` begins the sentence.
    fn find(
        &self,
        thing: &Thing,
        what: &str,
        (storey, at): (&StoreyId, [f64; 2]),
        problems: &mut Vec<Problem>,
    ) -> Option<(usize, SpaceIndex)> {
        let on = self.scene.storeys.iter().position(|known| known.id == *storey)?;
        let plan = &self.site.plans[on];
        let point = DVec2::from(at);
        if let Some(room) = plan.room_at(point) {
            return Some((on, plan.rooms[room].space));
        }
        if plan.graph.covers(point) || !point.is_finite() {
            let what = format!("{what} inside a wall, at {}", readable(at));
            refuse(problems, &self.scene.storeys[on], thing.clone(), what, "move it into a room");
            return None;
        }
        Some((on, self.site.outdoors))
    }

    /// The space of every source and listener. Points in no room are outdoors, where a listener may be but no source:
    /// what leaves a building is what is asked for. No one listens in a void.
    pub(super) fn people(&self, problems: &mut Vec<Problem>) -> (Vec<PlacedSource>, Vec<PlacedListener>) {
        let (mut sources, mut listeners, mut strays) = (vec![], vec![], vec![]);
        for source in &self.scene.sources {
            let thing = Thing::Source(source.id.0.clone());
            let Some((storey, space)) = self.find(&thing, "it stands", (&source.storey, source.at), problems) else {
                continue;
            };
            if space == self.site.outdoors {
                let what = format!("it stands outdoors, at {}", readable(source.at));
                let to_do = "move it into a room, since only what is loud indoors is computed";
                refuse(&mut strays, &self.scene.storeys[storey], thing, what, to_do);
                continue;
            }
            let touched = vec![];
            sources.push(PlacedSource { source: source.id.clone(), space, storey, at: source.at, touched });
        }
        for listener in &self.scene.listeners {
            let thing = Thing::Listener(listener.id.0.clone());
            let Some((storey, space)) = self.find(&thing, "it stands", (&listener.storey, listener.at), problems)
            else {
                continue;
            };
            let in_void = |room: &PlanRoom| room.space == space && room.marker.usage == Usage::Void;
            if self.site.plans[storey].rooms.iter().any(in_void) {
                let what = "it lies in a void, where no one stays";
                let to_do = "move the listener into a room, or change what the void is used for";
                refuse(&mut strays, &self.scene.storeys[storey], thing, what, to_do);
                continue;
            }
            listeners.push(PlacedListener {
                listener: listener.id.clone(),
                space,
                storey,
                at: listener.at,
                height_m: self.scene.storeys[storey].level_m + listener.height_m,
            });
        }
        problems.extend(strays);
        (sources, listeners)
    }

    /// The spaces at the ends of every duct. The ends must lie in two spaces, and one of them in a room.
    pub(super) fn ducts(&self, problems: &mut Vec<Problem>) -> Vec<PlacedDuct> {
        let mut ducts = vec![];
        for duct in &self.scene.ducts {
            let thing = Thing::Duct(duct.id.0.clone());
            let mut mouth = |end: &DuctEnd, what| {
                let (storey, space) = self.find(&thing, what, (&end.storey, end.at), problems)?;
                let height_m = self.scene.storeys[storey].level_m + end.height_m;
                Some(PlacedMouth { space, storey, at: end.at, height_m })
            };
            let [one, other] = &duct.ends;
            let (Some(first), Some(second)) = (mouth(one, "its first end lies"), mouth(other, "its second end lies"))
            else {
                continue;
            };
            let storey = &self.scene.storeys[first.storey];
            if first.space == second.space {
                let outdoors = first.space == self.site.outdoors;
                let what = if outdoors { "both its ends lie outdoors" } else { "both its ends lie in one room" };
                refuse(problems, storey, thing, what, "lead it from a room to another, or to the open air");
                continue;
            }
            let [from, to] = [first, second].map(|mouth| DVec2::from(mouth.at).extend(mouth.height_m));
            let straight_m = from.distance(to);
            if duct.length_m + 2.0 * INTO_ROOM_M < straight_m {
                let what = format!("it is {:.1} m long, and its ends lie {straight_m:.1} m apart", duct.length_m);
                refuse(problems, storey, thing, what, "make it longer, or move an end");
                continue;
            }
            ducts.push(PlacedDuct { duct: duct.id.clone(), name: duct.name.clone(), ends: [first, second] });
        }
        ducts
    }

    /// Finds what the contacts of every source touch. Refuses walls that do not face its room; walls that do not exist are told of before.
    pub(super) fn touch(&self, sources: &mut [PlacedSource], problems: &mut Vec<Problem>) {
        for placed in sources {
            let Some(source) = self.scene.sources.iter().find(|source| source.id == placed.source) else { continue };
            let touched = source.contacts.iter().map(|contact| {
                let at = DVec2::from(contact.at.unwrap_or(placed.at));
                let Touches::Wall(wall) = &contact.touches else { return self.floor_under(placed.space, at) };
                let found = self.wall_facing(wall, placed, at);
                if found.is_none() {
                    problems.push(Problem::error(
                        Some(&source.storey),
                        Thing::Source(source.id.0.clone()),
                        format!(
                            "its contact \"{}\" touches wall \"{wall}\", which does not face its room",
                            contact.name
                        ),
                        "name a wall of the room it stands in",
                    ));
                }
                found
            });
            placed.touched = touched.collect();
        }
    }

    /// Of the elements of a scene's wall that face the room of a source, the one nearest to a point of the plan.
    fn wall_facing(&self, wall: &WallId, placed: &PlacedSource, at: DVec2) -> Option<ElementIndex> {
        let off_m = |element: &Element| match &element.shape {
            ElementShape::Wall { storey, walls, line: ends, .. }
                if *storey == placed.storey && walls.contains(wall) && element.sides.contains(&placed.space) =>
            {
                Some(distance(at, line(*ends)))
            }
            _ => None,
        };
        let found = self.elements.iter().enumerate().filter_map(|(index, element)| Some((index, off_m(element)?)));
        found.min_by(|a, b| a.1.total_cmp(&b.1)).map(|(index, _)| ElementIndex(index))
    }

    /// The slab below a room that holds a point; else the largest one.
    fn floor_under(&self, room: SpaceIndex, at: DVec2) -> Option<ElementIndex> {
        let below = || {
            self.elements.iter().enumerate().filter_map(|(index, element)| match &element.shape {
                ElementShape::Slab { pieces, .. } if element.sides[0] == room => Some((index, element, pieces)),
                _ => None,
            })
        };
        let under = below().find(|(_, _, pieces)| pieces.iter().any(|rings| contains(rings, at)));
        let largest = || below().max_by(|a, b| a.1.area_m2.total_cmp(&b.1.area_m2));
        under.or_else(largest).map(|(index, ..)| ElementIndex(index))
    }
}
