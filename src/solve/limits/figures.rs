//! The numbers that builds and players are held against, each with where it comes from. None is advice: local codes, an engineer, a fire officer and a doctor
//! come first.

/// A number that something is held against.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Figure {
    /// The number; its unit is in the name of the constant.
    pub value: f64,
    /// Where it comes from, as it is cited.
    pub source: &'static str,
}

/// Headroom one must have to walk, m.
pub const LEAST_HEADROOM_M: Figure = Figure {
    value: 2.0,
    source: "Approved Document K (England): headroom of 2 m is adequate on the way between levels; as quoted, clause not seen",
};
/// Headroom of rooms people stay in, m.
pub const ROOM_HEADROOM_M: Figure = Figure {
    value: 2.3,
    source: "Nationally described space standard (England, 2015): 2.3 m over three quarters of a dwelling; as quoted, clause not seen",
};
/// Imposed load that floors of dwellings are designed for, kg/m², people and furniture included: 1.5 kN/m².
pub const FLOOR_KG_M2: Figure = Figure {
    value: super::super::shell::DWELLING_FLOOR_KG_M2,
    source: "EN 1991-1-1:2002 Table 6.2, category A, with its UK annex: 1.5 kN/m² (from memory, unverified)",
};
/// Part of it up to which platforms and people need no engineer. Own judgement, no source.
pub const UNASKED_SHARE: f64 = 0.5;
/// A person, kg.
pub const PERSON_KG: Figure =
    Figure { value: 75.0, source: "EN 81-20: 75 kg for each passenger of a lift (from memory, unverified)" };
/// What one person lifts near the body before a closer look is called for, kg: see [`super::super::shell::handling`].
pub const LIFT_KG: Figure = Figure {
    value: super::super::shell::ONE_LIFTS_KG[0],
    source: "HSE, manual handling, lifting and lowering risk filter: 25 kg (men), 16 kg (women) near the body at waist height; two thirds of the sum for two, half for three (from memory but the 25 kg)",
};
/// Length and width of a full sheet of board, m. Common practice, no source: what is cut smaller is lighter.
pub const SHEET_M: [f64; 2] = [2.4, 1.2];
/// Length and width of a board of a floor, m. Common practice, no source.
pub const FLOORING_M: [f64; 2] = [2.4, 0.6];
/// Sheets are no thicker, mm: what is comes in blocks or is cast. Own judgement, no source.
pub const THICKEST_SHEET_MM: f64 = 45.0;
/// Size of windows one may have to leave by.
pub const ESCAPE: &str = "Approved Document B (England), as given by makers' guidance: escape windows of 0.33 m² and more, 450 mm each way, sill up to 1.1 m";
/// Fresh air for somebody seated, L/s.
pub const SEATED_L_S: Figure = Figure {
    value: 10.0,
    source: "7.5 to 10 L/s each keep 800 to 1000 ppm of carbon dioxide, seated (veetech.org.uk, metabolic CO2)",
};
/// Fresh air for somebody who plays hard, L/s: what keeps [`CO2_L_S`] to 1000 ppm, 570 ppm over outdoors (430 ppm). Derived.
pub const DRUMMING_L_S: Figure = Figure {
    value: 28.0,
    source: "derived from 0.016 L/s of carbon dioxide at 4 met (Persily & de Jonge, Indoor Air 27 (2017) 868, from memory) and 1000 ppm",
};
/// Carbon dioxide somebody who plays hard (4 met) breathes out, L/s. Persily & de Jonge, Indoor Air 27 (2017) 868 (from memory, unverified).
pub const CO2_L_S: f64 = 0.016;
/// Heat of somebody who plays hard, W.
pub const DRUMMING_W: Figure =
    Figure { value: 400.0, source: "ISO 8996: about 100 W seated, 400 W at hard work (from memory, unverified)" };
/// Heat of somebody seated, W.
pub const SEATED_W: f64 = 100.0;
/// Ears from the middle of the instrument they play, m. Own judgement, no source.
pub const PLAYER_M: f64 = 0.7;
/// Hours of playing a day where nothing is said. Own choice.
pub const HOURS_NOT_SAID: f64 = 1.0;
/// Daily exposures LEX,8h, dB(A), from which on hearing protectors are offered, must be worn, and which nobody may get under them at work.
pub const EXPOSURE_DB: [f64; 3] = [80.0, 85.0, 87.0];
/// Where [`EXPOSURE_DB`] comes from.
pub const EXPOSURE: &str = "Directive 2003/10/EC, article 3: LEX,8h of 80, 85 and 87 dB(A), 3 dB for each halving of the time; NIOSH recommends 85 dB(A) for 8 h by the same rule";
/// Vents that feed flames.
pub const COMBUSTION: &str =
    "Makers' and safety guidance: never block a permanent vent of a boiler, stove or fire (becarbonmonoxideaware.com)";
/// Old coatings.
pub const COATING: &str =
    "HSE, asbestos essentials: presume asbestos in textured coatings from before 2000 until a sample says otherwise";
/// What has no other source.
pub const PRACTICE: &str = "Common practice, no source";

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: 0.016 L/s in a stream that may gain 1000 − 430 = 570 ppm needs 0.016/0.00057 = 28.1 L/s.
    #[test]
    fn fresh_air_of_a_drummer_follows_from_what_is_breathed_out() {
        assert!((CO2_L_S / 570e-6 - DRUMMING_L_S.value).abs() < 0.1);
    }
}
