//! Measured walls, glass, doors and floors: every case that a stack can stand for.

use super::{Case, Outcome};
use crate::published::builds::{Builds, Compared};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    stacks(case)
}

/// Compares every stack of a case with what it prints: mean absolute deviation of the bands, STC, Rw. A build outside the tolerance
/// passes only as a difference explained in `builds/layered.ron`.
pub(super) fn stacks(case: &Case) -> Result<Outcome, String> {
    let builds = Builds::read("layered.ron");
    let of_case: Vec<_> = builds.builds.iter().filter(|build| build.case == case.id()).collect();
    if of_case.is_empty() {
        return match builds.left_out(case.id()) {
            Some(why) => Ok(Outcome::Differs(format!("not expressed as a construction: {why}"))),
            None => Err("no stack, and no reason why".into()),
        };
    }
    let (mut outside, mut unexplained) = (Vec::new(), Vec::new());
    for build in of_case {
        for miss in misses(case, &Compared::new(&builds, build, case.raw())) {
            if build.outlier.is_empty() {
                unexplained.push(miss);
            } else {
                outside.push(format!("{miss}: {}", build.outlier));
            }
        }
    }
    if !unexplained.is_empty() {
        Err(unexplained.join("; "))
    } else if !outside.is_empty() {
        Ok(Outcome::Differs(outside.join("; ")))
    } else {
        Ok(Outcome::Passes)
    }
}

fn misses(case: &Case, compared: &Compared) -> Vec<String> {
    let mut misses = Vec::new();
    // The tolerance of a case of one to three values is that of each; the mean of them stands for it.
    for key in ["mean_abs_db", "db"] {
        if case.has_tolerance(key)
            && let Some(absolute) = compared.mean_absolute_db()
            && absolute > case.tolerance(key)
        {
            misses.push(format!("mean absolute deviation {absolute:.1} dB, allowed {}", case.tolerance(key)));
        }
    }
    if let (Some((published, computed)), true) = (compared.stc, case.has_tolerance("stc"))
        && (f64::from(computed) - published).abs() > case.tolerance("stc")
    {
        misses.push(format!("{} STC {computed}, published {published}", compared.layers));
    }
    if let (Some((published, computed)), true) = (compared.rw, case.has_tolerance("rw"))
        && (f64::from(computed) - published).abs() > case.tolerance("rw")
    {
        misses.push(format!("Rw {computed}, published {published}"));
    }
    misses
}
