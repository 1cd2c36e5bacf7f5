//! Bending waves of a leaf, thick plates and laminated panes included.

use num_complex::Complex64;

use super::Leaf;

/// Square of the free wavenumber of a Mindlin plate, 1/m² (infinite when limp), and the loss factor its interlayer adds.
///
/// `interlayer`: complex shear modulus over thickness, Pa/m; only laminated leaves feel it.
/// Source: Mindlin, Journal of Applied Mechanics 18 (1951) 31; Cremer, Heckl & Petersson, Structure-Borne Sound, ch. 3.
pub(super) fn free(leaf: &Leaf, omega: f64, interlayer: Complex64) -> (f64, f64) {
    let bending = leaf.bending_stiffness_nm();
    if bending <= 0.0 {
        return (f64::INFINITY, 0.0);
    }
    let w2 = omega * omega;
    let shear = w2 * leaf.mass_per_area_kg_m2() / leaf.shear_stiffness_n_m();
    let solve = |bending: f64| {
        let rotary = w2 * leaf.rotary_inertia_kg() / bending;
        let thin = w2 * leaf.mass_per_area_kg_m2() / bending;
        f64::midpoint(shear, rotary) + (((shear - rotary) / 2.0).powi(2) + thin).sqrt()
    };
    let mut squared = solve(bending);
    if !leaf.is_laminated() {
        return (squared, 0.0);
    }
    let mut added = leaf.interlayer_nm(squared, interlayer);
    // The coupled stiffness depends on the wavenumber it gives; a few steps settle it.
    for _ in 0..6 {
        squared = solve(bending + added.re);
        added = leaf.interlayer_nm(squared, interlayer);
    }
    (squared, added.im / (bending + added.re))
}

/// Pressure difference over velocity of a Mindlin plate at a squared trace wavenumber; tends to jωm′(1 − (f/fc)²(1 + jη) sin⁴θ).
///
/// Source: Mindlin (1951), the equations of motion solved for a plane wave.
pub(super) fn impedance(leaf: &Leaf, trace_squared: f64, omega: f64, loss: f64, interlayer: Complex64) -> Complex64 {
    let w2 = omega * omega;
    let inertia = w2 * leaf.mass_per_area_kg_m2();
    if leaf.bending_stiffness_nm() <= 0.0 {
        return Complex64::new(0.0, inertia / omega);
    }
    let lossy = Complex64::new(1.0, loss);
    let shear = lossy * leaf.shear_stiffness_n_m();
    let mut bending = lossy * leaf.bending_stiffness_nm();
    if leaf.is_laminated() {
        bending += leaf.interlayer_nm(trace_squared, interlayer);
    }
    let turning = bending * trace_squared - w2 * leaf.rotary_inertia_kg();
    let stiffness = trace_squared * shear * turning / (turning + shear);
    (stiffness - inertia) * Complex64::new(0.0, -1.0 / omega)
}
