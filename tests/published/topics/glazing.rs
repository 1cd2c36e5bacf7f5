//! Generally accepted values for glazing, each as a stack.

use super::panels_measured::stacks;
use super::{Case, Outcome};

pub(super) fn check(case: &Case) -> Result<Outcome, String> {
    stacks(case)
}
