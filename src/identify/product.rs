//! Products of likelihoods, material by material: where weighing spends its time. Four numbers are reckoned with at
//! once, for the compiler finds no such lanes by itself at the level that keeps the program small.

use wide::f64x4;

use super::gain::LANES;

/// One value a material, fresh and aged.
pub(super) type ByAge = [Vec<f64>; 2];

/// `times` of something and `plus` so much.
#[derive(Clone, Copy)]
pub(super) struct Line {
    pub(super) times: f64,
    pub(super) plus: f64,
}

/// As it is.
pub(super) const UNCHANGED: Line = Line {
    times: 1.0,
    plus: 0.0,
};

/// Quads of materials that are reckoned side by side.
const BLOCK: usize = 4;

/// Adds to one value a material the product of factors at an age, so many times.
pub(super) fn add_product(sums: &mut [f64], age: usize, times: f64, factors: &[(&ByAge, Line)]) {
    let (quads, rest) = sums.as_chunks_mut();
    let single = quads.len() * LANES;
    let from = add_quads::<BLOCK>(quads, 0, age, times, factors);
    add_quads::<1>(quads, from, age, times, factors);
    for (m, sum) in (single..).zip(rest) {
        let at = |(columns, line): &(&ByAge, Line)| line.times * columns[age][m] + line.plus;
        *sum += factors
            .iter()
            .map(at)
            .fold(times, |product, own| product * own);
    }
}

/// The same for whole quads from one on, so many at a time; where the last of them ends.
fn add_quads<const SIZE: usize>(
    sums: &mut [[f64; LANES]],
    from: usize,
    age: usize,
    times: f64,
    factors: &[(&ByAge, Line)],
) -> usize {
    let (blocks, _) = sums[from..].as_chunks_mut::<SIZE>();
    for (k, sums) in blocks.iter_mut().enumerate() {
        let mut product = [f64x4::splat(times); SIZE];
        for (columns, line) in factors {
            let [times, plus] = [line.times, line.plus].map(f64x4::splat);
            for (p, own) in product
                .iter_mut()
                .zip(block::<SIZE>(&columns[age], from, k))
            {
                *p *= f64x4::new(*own) * times + plus;
            }
        }
        for (sum, p) in sums.iter_mut().zip(product) {
            *sum = (f64x4::new(*sum) + p).to_array();
        }
    }
    from + blocks.len() * SIZE
}

/// One value a material times the product of factors at an age, added up.
pub(super) fn sum_of_products(first: &[f64], age: usize, factors: &[&ByAge]) -> f64 {
    let (quads, rest) = first.as_chunks();
    let single = quads.len() * LANES;
    let mut sums = [f64x4::ZERO; BLOCK];
    let from = sum_quads(quads, 0, age, factors, &mut sums);
    let mut last = [f64x4::ZERO; 1];
    sum_quads(quads, from, age, factors, &mut last);
    let at = |m: usize| factors.iter().map(move |columns| columns[age][m]);
    let rest = (single..).zip(rest);
    let rest = rest.map(|(m, own)| at(m).fold(*own, |product, own| product * own));
    let sums = sums.into_iter().chain(last);
    sums.sum::<f64x4>().reduce_add() + rest.sum::<f64>()
}

/// The same for whole quads from one on, so many at a time, added up side by side; where the last of them ends.
fn sum_quads<const SIZE: usize>(
    first: &[[f64; LANES]],
    from: usize,
    age: usize,
    factors: &[&ByAge],
    sums: &mut [f64x4; SIZE],
) -> usize {
    let (blocks, _) = first[from..].as_chunks::<SIZE>();
    for (k, first) in blocks.iter().enumerate() {
        let mut product = first.map(f64x4::new);
        for columns in factors {
            let own = block::<SIZE>(&columns[age], from, k);
            for (p, own) in product.iter_mut().zip(own) {
                *p *= f64x4::new(*own);
            }
        }
        for (sum, p) in sums.iter_mut().zip(product) {
            *sum += p;
        }
    }
    from + blocks.len() * SIZE
}

/// Quads of a column that has them, counted in blocks from one on.
fn block<const SIZE: usize>(column: &[f64], from: usize, k: usize) -> &[[f64; LANES]; SIZE] {
    &column.as_chunks().0[from..].as_chunks().0[k]
}

#[cfg(test)]
mod tests {
    use super::{ByAge, Line, add_product, sum_of_products};

    /// Whatever is left over beside whole blocks, it comes to what one by one gives.
    #[test]
    fn lanes_reckon_as_one_by_one() {
        let mut seed = 20_261_130_u64;
        let mut random = || {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            (seed >> 33) as f64 / (1_u64 << 31) as f64
        };
        for count in 0..70 {
            let mut column = || (0..count).map(|_| random()).collect::<Vec<f64>>();
            let columns: Vec<ByAge> = (0..count % 4).map(|_| [column(), column()]).collect();
            let (first, before) = (column(), column());
            let lines = (0..columns.len()).map(|k| Line {
                times: 1.0 - 0.1 * k as f64,
                plus: 0.3 * k as f64,
            });
            let factors: Vec<(&ByAge, Line)> = columns.iter().zip(lines).collect();
            let bare: Vec<&ByAge> = columns.iter().collect();
            for age in 0..2 {
                let mut sums = before.clone();
                add_product(&mut sums, age, 0.7, &factors);
                let mut total = 0.0;
                for m in 0..count {
                    let (mut product, mut plain) = (0.7, first[m]);
                    for (columns, line) in &factors {
                        product *= line.times * columns[age][m] + line.plus;
                        plain *= columns[age][m];
                    }
                    assert!((sums[m] - before[m] - product).abs() < 1e-12, "{count} {m}");
                    total += plain;
                }
                let sum = sum_of_products(&first, age, &bare);
                assert!((sum - total).abs() < 1e-12 * (1.0 + total), "{count}");
            }
        }
    }
}
