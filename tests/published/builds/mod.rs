//! The builds of the published tables as layer stacks: `layered.ron`.

mod compare;
mod table;

pub(crate) use compare::Compared;

use std::collections::BTreeMap;

use leaklight::acoustics::NotPhysical;
use leaklight::acoustics::bridges::Connection;
use leaklight::acoustics::layers::{Cavity, Fill, Joint, Leaf, Sheet, Stack};
use serde::Deserialize;

/// The file as a whole.
#[derive(Deserialize)]
pub(crate) struct Builds {
    materials: BTreeMap<String, Material>,
    fills: BTreeMap<String, (f64, f64)>,
    pub(crate) builds: Vec<Build>,
    left_out: Vec<LeftOut>,
}

#[derive(Deserialize, Clone, Copy)]
enum Material {
    Plate(f64, f64, f64, f64),
    Limp(f64),
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

/// A case that no stack stands for.
#[derive(Deserialize)]
struct LeftOut {
    case: String,
    why: String,
}

/// A gap beside the stack.
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

#[derive(Deserialize, Clone)]
enum Layer {
    Sheet(String, f64),
    Weighed(String, f64, f64),
    Bonded(Vec<(String, f64)>),
    Laminated(Vec<(String, f64)>),
    Cavity(f64, Option<(String, f64)>, Connection),
}

impl Build {
    /// The layers in words, from the source side on.
    pub(crate) fn describe(&self) -> String {
        self.layers.iter().map(Layer::describe).collect::<Vec<_>>().join(" + ")
    }
}

impl Layer {
    fn describe(&self) -> String {
        let run = |sheets: &[(String, f64)], how: &str| {
            let sheets: Vec<_> = sheets.iter().map(|(name, mm)| format!("{mm} {name}")).collect();
            format!("({}) {how}", sheets.join(" + "))
        };
        match self {
            Self::Sheet(name, mm) => format!("{mm} {name}"),
            Self::Weighed(name, mm, kg) => format!("{mm} {name} {kg} kg/m²"),
            Self::Bonded(sheets) => run(sheets, "bonded"),
            Self::Laminated(sheets) => run(sheets, "laminated"),
            Self::Cavity(mm, None, connection) => format!("{mm} air, {connection:?}"),
            Self::Cavity(mm, Some((name, thick)), connection) => format!("{mm} with {thick} {name}, {connection:?}"),
        }
    }
}

impl Builds {
    pub(crate) fn read() -> Self {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/builds/layered.ron");
        ron::from_str(&std::fs::read_to_string(path).expect("the builds are committed")).expect("the builds are RON")
    }

    /// Why a case has no stack, if it has none.
    pub(crate) fn left_out(&self, case: &str) -> Option<&str> {
        self.left_out.iter().find(|left| left.case == case).map(|left| left.why.as_str())
    }

    fn sheet(&self, name: &str, mm: f64, kg_m2: Option<f64>) -> Result<Sheet, NotPhysical> {
        let thickness = mm / 1000.0;
        let density = |usual: f64| kg_m2.map_or(usual, |kg| kg / thickness);
        match self.materials[name] {
            Material::Plate(rho, speed, poisson, loss) => Sheet::plate(thickness, density(rho), speed, poisson, loss),
            Material::Limp(rho) => Sheet::limp(thickness, density(rho)),
        }
    }

    /// The stack of a build.
    pub(crate) fn stack(&self, build: &Build) -> Result<Stack, NotPhysical> {
        let (mut leaves, mut cavities, mut run) = (Vec::new(), Vec::new(), Vec::new());
        let mut joint = Joint::Screwed;
        for layer in &build.layers {
            match layer {
                Layer::Sheet(name, mm) => run.push(self.sheet(name, *mm, None)?),
                Layer::Weighed(name, mm, kg) => run.push(self.sheet(name, *mm, Some(*kg))?),
                Layer::Bonded(sheets) | Layer::Laminated(sheets) => {
                    joint = if matches!(layer, Layer::Bonded(_)) { Joint::Bonded } else { Joint::Laminated };
                    for (name, mm) in sheets {
                        run.push(self.sheet(name, *mm, None)?);
                    }
                }
                Layer::Cavity(mm, fill, connection) => {
                    leaves.push(Leaf::new(&run, joint)?);
                    run.clear();
                    joint = Joint::Screwed;
                    let fill = match fill {
                        Some((name, mm)) => {
                            let (resistivity, density) = self.fills[name];
                            Some(Fill::new(mm / 1000.0, resistivity, density)?)
                        }
                        None => None,
                    };
                    cavities.push(Cavity::new(mm / 1000.0, fill, *connection)?);
                }
            }
        }
        leaves.push(Leaf::new(&run, joint)?);
        Stack::new(leaves, cavities)
    }
}
