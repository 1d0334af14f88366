//! A fixed-width row of bits: the set of steps that are done, and the packed rest of a state behind it.
//!
//! The width `N` (in words of 64 bits) is chosen once for a problem, so that a comparison is a few machine instructions and a
//! state needs no allocation. The first `n_steps` bits are the done set; [`crate::search::state::Layout`] says what follows.

use std::hash::{Hash, Hasher};

/// `N` words of bits.
#[derive(Clone, Copy, Eq, PartialOrd, Ord, Debug)]
pub struct Bits<const N: usize>([u64; N]);

impl<const N: usize> Default for Bits<N> {
    fn default() -> Self {
        Self([0; N])
    }
}

impl<const N: usize> PartialEq for Bits<N> {
    // Written out: a comparison of whole arrays is a call of `memcmp`, a sixth of the time of some tables.
    #[inline]
    fn eq(&self, other: &Self) -> bool {
        let differ = self.0.iter().zip(&other.0).map(|(a, b)| a ^ b);
        differ.fold(0, |all, word| all | word) == 0
    }
}

impl<const N: usize> Hash for Bits<N> {
    fn hash<H: Hasher>(&self, state: &mut H) {
        for &word in &self.0 {
            state.write_u64(word);
        }
    }
}

/// A stretch of bits inside one word, holding a small number.
#[derive(Clone, Copy, PartialEq, Eq, Debug, Default)]
pub struct Field {
    word: u16,
    shift: u8,
    width: u8,
}

impl Field {
    /// A field of `width` bits (0 to 64) at `shift` of `word`; a width of 0 always holds 0.
    pub fn new(word: usize, shift: u32, width: u32) -> Self {
        Self {
            word: u16::try_from(word).expect("a state has few words"),
            shift: u8::try_from(shift).expect("a shift is below 64"),
            width: u8::try_from(width).expect("a width is at most 64"),
        }
    }

    /// The field without its lowest bits.
    #[must_use]
    pub fn above(self, bits: u32) -> Self {
        let bits = u8::try_from(bits).expect("a width is at most 64");
        Self {
            shift: (self.shift + bits).min(63),
            width: self.width - bits,
            ..self
        }
    }

    fn mask(self) -> u64 {
        if self.width >= 64 {
            u64::MAX
        } else {
            (1 << self.width) - 1
        }
    }
}

impl<const N: usize> Bits<N> {
    /// Whether step `i` is in the set.
    #[inline]
    pub fn has(&self, i: usize) -> bool {
        self.0[i / 64] >> (i % 64) & 1 == 1
    }

    /// Puts step `i` into the set.
    #[inline]
    pub fn insert(&mut self, i: usize) {
        self.0[i / 64] |= 1 << (i % 64);
    }

    /// The set of the steps listed.
    pub fn of(steps: &[usize]) -> Self {
        let mut set = Self::default();
        for &s in steps {
            set.insert(s);
        }
        set
    }

    /// The first `n` bits.
    pub fn first(n: usize) -> Self {
        let mut words = [0; N];
        for (k, word) in words.iter_mut().enumerate() {
            let here = n.saturating_sub(64 * k);
            *word = if here < 64 { (1 << here) - 1 } else { u64::MAX };
        }
        Self(words)
    }

    /// Whether every bit of `other` is set here.
    #[inline]
    pub fn covers(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).all(|(a, b)| a & b == *b)
    }

    /// Whether a bit is set in both.
    #[inline]
    pub fn meets(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).any(|(a, b)| a & b != 0)
    }

    /// The bits set in both.
    #[inline]
    #[must_use]
    pub fn and(mut self, other: &Self) -> Self {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a &= b;
        }
        self
    }

    /// The bits set in either.
    #[inline]
    #[must_use]
    pub fn or(mut self, other: &Self) -> Self {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a |= b;
        }
        self
    }

    /// The bits set here and not there.
    #[inline]
    #[must_use]
    pub fn minus(mut self, other: &Self) -> Self {
        for (a, b) in self.0.iter_mut().zip(&other.0) {
            *a &= !b;
        }
        self
    }

    /// Whether no bit is set.
    #[inline]
    pub fn is_empty(&self) -> bool {
        self.0.iter().all(|&w| w == 0)
    }

    /// How many bits are set.
    #[inline]
    pub fn len(&self) -> usize {
        self.0.iter().map(|w| w.count_ones() as usize).sum()
    }

    /// The positions of the set bits, ascending.
    pub fn iter(&self) -> impl Iterator<Item = usize> + '_ {
        self.0.iter().enumerate().flat_map(|(k, &word)| {
            std::iter::successors(Some(word), |w| Some(w & w.wrapping_sub(1)))
                .take_while(|&w| w != 0)
                .map(move |w| k * 64 + w.trailing_zeros() as usize)
        })
    }

    /// The number that a field holds.
    #[inline]
    pub fn get(&self, field: Field) -> u64 {
        self.0[field.word as usize] >> field.shift & field.mask()
    }

    /// Writes a number into a field. It must fit.
    #[inline]
    pub fn set(&mut self, field: Field, value: u64) {
        debug_assert!(
            value <= field.mask(),
            "{value} does not fit into {} bits",
            field.width
        );
        let word = &mut self.0[field.word as usize];
        *word = *word & !(field.mask() << field.shift) | value << field.shift;
    }

    /// All bits of a field set: a mask that keeps it.
    pub fn cover(&mut self, field: Field) {
        self.set(field, field.mask());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_holds_what_was_written_and_touches_nothing_else() {
        let mut bits = Bits::<2>::of(&[0, 63, 70]);
        let field = Field::new(1, 10, 5);
        bits.set(field, 21);
        assert_eq!(bits.get(field), 21);
        bits.set(field, 3);
        assert_eq!(bits.get(field), 3);
        assert!(bits.has(0) && bits.has(63) && bits.has(70) && !bits.has(71));
    }

    #[test]
    fn steps_come_back_in_ascending_order() {
        let set = Bits::<3>::of(&[130, 5, 64]);
        assert_eq!(set.iter().collect::<Vec<_>>(), [5, 64, 130]);
        assert_eq!(set.len(), 3);
    }

    #[test]
    fn set_algebra_agrees_with_membership() {
        let a = Bits::<1>::of(&[1, 2, 3]);
        let b = Bits::<1>::of(&[2, 3]);
        assert!(a.covers(&b) && !b.covers(&a) && a.meets(&b));
        assert_eq!(a.minus(&b), Bits::of(&[1]));
        assert_eq!(a.and(&b), b);
        assert_eq!(a.or(&b), a);
        for n in [0, 1, 63, 64, 65, 128] {
            assert_eq!(Bits::<2>::first(n), Bits::of(&(0..n).collect::<Vec<_>>()));
        }
        assert!(b.minus(&a).is_empty());
    }
}
