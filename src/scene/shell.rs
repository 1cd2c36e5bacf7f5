//! A room within a room: an inner shell of faces that touch the room round it as little as possible. And a cover panel before one opening.

use serde::{Deserialize, Serialize};

use super::ids::{OpeningId, RoomId, WallId, is_usual, is_yes, yes};
use super::workmanship::Workmanship;

/// An inner shell, as one object: each face may be there or not, so that one can try which to build first.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct InnerShell {
    /// Before every wall of the room that `each_wall` does not name.
    #[serde(skip_serializing_if = "is_usual")]
    pub walls: Option<ShellFace>,
    /// Before single walls: wall id, and a face of its own or `None` for a wall left bare.
    #[serde(skip_serializing_if = "is_usual")]
    pub each_wall: Vec<(WallId, Option<ShellFace>)>,
    /// Below the old ceiling.
    #[serde(skip_serializing_if = "is_usual")]
    pub ceiling: Option<ShellFace>,
    /// On the old floor.
    #[serde(skip_serializing_if = "is_usual")]
    pub floor: Option<ShellFace>,
    /// Doors and windows of the shell, each before an opening of the old wall. What has none is closed off by the shell.
    #[serde(skip_serializing_if = "is_usual")]
    pub openings: Vec<ShellOpening>,
}

/// One face of an inner shell.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShellFace {
    /// Construction id: its layers run from inside the room towards the old wall, floor or ceiling.
    pub construction: String,
    /// Clear distance between its outermost layer and the old face, mm.
    pub gap_mm: f64,
    /// Porous fill of the gap: material id and thickness, mm.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub fill: Option<(String, f64)>,
    /// What holds it.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub support: Support,
    /// How well it was built.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub workmanship: Workmanship,
}

/// What holds a face of an inner shell.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Support {
    /// Nothing touches the old face: walls that stand on the shell's floor, a ceiling that spans from wall to wall.
    #[default]
    None,
    /// Rigid hangers or brackets to the old face.
    Hangers {
        /// How many for each square metre.
        per_m2: f64,
    },
    /// Resilient clips with bars across them.
    Clips {
        /// Distance between bars, mm.
        spacing_mm: f64,
    },
    /// Steel springs: hangers of a ceiling, feet of a floor.
    Springs {
        /// How many for each square metre.
        per_m2: f64,
        /// How far the face's own weight presses or pulls them, mm.
        deflection_mm: f64,
    },
    /// Rubber or foam pads or hangers.
    Rubber {
        /// How many for each square metre.
        per_m2: f64,
        /// How far the face's own weight presses or pulls them, mm.
        deflection_mm: f64,
        /// How many times stiffer they are when they move (1.3 to 3).
        stiffer: f64,
    },
}

/// Standard acceleration of free fall, m/s².
const G_M_S2: f64 = 9.806_65;

impl Support {
    /// Number for each square metre, and dynamic stiffness of each (N/m), of springs and pads under a face of `mass_kg_m2`: k = m'·g·r/(n·δ).
    #[must_use]
    pub fn springs(&self, mass_kg_m2: f64) -> Option<(f64, f64)> {
        let (per_m2, deflection_mm, stiffer) = match *self {
            Self::Springs { per_m2, deflection_mm } => (per_m2, deflection_mm, 1.0),
            Self::Rubber { per_m2, deflection_mm, stiffer } => (per_m2, deflection_mm, stiffer),
            Self::None | Self::Hangers { .. } | Self::Clips { .. } => return None,
        };
        Some((per_m2, mass_kg_m2 * G_M_S2 * stiffer / (per_m2 * deflection_mm / 1000.0)))
    }
}

/// A door or window of an inner shell.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ShellOpening {
    /// The opening of the old wall it stands before; it has the same width and height.
    pub before: OpeningId,
    /// Construction id.
    pub construction: String,
    /// Seal id.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub seal: Option<String>,
    /// A gap under a door, mm.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub undercut_mm: f64,
    /// How well it was built.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub workmanship: Workmanship,
}

/// A removable cover panel before an opening: a board on battens round it, pressed against a seal, that comes off again.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Cover {
    /// The room it stands in; where not given, the room of an outer wall, else the room on the wall's left.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub room: Option<RoomId>,
    /// Construction id of the board: its layers run from inside the room towards the pane.
    pub construction: String,
    /// Clear distance between board and pane, mm.
    pub gap_mm: f64,
    /// Porous absorber round the reveal: material id and thickness, mm.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub reveal: Option<(String, f64)>,
    /// How far it overlaps the opening on each side, mm.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub overlap_mm: f64,
    /// Seal id of its edge.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub seal: Option<String>,
    /// Pieces across and pieces up that it is split into.
    #[serde(default = "one_piece", skip_serializing_if = "is_one_piece")]
    pub pieces: [u32; 2],
    /// Seal id of the joints between the pieces.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub joint_seal: Option<String>,
    /// False while it is off and stands aside.
    #[serde(default = "yes", skip_serializing_if = "is_yes")]
    pub on: bool,
    /// How well it was built.
    #[serde(default, skip_serializing_if = "is_usual")]
    pub workmanship: Workmanship,
}

impl Cover {
    /// Width and height of one piece before an opening of `size_m`, m.
    #[must_use]
    pub fn piece_m(&self, size_m: [f64; 2]) -> [f64; 2] {
        let whole_m = self.whole_m(size_m);
        [0, 1].map(|axis| whole_m[axis] / f64::from(self.pieces[axis].max(1)))
    }

    /// Length of all joints between pieces, m.
    #[must_use]
    pub fn joints_m(&self, size_m: [f64; 2]) -> f64 {
        let [across, up] = self.pieces.map(|pieces| f64::from(pieces.max(1)) - 1.0);
        let whole_m = self.whole_m(size_m);
        across * whole_m[1] + up * whole_m[0]
    }

    fn whole_m(&self, size_m: [f64; 2]) -> [f64; 2] {
        size_m.map(|side_m| side_m + 2.0 * self.overlap_mm / 1000.0)
    }
}

fn one_piece() -> [u32; 2] {
    [1, 1]
}

fn is_one_piece(pieces: &[u32; 2]) -> bool {
    *pieces == one_piece()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: a mass on springs that give 10 mm swings at 15.76/√10 = 4.98 Hz, whatever the mass and the number.
    #[test]
    fn springs_follow_from_their_deflection() {
        let support = Support::Springs { per_m2: 2.0, deflection_mm: 10.0 };
        let (per_m2, stiffness_n_m) = support.springs(60.0).expect("springs");
        let hz = (per_m2 * stiffness_n_m / 60.0).sqrt() / std::f64::consts::TAU;
        assert!((hz - 4.984).abs() < 0.001, "{hz}");
    }

    #[test]
    fn a_cover_in_four_pieces_has_a_cross_of_joints() {
        let text = "(construction: \"board\", gap_mm: 100.0, overlap_mm: 50.0, pieces: (2, 2))";
        let cover: Cover = ron::from_str(text).expect("reads");
        assert!((cover.joints_m([1.1, 1.3]) - 2.6).abs() < 1e-12);
        assert_eq!(cover.piece_m([1.1, 1.3]).map(|side| (side * 1000.0).round()), [600.0, 700.0]);
    }
}
