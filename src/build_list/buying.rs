//! From what a job takes to what is bought for it: goods, whole sheets and packs, prices, hours, mass.

use super::cutting::{CutSheet, bars, cut};
use super::face::Face;
use super::model::{Cut, Line, Piece};
use super::shop::Shop;
use super::want::{Draft, Want};
use crate::catalogue::goods::{Part, Serves, Sold};
use crate::catalogue::{Build, Construction, ConstructionKind, Good};
use crate::solve::shell::handling;

/// Wider doors hang as two leaves, m. Common practice, no source.
const WIDEST_LEAF_M: f64 = 1.2;

/// What is bought for a job.
pub(super) struct Bought {
    items: Vec<Item>,
    pub lines: Vec<Line>,
    pub pieces: Vec<Piece>,
}

/// A good and how much of it is needed, or something no good can be.
#[derive(Debug, Clone)]
struct Item {
    good: Option<&'static Good>,
    name: String,
    measure: &'static str,
    needed: f64,
    kg: f64,
    /// Pieces to cut from sheets, mm.
    pieces_mm: Vec<[i32; 2]>,
    /// Lengths to cut from bars, mm.
    lengths_mm: Vec<i32>,
    /// Cost of what has no good, low, likely and high.
    cost: Option<[f64; 3]>,
}

impl Item {
    fn of(good: &'static Good, measure: &'static str, needed: f64, kg: f64) -> Self {
        let name = good.name.clone();
        Self { good: Some(good), name, measure, needed, kg, pieces_mm: vec![], lengths_mm: vec![], cost: None }
    }

    fn other(name: String, measure: &'static str, needed: f64, kg: f64, cost: Option<[f64; 3]>) -> Self {
        Self { good: None, name, measure, needed, kg, pieces_mm: vec![], lengths_mm: vec![], cost }
    }

    fn same(&self, other: &Self) -> bool {
        match (self.good, other.good) {
            (Some(one), Some(other)) => std::ptr::eq(one, other),
            (None, None) => self.name == other.name && self.measure == other.measure,
            _ => false,
        }
    }

    fn add(&mut self, more: &Self) {
        self.needed += more.needed;
        self.kg += more.kg;
        self.pieces_mm.extend_from_slice(&more.pieces_mm);
        self.lengths_mm.extend_from_slice(&more.lengths_mm);
        let sum = |(mut one, other): ([f64; 3], [f64; 3])| {
            one.iter_mut().zip(other).for_each(|(sum, more)| *sum += more);
            one
        };
        self.cost = self.cost.zip(more.cost).map(sum);
    }

    /// As a line of the list, with the sheets it is cut from.
    fn line(&self, shop: &Shop<'_>) -> (Line, Vec<CutSheet>) {
        let mut sheets = vec![];
        let mut line = Line {
            good: self.good.map(|good| good.id.clone()),
            name: self.name.clone(),
            unit: self.measure.to_owned(),
            needed: self.needed,
            measure: self.measure,
            bought: self.needed,
            cost: self.cost,
            hours: 0.0,
            kg: self.kg,
        };
        let Some(good) = self.good else { return (line, sheets) };
        let with_waste = self.needed * (1.0 + good.waste_percent / 100.0);
        line.bought = match good.sold {
            Sold::Sheet { turns, .. } => {
                (sheets, _) = cut(sheet_mm(good), turns, &self.pieces_mm);
                sheets.len() as f64
            }
            Sold::Bar(m) => bars(mm(m), self.lengths_mm.iter().copied()) as f64,
            Sold::Area(each) | Sold::Length(each) | Sold::Volume(each) | Sold::Count(each) => {
                (with_waste / each - 1e-9).ceil().max(0.0)
            }
            Sold::ToMeasure => self.needed,
        };
        line.unit.clone_from(&good.unit);
        line.cost = Some(shop.price(good).map(|price| price * line.bought));
        line.hours = good.hours * self.needed;
        (line, sheets)
    }
}

/// Goods, cost and pieces of a job.
pub(super) fn bought(shop: &Shop<'_>, draft: &Draft<'_>) -> Bought {
    let mut found = Found { shop, face: &draft.face, items: vec![], pieces: vec![] };
    let layers = |want: &&Want<'_>| matches!(want, Want::Layer(..));
    let unknown = |want: &Want<'_>| matches!(want, Want::Layer(id, mm, _) if shop.layer(id, *mm).is_none());
    match draft.instead.filter(|whole| shop.price_of(whole).is_some()) {
        Some(whole) if draft.wants.iter().any(unknown) => {
            found.built(whole, draft.face.area_m2());
            draft.wants.iter().filter(|want| !layers(want)).for_each(|want| found.want(want));
        }
        _ => draft.wants.iter().for_each(|want| found.want(want)),
    }
    let Found { items, mut pieces, .. } = found;
    pieces.sort_by(|a, b| b.kg.total_cmp(&a.kg).then_with(|| a.name.cmp(&b.name)).then(b.size_mm.cmp(&a.size_mm)));
    pieces.dedup_by(|next, kept| {
        let same = next.name == kept.name && next.size_mm == kept.size_mm && (next.kg - kept.kg).abs() < 0.05;
        if same {
            kept.count += next.count;
        }
        same
    });
    let lines = items.iter().map(|item| item.line(shop).0).collect();
    Bought { items, lines, pieces }
}

/// What is found for a job so far.
struct Found<'s, 'a> {
    shop: &'s Shop<'a>,
    face: &'s Face,
    items: Vec<Item>,
    pieces: Vec<Piece>,
}

impl Found<'_, '_> {
    fn add(&mut self, item: Item) {
        if item.needed <= 0.0 {
            return;
        }
        match self.items.iter_mut().find(|there| there.same(&item)) {
            Some(there) => there.add(&item),
            None => self.items.push(item),
        }
    }

    fn want(&mut self, want: &Want<'_>) {
        match want {
            Want::Layer(id, thickness_mm, layer) => self.layer(id, *thickness_mm, *layer),
            Want::Pieces(id, thickness_mm, sizes) => self.cut_pieces(id, *thickness_mm, sizes),
            Want::Fill(id, thickness_mm, m2) => self.spread(id, *thickness_mm, *m2),
            Want::Whole(construction, size_m) => self.whole(construction, *size_m),
            Want::Built(construction, m2) => self.built(construction, *m2),
            Want::Seal(id, m) => {
                let name = self.shop.catalogue.seals.get(*id).map_or(*id, |seal| seal.name.as_str());
                self.named(&Serves::Seal((*id).to_owned()), name, *m, "m");
            }
            Want::Finish(id, m2) => {
                let name = self.shop.catalogue.finishes.get(*id).map_or(*id, |finish| finish.name.as_str());
                self.named(&Serves::Finish((*id).to_owned()), name, *m2, "m²");
            }
            Want::Sound(id) => {
                let name = self.shop.catalogue.sources.get(*id).map_or(*id, |sound| sound.name.as_str());
                self.named(&Serves::Sound((*id).to_owned()), name, 1.0, "pieces");
            }
            Want::Part(part, amount) => {
                let measure = match part {
                    Part::Tape | Part::Sealant | Part::Threshold => "m",
                    Part::Filler | Part::Mat => "m²",
                    _ => "pieces",
                };
                self.named(&Serves::Part(*part), "", *amount, measure);
            }
            Want::Bars(part, lengths_m) => {
                let Some(good) = self.shop.good(&Serves::Part(*part)) else { return };
                let m: f64 = lengths_m.iter().sum();
                let lengths_mm = lengths_m.iter().map(|m| mm(*m)).collect();
                self.add(Item { lengths_mm, ..Item::of(good, "m", m, good.kg * m) });
            }
            Want::Loaded(part, count, kg_each) => match self.shop.carrying(*part, *kg_each) {
                Some(good) => self.add(Item::of(good, "pieces", *count, good.kg * count)),
                None => {
                    let what = match part {
                        Part::Spring => "steel spring foot",
                        Part::SoftHanger => "sprung hanger",
                        _ => "rubber pad",
                    };
                    self.add(Item::other(format!("{what} for {kg_each:.1} kg"), "pieces", *count, 0.0, None));
                }
            },
            Want::Unknown(what, amount, measure) => self.add(Item::other(what.clone(), measure, *amount, 0.0, None)),
        }
    }

    /// Of a good by the m, m² or piece; by its name without a price where there is none.
    fn named(&mut self, what: &Serves, name: &str, amount: f64, measure: &'static str) {
        match self.shop.good(what) {
            Some(good) => self.add(Item::of(good, measure, amount, good.kg * amount)),
            None => self.add(Item::other(name.to_owned(), measure, amount, 0.0, None)),
        }
    }

    fn density(&self, id: &str) -> f64 {
        self.shop.material(id).map_or(0.0, |material| material.density_kg_m3)
    }

    fn layer(&mut self, id: &str, thickness_mm: f64, layer: usize) {
        let Some((good, times)) = self.shop.layer(id, thickness_mm) else {
            return self.spread(id, thickness_mm, self.face.area_m2());
        };
        if !matches!(good.sold, Sold::Sheet { .. }) || times > 1.0 {
            return self.spread(id, thickness_mm, self.face.area_m2());
        }
        let board_m = sheet_mm(good).map(|side| f64::from(side) / 1000.0);
        // A sheet's height runs along its long side, as a board stands on a wall; lying boards are turned for the plan of their sheet.
        let lying = !self.face.upright;
        let kg_m2 = self.density(id) * thickness_mm / 1000.0;
        let tiles = self.face.tiles(board_m, layer).into_iter();
        self.sheets(
            good,
            kg_m2,
            tiles.map(|tile| {
                let [wide, high] = tile.size_m;
                (if lying { [high, wide] } else { [wide, high] }, tile.net_m2)
            }),
        );
    }

    fn cut_pieces(&mut self, id: &str, thickness_mm: f64, sizes_m: &[[f64; 2]]) {
        let m2: f64 = sizes_m.iter().map(|[wide, high]| wide * high).sum();
        let Some((good, _)) = self.shop.layer(id, thickness_mm) else {
            return self.spread(id, thickness_mm, m2);
        };
        let Sold::Sheet { turns, .. } = good.sold else { return self.spread(id, thickness_mm, m2) };
        let board_mm = sheet_mm(good);
        let kg_m2 = self.density(id) * thickness_mm / 1000.0;
        let fits = |[wide, high]: [f64; 2]| mm(wide) <= board_mm[0] && mm(high) <= board_mm[1];
        let mut all = vec![];
        for size_m in sizes_m {
            let [wide, high] = *size_m;
            if fits([wide, high]) || (turns && fits([high, wide])) {
                all.push(([wide, high], wide * high));
            } else {
                // Larger than a sheet: joined of several.
                let board_m = board_mm.map(|side| f64::from(side) / 1000.0);
                let tiles = Face::wall(wide, high, vec![]).tiles(board_m, 0);
                all.extend(tiles.iter().map(|tile| (tile.size_m, tile.net_m2)));
            }
        }
        self.sheets(good, kg_m2, all.into_iter());
    }

    /// Pieces of sheets: sizes as they lie on the upright sheet, and net areas.
    fn sheets(&mut self, good: &'static Good, kg_m2: f64, tiles: impl Iterator<Item = ([f64; 2], f64)>) {
        let mut item = Item::of(good, "m²", 0.0, 0.0);
        for (size_m, net_m2) in tiles {
            let size_mm = size_m.map(mm);
            item.needed += net_m2;
            item.kg += kg_m2 * net_m2;
            item.pieces_mm.push(size_mm);
            let kg = kg_m2 * net_m2;
            self.pieces.push(Piece { name: good.name.clone(), size_mm, count: 1, kg, handling: handling(kg) });
        }
        self.add(item);
    }

    /// What is laid, poured or blown over so many m².
    fn spread(&mut self, id: &str, thickness_mm: f64, m2: f64) {
        let kg = self.density(id) * thickness_mm / 1000.0 * m2;
        match self.shop.layer(id, thickness_mm) {
            Some((good, times)) => match good.sold {
                Sold::Volume(_) => self.add(Item::of(good, "m³", m2 * thickness_mm / 1000.0, kg)),
                _ => self.add(Item::of(good, "m²", m2 * times, kg)),
            },
            None => {
                let name = self.shop.material(id).map_or(id, |material| material.name.as_str());
                self.add(Item::other(format!("{name} {thickness_mm} mm"), "m²", m2, kg, None));
            }
        }
    }

    /// A build by its m², at its construction's price.
    fn built(&mut self, whole: &Construction, m2: f64) {
        let kg = m2 * whole.mass_per_area_kg_m2(self.shop.catalogue).unwrap_or(0.0);
        let cost = self.shop.price_of(whole).map(|price| price.map(|price| price * m2));
        self.add(Item::other(whole.name.clone(), "m²", m2, kg, cost));
    }

    /// A door, window or vent.
    fn whole(&mut self, construction: &Construction, size_m: [f64; 2]) {
        let m2 = size_m[0] * size_m[1];
        let by_piece = matches!(construction.build, Build::NormalisedDifference { .. } | Build::Open);
        let kg = m2 * construction.mass_per_area_kg_m2(self.shop.catalogue).unwrap_or(0.0);
        let (measure, amount) = if by_piece { ("pieces", 1.0) } else { ("m²", m2) };
        match self.shop.good(&Serves::Construction(construction.id.clone())) {
            Some(good) => self.add(Item::of(good, measure, amount, kg)),
            None => {
                let cost = self.shop.price_of(construction).map(|price| price.map(|price| price * amount));
                self.add(Item::other(construction.name.clone(), measure, amount, kg, cost));
            }
        }
        if !by_piece && construction.kind != ConstructionKind::Open {
            // Wide doors have two leaves.
            let is_door = construction.kind == ConstructionKind::Door;
            let leaves = if is_door { (size_m[0] / WIDEST_LEAF_M).ceil().clamp(1.0, 100.0) } else { 1.0 };
            let size_mm = [size_m[0] / leaves, size_m[1]].map(mm);
            let (name, kg) = (construction.name.clone(), kg / leaves);
            self.pieces.push(Piece { name, size_mm, count: leaves as usize, kg, handling: handling(kg) });
        }
    }
}

/// Width and height of a sheet, the shorter first, mm.
fn sheet_mm(good: &Good) -> [i32; 2] {
    match good.sold {
        Sold::Sheet { wide_mm, high_mm, .. } => [wide_mm, high_mm].map(|side| side.round() as i32),
        _ => [0, 0],
    }
}

/// Whole millimetres, rounded up beyond a twentieth.
fn mm(m: f64) -> i32 {
    (1000.0 * m - 0.05).ceil().clamp(0.0, 1e8) as i32
}

/// Everything all jobs buy.
#[derive(Default)]
pub(super) struct Basket {
    /// Each with the job of each of its pieces.
    all: Vec<(Item, Vec<usize>)>,
}

impl Basket {
    pub(super) fn add(&mut self, bought: &Bought, job: usize) {
        for item in &bought.items {
            let jobs = std::iter::repeat_n(job, item.pieces_mm.len());
            match self.all.iter_mut().find(|(there, _)| there.same(item)) {
                Some((there, of)) => {
                    there.add(item);
                    of.extend(jobs);
                }
                None => self.all.push((item.clone(), jobs.collect())),
            }
        }
    }

    /// What is bought together, by name, and how its sheets are cut.
    pub(super) fn shared(mut self, shop: &Shop<'_>) -> (Vec<Line>, Vec<Cut>) {
        self.all.sort_by(|(a, _), (b, _)| a.name.cmp(&b.name));
        let (mut lines, mut cuts) = (vec![], vec![]);
        for (item, jobs) in &self.all {
            let (line, sheets) = item.line(shop);
            lines.push(line);
            if let (Some(good), false) = (item.good, sheets.is_empty()) {
                let pieces = item.pieces_mm.iter().copied().zip(jobs.iter().copied()).collect();
                let (good, name) = (good, good.name.clone());
                cuts.push(Cut { good: good.id.clone(), name, sheet_mm: sheet_mm(good), pieces, sheets });
            }
        }
        (lines, cuts)
    }
}
