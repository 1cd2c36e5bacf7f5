//! What is carried for eight angles at a time, lane by lane, and how many leaves at most: loops the compiler turns into arithmetic on several numbers at once.

/// As many as the points of one Gauss & Legendre rule.
pub(super) const LANES: usize = 8;

/// Most leaves a stack may have.
pub(super) const MOST_LEAVES: usize = 4;

pub(super) const MOST_CAVITIES: usize = MOST_LEAVES - 1;

/// One number for each angle.
pub(super) type Lanes = [f64; LANES];

/// One complex number for each angle.
#[derive(Debug, Clone, Copy)]
pub(super) struct ComplexLanes {
    pub re: Lanes,
    pub im: Lanes,
}

impl ComplexLanes {
    pub(super) const ZERO: Self = Self { re: [0.0; LANES], im: [0.0; LANES] };

    /// Real and imaginary part at one angle.
    #[inline(always)]
    pub(super) fn at(&self, lane: usize) -> (f64, f64) {
        (self.re[lane], self.im[lane])
    }
}
