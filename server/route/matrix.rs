//! Small dense matrices: a handful of rows, for the solver.

use std::ops::{Index, IndexMut};

/// A matrix of numbers, row by row.
#[derive(Clone, Debug)]
pub(super) struct Matrix {
    columns: usize,
    entries: Vec<f64>,
}

impl Matrix {
    /// Of so many rows and columns, each entry by its place.
    pub fn new(rows: usize, columns: usize, entry: impl Fn(usize, usize) -> f64) -> Self {
        let places = (0..rows).flat_map(|row| (0..columns).map(move |column| (row, column)));
        Self {
            columns,
            entries: places.map(|(row, column)| entry(row, column)).collect(),
        }
    }

    pub fn rows(&self) -> usize {
        self.entries.len().checked_div(self.columns).unwrap_or(0)
    }

    pub fn columns(&self) -> usize {
        self.columns
    }

    pub fn row(&self, row: usize) -> &[f64] {
        &self.entries[row * self.columns..(row + 1) * self.columns]
    }

    pub fn transposed(&self) -> Self {
        Self::new(self.columns, self.rows(), |row, column| self[(column, row)])
    }

    pub fn times(&self, other: &Self) -> Self {
        Self::new(self.rows(), other.columns, |row, column| {
            let inner = self.row(row).iter().enumerate();
            inner.map(|(k, entry)| entry * other[(k, column)]).sum()
        })
    }

    pub fn applied(&self, vector: &[f64]) -> Vec<f64> {
        let dot = |row: usize| self.row(row).iter().zip(vector).map(|(a, b)| a * b).sum();
        (0..self.rows()).map(dot).collect()
    }

    /// X of A X = B by elimination with row pivots, each row scaled by its largest entry; none
    /// where the rows do not tell the unknowns apart.
    pub fn solve(&self, right: &Self) -> Option<Self> {
        let (mut left, mut right) = (self.clone(), right.clone());
        let size = left.columns;
        for row in 0..size {
            let largest = left
                .row(row)
                .iter()
                .fold(0.0, |most, one| one.abs().max(most));
            if !(largest > 0.0 && largest.is_finite()) {
                return None;
            }
            left.scale(row, 1.0 / largest);
            right.scale(row, 1.0 / largest);
        }
        for column in 0..size {
            let pivot = (column..size).max_by(|&one, &other| {
                left[(one, column)]
                    .abs()
                    .total_cmp(&left[(other, column)].abs())
            })?;
            if left[(pivot, column)].abs() < SINGULAR {
                return None;
            }
            left.swap(pivot, column);
            right.swap(pivot, column);
            for row in (0..size).filter(|&row| row != column) {
                let factor = left[(row, column)] / left[(column, column)];
                left.subtract(row, factor, column);
                right.subtract(row, factor, column);
            }
        }
        for row in 0..size {
            right.scale(row, 1.0 / left[(row, row)]);
        }
        Some(right)
    }

    fn scale(&mut self, row: usize, factor: f64) {
        let columns = self.columns;
        for entry in &mut self.entries[row * columns..(row + 1) * columns] {
            *entry *= factor;
        }
    }

    fn swap(&mut self, one: usize, other: usize) {
        for column in 0..self.columns {
            self.entries
                .swap(one * self.columns + column, other * self.columns + column);
        }
    }

    fn subtract(&mut self, row: usize, factor: f64, other: usize) {
        if factor != 0.0 {
            for column in 0..self.columns {
                let taken = factor * self[(other, column)];
                self[(row, column)] -= taken;
            }
        }
    }
}

/// A pivot this small beside its row's largest entry is noise.
const SINGULAR: f64 = 1e-13;

impl Index<(usize, usize)> for Matrix {
    type Output = f64;

    fn index(&self, (row, column): (usize, usize)) -> &f64 {
        &self.entries[row * self.columns + column]
    }
}

impl IndexMut<(usize, usize)> for Matrix {
    fn index_mut(&mut self, (row, column): (usize, usize)) -> &mut f64 {
        &mut self.entries[row * self.columns + column]
    }
}
