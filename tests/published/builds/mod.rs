//! The builds of the published tables as constructions: `layered.ron`.

mod compare;
pub(crate) mod figure;
mod table;

pub(crate) use compare::Compared;
pub(crate) use table::compared as layered;

use leaklight::acoustics::slit::Slit;
use leaklight::acoustics::{Air, Bands, Spectrum};
use leaklight::catalogue::{
    Bridge, Build as ConstructionBuild, Catalogue, Certainty, Construction, ConstructionKind, Layer, Material,
    Provenance,
};
use leaklight::solve::construction::reduction;
use leaklight::solve::construction::resolve;
use leaklight::solve::spread::Spread;
use serde::Deserialize;

/// The file as a whole.
#[derive(Deserialize)]
struct File {
    #[serde(default)]
    materials: Vec<Material>,
    #[serde(default)]
    weighed: Vec<Weighed>,
    builds: Vec<Build>,
    left_out: Vec<LeftOut>,
}

/// A material of the catalogue with a density of its own.
#[derive(Deserialize)]
struct Weighed {
    id: String,
    like: String,
    density_kg_m3: f64,
}

/// The builds, and the catalogue with the materials they need.
pub(crate) struct Builds {
    catalogue: Catalogue,
    pub(crate) builds: Vec<Build>,
    left_out: Vec<LeftOut>,
}

/// One build.
#[derive(Deserialize, Clone)]
pub(crate) struct Build {
    pub(crate) case: String,
    pub(crate) family: String,
    pub(crate) size_m: (f64, f64),
    layers: Vec<Layer>,
    #[serde(default)]
    pub(crate) stc: String,
    #[serde(default)]
    pub(crate) leak: Leak,
    /// What the table does not print and was taken instead.
    #[serde(default)]
    pub(crate) note: String,
    /// Why a build outside the tolerance of its case is so.
    #[serde(default)]
    pub(crate) outlier: String,
}

/// A case that no construction stands for.
#[derive(Deserialize)]
struct LeftOut {
    case: String,
    why: String,
}

/// A gap beside the build.
#[derive(Deserialize, Clone, Copy, Default)]
pub(crate) enum Leak {
    #[default]
    None,
    Slit {
        width_mm: f64,
        length_m: f64,
        depth_mm: f64,
    },
}

impl Builds {
    /// Reads a file of this folder.
    pub(crate) fn read(file: &str) -> Self {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/builds").join(file);
        let File { materials, weighed, builds, left_out } =
            ron::from_str(&std::fs::read_to_string(path).expect("the builds are committed"))
                .expect("the builds are RON");
        let mut catalogue = Catalogue::built_in_ref().clone();
        catalogue.materials.extend(materials.into_iter().map(|material| (material.id.clone(), material)));
        for Weighed { id, like, density_kg_m3 } in weighed {
            let material = Material { id: id.clone(), density_kg_m3, ..catalogue.materials[&like].clone() };
            catalogue.materials.insert(id, material);
        }
        Self { catalogue, builds, left_out }
    }

    /// Why a case has no build, if it has none.
    pub(crate) fn left_out(&self, case: &str) -> Option<&str> {
        self.left_out.iter().find(|left| left.case == case).map(|left| left.why.as_str())
    }

    /// Sound reduction index of a build in the opening it was measured in, its gap included: the construction as a user would enter it, by
    /// the function that `leaklight element` calls.
    pub(crate) fn reduction_db(&self, build: &Build) -> Spectrum {
        let (air, bands) = (Air::default(), Bands::exact());
        let construction = Self::construction(build);
        let faults = self.catalogue.faults_of(&construction);
        assert!(faults.is_empty(), "{}: {faults:?}", build.case);
        let (wide, high) = build.size_m;
        let r_db = reduction(&self.catalogue, &construction, [wide, high], &air, &bands)
            .unwrap_or_else(|error| panic!("{}: {error}", build.case))
            .r_db;
        let Leak::Slit { width_mm, length_m, depth_mm } = build.leak else { return r_db };
        let slit = Slit::new(width_mm / 1000.0, depth_mm / 1000.0).unwrap();
        let share = width_mm / 1000.0 * length_m / (wide * high);
        r_db.tau_from_r_db()
            .zip(&bands.map(|hz| slit.transmission(&air, hz)), |leaf, gap| leaf + gap * share)
            .r_db_from_tau()
    }

    /// What a user who entered it would be told how far it may be off by.
    pub(crate) fn spread(&self, build: &Build) -> Spread {
        Spread::of(&resolve(&self.catalogue, &Self::construction(build)).unwrap())
    }

    fn construction(build: &Build) -> Construction {
        Construction {
            id: "published".to_owned(),
            name: build.case.clone(),
            kind: ConstructionKind::Wall,
            build: ConstructionBuild::Layers(build.layers.clone()),
            provenance: Provenance { source: String::new(), place: String::new(), certainty: Certainty::Measured },
            usual_rw: None,
            price_per_m2: None,
            caution: String::new(),
        }
    }

    /// The layers in words, from the source side on.
    pub(crate) fn describe(&self, build: &Build) -> String {
        build.layers.iter().map(|layer| self.layer(layer)).collect::<Vec<_>>().join(" + ")
    }

    fn layer(&self, layer: &Layer) -> String {
        match layer {
            Layer::Sheet { material, thickness_mm, bonded } => {
                let how = if *bonded { " bonded" } else { "" };
                if Catalogue::built_in_ref().materials.contains_key(material) {
                    return format!("{thickness_mm} {material}{how}");
                }
                let material = &self.catalogue.materials[material];
                let kg_m2 = material.density_kg_m3 * thickness_mm / 1000.0;
                format!("{thickness_mm} {} {kg_m2:.1} kg/m²{how}", material.name)
            }
            Layer::Cavity { depth_mm, fill: None, bridge: Bridge::Free } => format!("{depth_mm} air"),
            Layer::Cavity { depth_mm, fill: None, bridge } => format!("{depth_mm} air, {bridge:?}"),
            Layer::Cavity { depth_mm, fill: Some((material, thick)), bridge } => {
                format!("{depth_mm} with {thick} {material}, {bridge:?}")
            }
            Layer::Resilient { material, thickness_mm } => format!("{thickness_mm} {material}"),
        }
    }
}
