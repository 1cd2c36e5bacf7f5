//! Scenes made in a few lines, and motions of whole scenes.

use leaklight::catalogue::{
    Bridge, Build, Catalogue, Certainty, Construction, ConstructionKind, Layer, Material, Provenance, material::Nature,
};
use leaklight::scene::{Finishes, FloorBuild, Node, NodeId, Room, Scene, Storey, StoreyId, Wall, Workmanship};

fn provenance() -> Provenance {
    Provenance { source: String::new(), place: String::new(), certainty: Certainty::Invented }
}

fn construction(id: &str, kind: ConstructionKind, layers: Vec<Layer>) -> Construction {
    Construction {
        id: id.into(),
        name: id.into(),
        kind,
        build: Build::Layers(layers),
        provenance: provenance(),
        usual_rw: None,
        price_per_m2: None,
        caution: String::new(),
    }
}

fn sheet(material: &str, thickness_mm: f64) -> Layer {
    Layer::Sheet { material: material.into(), thickness_mm, bonded: false }
}

/// Walls of 100, 200 and 365 mm, an unsymmetric one of 150 mm, slabs with and without joists, a door.
pub(crate) fn catalogue() -> Catalogue {
    let mut catalogue = Catalogue::default();
    for (id, density_kg_m3) in [("stone", 1800.0), ("foam", 600.0), ("board", 700.0)] {
        let nature = Nature::Plate { longitudinal_speed_m_s: 2500.0, poisson: 0.2, internal_loss: 0.01 };
        let (name, caution) = (id.to_owned(), String::new());
        let material = Material { id: id.into(), name, density_kg_m3, nature, provenance: provenance(), caution };
        catalogue.materials.insert(id.into(), material);
    }
    let joists = Layer::Cavity { depth_mm: 200.0, fill: None, bridge: Bridge::Joists { spacing_mm: 400.0 } };
    use ConstructionKind::{Door, Floor, Ground, Roof, Wall};
    for made in [
        construction("thin", Wall, vec![sheet("stone", 100.0)]),
        construction("inner", Wall, vec![sheet("stone", 200.0)]),
        construction("outer", Wall, vec![sheet("foam", 365.0)]),
        construction("lined", Wall, vec![sheet("stone", 137.5), sheet("board", 12.5)]),
        construction("slab", Floor, vec![sheet("stone", 220.0)]),
        construction("joists", Floor, vec![sheet("board", 22.0), joists, sheet("board", 12.5)]),
        construction("ground", Ground, vec![sheet("stone", 150.0)]),
        construction("roof", Roof, vec![sheet("board", 30.0)]),
        construction("door", Door, vec![sheet("board", 44.0)]),
    ] {
        catalogue.constructions.insert(made.id.clone(), made);
    }
    catalogue
}

/// A scene of these storeys.
pub(crate) fn scene(storeys: Vec<Storey>) -> Scene {
    Scene { storeys, ..Scene::empty("made for a test") }
}

/// A storey of walls (from x, y to x, y; construction), 2.75 m high, without rooms named. Walls share nodes where their ends meet.
pub(crate) fn storey(id: &str, level_m: f64, walls: &[([f64; 4], &str)]) -> Storey {
    let mut nodes: Vec<Node> = vec![];
    let mut node = |at: [f64; 2]| {
        if let Some(node) = nodes.iter().find(|node| node.at == at) {
            return node.id.clone();
        }
        let id = NodeId(format!("n{}", nodes.len()));
        nodes.push(Node { id: id.clone(), at });
        id
    };
    let walls = walls
        .iter()
        .enumerate()
        .map(|(at, &([x, y, u, v], construction))| Wall {
            id: format!("w{at}").as_str().into(),
            from: node([x, y]),
            to: node([u, v]),
            construction: construction.into(),
            joists_run_on: false,
            stops_at_ceiling: false,
            workmanship: Workmanship::AsDrawn,
        })
        .collect();
    Storey {
        id: StoreyId(id.into()),
        name: format!("{id} floor"),
        level_m,
        height_m: 2.75,
        floor: FloorBuild { construction: "slab".into(), joist_direction_deg: None, workmanship: Workmanship::AsDrawn },
        ground: "ground".into(),
        roof: "roof".into(),
        nodes,
        walls,
        openings: vec![],
        rooms: vec![],
        underlay: None,
    }
}

/// A marker.
pub(crate) fn room(id: &str, at: [f64; 2]) -> Room {
    Room {
        id: id.into(),
        name: id.into(),
        at,
        usage: Default::default(),
        finishes: Finishes::default(),
        furniture_m2: 0.0,
        floor: None,
        roof: None,
        background: Default::default(),
        volume_m3: None,
        reverberation_s: None,
        inner_shell: None,
        fill: None,
        flames: false,
        untested_coating: false,
    }
}

/// A way to move a whole building in its plan.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Motion {
    pub turn_rad: f64,
    pub by_m: [f64; 2],
    pub mirrored: bool,
}

impl Motion {
    pub(crate) fn point(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        let x = if self.mirrored { -x } else { x };
        let (sin, cos) = self.turn_rad.sin_cos();
        [x * cos - y * sin + self.by_m[0], x * sin + y * cos + self.by_m[1]]
    }

    /// The scene moved. In a mirror left is right, so walls are drawn the other way round and openings counted from the other end.
    pub(crate) fn scene(&self, scene: &Scene) -> Scene {
        let mut moved = scene.clone();
        for storey in &mut moved.storeys {
            let length = |wall: &Wall| {
                let at = |id: &NodeId| storey.nodes.iter().find(|node| node.id == *id).unwrap().at;
                let ([x, y], [u, v]) = (at(&wall.from), at(&wall.to));
                (u - x).hypot(v - y)
            };
            if self.mirrored {
                for opening in &mut storey.openings {
                    let wall = storey.walls.iter().find(|wall| wall.id == opening.wall).unwrap();
                    opening.offset_m = length(wall) - opening.offset_m - opening.width_m;
                }
                for wall in &mut storey.walls {
                    std::mem::swap(&mut wall.from, &mut wall.to);
                }
            }
            if let Some(degrees) = &mut storey.floor.joist_direction_deg {
                let turned = if self.mirrored { 180.0 - *degrees } else { *degrees };
                *degrees = turned + self.turn_rad.to_degrees();
            }
            for node in &mut storey.nodes {
                node.at = self.point(node.at);
            }
            for room in &mut storey.rooms {
                room.at = self.point(room.at);
            }
        }
        for at in moved.sources.iter_mut().map(|source| &mut source.at) {
            *at = self.point(*at);
        }
        for at in moved.ducts.iter_mut().flat_map(|duct| &mut duct.ends).map(|end| &mut end.at) {
            *at = self.point(*at);
        }
        for at in moved.listeners.iter_mut().map(|listener| &mut listener.at) {
            *at = self.point(*at);
        }
        moved
    }
}
