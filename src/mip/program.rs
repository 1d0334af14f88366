//! A mixed-integer program with whole coefficients: columns, rows, what is to be made least. Knows nothing of classes and nothing of how it
//! is solved.

use std::iter::Sum;
use std::ops::{Add, Mul, Sub};

/// A column, by number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Var(pub(super) usize);

/// What a column counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unit {
    /// Whole numbers alone.
    Whole,
    /// Any number; whole in the end, because what it hangs on is.
    Share,
    /// Any number of hundredths of a second; the solver may count it in a unit of its own.
    Time,
}

/// A column: its unit and its range, both ends included.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    pub(super) unit: Unit,
    pub(super) least: i64,
    pub(super) most: i64,
}

/// A sum of columns with whole coefficients, and a constant. A column may come up several times: its coefficients add up.
#[derive(Debug, Clone, Default)]
pub(super) struct Linear {
    pub(super) terms: Vec<(Var, i64)>,
    pub(super) constant: i64,
}

impl From<Var> for Linear {
    fn from(var: Var) -> Self {
        Self {
            terms: vec![(var, 1)],
            constant: 0,
        }
    }
}

impl From<i64> for Linear {
    fn from(constant: i64) -> Self {
        Self {
            terms: Vec::new(),
            constant,
        }
    }
}

impl<T: Into<Linear>> Add<T> for Linear {
    type Output = Self;

    fn add(mut self, other: T) -> Self {
        let other = other.into();
        self.terms.extend(other.terms);
        self.constant += other.constant;
        self
    }
}

impl<T: Into<Linear>> Sub<T> for Linear {
    type Output = Self;

    fn sub(self, other: T) -> Self {
        self + other.into() * -1
    }
}

impl Mul<i64> for Linear {
    type Output = Self;

    fn mul(mut self, factor: i64) -> Self {
        for (_, coefficient) in &mut self.terms {
            *coefficient *= factor;
        }
        self.constant *= factor;
        self
    }
}

impl Mul<i64> for Var {
    type Output = Linear;

    fn mul(self, factor: i64) -> Linear {
        Linear::from(self) * factor
    }
}

impl<T: Into<Linear>> Sum<T> for Linear {
    fn sum<I: Iterator<Item = T>>(iter: I) -> Self {
        iter.fold(Self::default(), |sum, term| sum + term)
    }
}

/// How a row compares its sum with 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Sense {
    /// The sum is at most 0.
    AtMost,
    /// The sum is 0.
    Equal,
}

/// A row: a sum that is at most 0, or 0.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub(super) sum: Linear,
    pub(super) sense: Sense,
}

/// A mixed-integer program.
#[derive(Debug, Default)]
pub(super) struct Program {
    pub(super) columns: Vec<Column>,
    pub(super) rows: Vec<Row>,
    /// To be made least.
    pub(super) cost: Linear,
}

impl Program {
    fn column(&mut self, unit: Unit, least: i64, most: i64) -> Var {
        self.columns.push(Column { unit, least, most });
        Var(self.columns.len() - 1)
    }

    /// A column that is 0 or 1.
    pub(super) fn binary(&mut self) -> Var {
        self.column(Unit::Whole, 0, 1)
    }

    /// A column of whole numbers from 0.
    pub(super) fn whole(&mut self, most: i64) -> Var {
        self.column(Unit::Whole, 0, most)
    }

    /// A column from 0 that need not be asked to be whole.
    pub(super) fn share(&mut self, most: i64) -> Var {
        self.column(Unit::Share, 0, most)
    }

    /// A column of time from 0, hundredths.
    pub(super) fn time(&mut self, most: i64) -> Var {
        self.column(Unit::Time, 0, most)
    }

    /// Asks that `left` is at most `right`.
    pub(super) fn at_most(&mut self, left: impl Into<Linear>, right: impl Into<Linear>) {
        self.row(left.into() - right, Sense::AtMost);
    }

    /// Asks that `left` is `right`.
    pub(super) fn equal(&mut self, left: impl Into<Linear>, right: impl Into<Linear>) {
        self.row(left.into() - right, Sense::Equal);
    }

    fn row(&mut self, sum: Linear, sense: Sense) {
        self.rows.push(Row { sum, sense });
    }

    /// Adds to what is to be made least.
    pub(super) fn costs(&mut self, more: impl Into<Linear>) {
        self.cost = std::mem::take(&mut self.cost) + more;
    }
}
