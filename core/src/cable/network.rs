//! Strings of batteries side by side: a circuit of resistances and voltages, solved for what each string gives.

/// One branch of a circuit, from a node to a node.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Branch {
    /// Node that it leaves.
    pub from: usize,
    /// Node that it comes to.
    pub to: usize,
    /// Its resistance [Ω], above 0.
    pub ohm: f64,
    /// Voltage that it adds on its way [V].
    pub rise_v: f64,
}

/// Solves a set of linear equations by elimination with the largest pivot; none where it has no one answer. Each row holds
/// its coefficients and then its right side.
fn eliminate(mut rows: Vec<Vec<f64>>) -> Option<Vec<f64>> {
    let count = rows.len();
    let cell = |row: &[f64], at: usize| row.get(at).copied().unwrap_or(0.0);
    for column in 0..count {
        let size = |row: &Vec<f64>| cell(row, column).abs();
        let best = (column..count).max_by(|a, b| {
            let (a, b) = (
                rows.get(*a).map_or(0.0, size),
                rows.get(*b).map_or(0.0, size),
            );
            a.total_cmp(&b)
        })?;
        rows.swap(column, best);
        let pivot = rows.get(column)?.clone();
        let lead = cell(&pivot, column);
        if lead == 0.0 || !lead.is_finite() {
            return None;
        }
        for row in rows.iter_mut().skip(column + 1) {
            let factor = cell(row, column) / lead;
            for (own, other) in row.iter_mut().zip(&pivot) {
                *own -= factor * other;
            }
        }
    }
    let mut answer = vec![0.0; count];
    for (at, row) in rows.iter().enumerate().rev() {
        let known: f64 = row
            .iter()
            .zip(&answer)
            .skip(at + 1)
            .map(|(a, x)| a * x)
            .sum();
        *answer.get_mut(at)? = (cell(row, count) - known) / cell(row, at);
    }
    Some(answer)
}

/// Current through every branch of a circuit [A], when a current is drawn out of one node and put back into another; none
/// where the circuit hangs apart or a resistance is not above 0. Kirchhoff's laws by node voltages, node 0 at 0 V.
pub fn branch_currents(
    nodes: usize,
    branches: &[Branch],
    out_of: usize,
    into: usize,
    drawn_a: f64,
) -> Option<Vec<f64>> {
    let free = nodes.checked_sub(1)?;
    let mut rows = vec![vec![0.0; free + 1]; free];
    let mut add = |row: usize, column: usize, value: f64| {
        let row = row.checked_sub(1).and_then(|row| rows.get_mut(row));
        if let Some(cell) = row.and_then(|row| row.get_mut(column)) {
            *cell += value;
        }
    };
    for branch in branches {
        if branch.ohm <= 0.0 || branch.from >= nodes || branch.to >= nodes {
            return None;
        }
        let siemens = 1.0 / branch.ohm;
        for (own, other, sign) in [
            (branch.from, branch.to, -1.0),
            (branch.to, branch.from, 1.0),
        ] {
            add(own, own.wrapping_sub(1), siemens);
            if other > 0 {
                add(own, other - 1, -siemens);
            }
            add(own, free, sign * siemens * branch.rise_v);
        }
    }
    add(out_of, free, -drawn_a);
    add(into, free, drawn_a);
    let volts = eliminate(rows)?;
    let at = |node: usize| {
        node.checked_sub(1)
            .map_or(0.0, |at| volts.get(at).copied().unwrap_or(0.0))
    };
    let current = |branch: &Branch| (at(branch.from) - at(branch.to) + branch.rise_v) / branch.ohm;
    Some(branches.iter().map(current).collect())
}

/// Where the two cables of a bank take off.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum TakeOff {
    /// Both at the first string.
    OneEnd,
    /// One at the first, the other at the last.
    Diagonal,
    /// Both in the middle of the row.
    Middle,
    /// Each string by cables of its own, all of one length, to the bus bars.
    Star,
}

impl TakeOff {
    /// Every way.
    pub const ALL: [Self; 4] = [Self::OneEnd, Self::Diagonal, Self::Middle, Self::Star];

    /// The strings at which plus and minus take off, counted from 0.
    fn places(self, strings: usize) -> (usize, usize) {
        let last = strings.saturating_sub(1);
        match self {
            Self::OneEnd | Self::Star => (0, 0),
            Self::Diagonal => (0, last),
            Self::Middle => (last / 2, last / 2),
        }
    }
}

/// One string of a bank.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strand {
    /// Its voltage at rest [V].
    pub rest_v: f64,
    /// Its resistance within, with the lugs on its own posts [Ω].
    pub ohm: f64,
}

/// Strings side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Paralleled {
    /// The strings, in the order in which they stand.
    pub strands: Vec<Strand>,
    /// One link between neighbours, with its joints [Ω]; for [`TakeOff::Star`] one string's own cables, there and back.
    pub link_ohm: f64,
    /// Where the bank's cables take off.
    pub take_off: TakeOff,
}

impl Paralleled {
    /// Current that each string gives [A] when the bank gives so much, below 0 when it takes; in their order. None without
    /// strings.
    pub fn currents(&self, bank_a: f64) -> Option<Vec<f64>> {
        let (plus, minus) = self.take_off.places(self.strands.len());
        self.currents_at(bank_a, plus, minus)
    }

    /// The same with take-offs of one's own: plus and minus at strings counted from 0.
    pub fn currents_at(&self, bank_a: f64, plus: usize, minus: usize) -> Option<Vec<f64>> {
        let count = self.strands.len();
        if plus.max(minus) >= count {
            return None;
        }
        if self.take_off == TakeOff::Star || count == 1 {
            let own = if count == 1 { 0.0 } else { self.link_ohm };
            let strands = self.strands.iter().map(|strand| Branch {
                from: 0,
                to: 1,
                ohm: strand.ohm + own,
                rise_v: strand.rest_v,
            });
            return branch_currents(2, &strands.collect::<Vec<_>>(), 1, 0, bank_a);
        }
        // Nodes 0, 2, 4 are the minus posts, 1, 3, 5 the plus posts.
        let strands = self.strands.iter().enumerate().map(|(at, strand)| Branch {
            from: 2 * at,
            to: 2 * at + 1,
            ohm: strand.ohm,
            rise_v: strand.rest_v,
        });
        let links = (0..2 * (count - 1)).map(|node| Branch {
            from: node,
            to: node + 2,
            ohm: self.link_ohm,
            rise_v: 0.0,
        });
        let branches: Vec<Branch> = strands.chain(links).collect();
        let mut all = branch_currents(2 * count, &branches, 2 * plus + 1, 2 * minus, bank_a)?;
        all.truncate(count);
        Some(all)
    }

    /// Share of the bank's current that each string gives, when all stand alike in charge; they add up to one.
    pub fn shares(&self) -> Option<Vec<f64>> {
        let level = Self {
            strands: self
                .strands
                .iter()
                .map(|strand| Strand {
                    rest_v: 0.0,
                    ..*strand
                })
                .collect(),
            ..self.clone()
        };
        level.currents(1.0)
    }
}

/// How much more than its fair part the string that gives most gives: 0 where all give alike.
pub fn imbalance(shares: &[f64]) -> f64 {
    let most = shares.iter().copied().fold(0.0, f64::max);
    most * shares.len() as f64 - 1.0
}

/// Current from a fuller string into an emptier one at the moment of joining [A]: the difference of their voltages at rest over
/// all that lies between. Ohm's law; it falls as they come level.
pub fn joining_a(full: Strand, low: Strand, link_ohm: f64) -> f64 {
    (full.rest_v - low.rest_v) / (full.ohm + low.ohm + 2.0 * link_ohm)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn ladder(count: usize, take_off: TakeOff) -> Paralleled {
        let strand = Strand {
            rest_v: 12.8,
            ohm: 0.005,
        };
        Paralleled {
            strands: vec![strand; count],
            link_ohm: 0.0004,
            take_off,
        }
    }

    fn close(found: &[f64], wanted: &[f64]) {
        assert_eq!(found.len(), wanted.len());
        for (found, wanted) in found.iter().zip(wanted) {
            assert!((found - wanted).abs() < 1e-9, "{found} {wanted}");
        }
    }

    #[test]
    fn ladders_in_closed_form() {
        // With x = link / inner resistance. Two strings from one end: the far one has two links more: shares
        // (1 + 2x)/(2 + 2x) and 1/(2 + 2x).
        let x = 0.0004 / 0.005;
        close(
            &ladder(2, TakeOff::OneEnd).shares().unwrap(),
            &[(1.0 + 2.0 * x) / (2.0 + 2.0 * x), 1.0 / (2.0 + 2.0 * x)],
        );
        close(&ladder(2, TakeOff::Diagonal).shares().unwrap(), &[0.5, 0.5]);
        // Three from one end, by the loops from the far end with y = 2x: 1 : 1 + y : 1 + 3y + y².
        let y = 2.0 * x;
        let (a, b, c) = (1.0, 1.0 + y, 1.0 + 3.0 * y + y * y);
        let sum = a + b + c;
        close(
            &ladder(3, TakeOff::OneEnd).shares().unwrap(),
            &[c / sum, b / sum, a / sum],
        );
        // Four from one end: the next is 1 + 6y + 5y² + y³.
        let d = 1.0 + 6.0 * y + 5.0 * y * y + y * y * y;
        let sum = a + b + c + d;
        close(
            &ladder(4, TakeOff::OneEnd).shares().unwrap(),
            &[d / sum, c / sum, b / sum, a / sum],
        );
        // Three across the corner: the outer two alike, the middle one 1/(1 + x) of them.
        let middle = 1.0 / (1.0 + x);
        let sum = 2.0 + middle;
        close(
            &ladder(3, TakeOff::Diagonal).shares().unwrap(),
            &[1.0 / sum, middle / sum, 1.0 / sum],
        );
        // Four across the corner: the outer two alike and the inner two; the loop of the first two strings, with 1 − i₁ in the
        // plus link and i₁ in the minus link: i₁ − i₂ = x·(1 − i₁) − x·i₁, and i₁ + i₂ = 1/2: i₁ = (1/2 + x)/(2 + 2x).
        let outer = (0.5 + x) / (2.0 + 2.0 * x);
        close(
            &ladder(4, TakeOff::Diagonal).shares().unwrap(),
            &[outer, 0.5 - outer, 0.5 - outer, outer],
        );
        for count in [2, 3, 4] {
            let fair = vec![1.0 / count as f64; count];
            close(&ladder(count, TakeOff::Star).shares().unwrap(), &fair);
        }
    }

    #[test]
    fn a_full_one_beside_a_low_one() {
        // 12.9 V beside 12.2 V, 5 mΩ each, two links of 0.4 mΩ: 0.7 / 0.0108 = 64.8 A with nothing drawn.
        let (full, low) = (
            Strand {
                rest_v: 12.9,
                ohm: 0.005,
            },
            Strand {
                rest_v: 12.2,
                ohm: 0.005,
            },
        );
        let by_hand = joining_a(full, low, 0.0004);
        assert!((by_hand - 0.7 / 0.0108).abs() < 1e-9);
        let pair = Paralleled {
            strands: vec![full, low],
            ..ladder(2, TakeOff::OneEnd)
        };
        close(&pair.currents(0.0).unwrap(), &[by_hand, -by_hand]);
        assert_eq!(pair.currents_at(0.0, 0, 2), None);
        assert_eq!(branch_currents(3, &[], 1, 0, 1.0), None);
    }

    proptest! {
        #[test]
        fn shares_sum_to_one_and_each_gives_its_part(
            ohms in proptest::collection::vec(1e-4f64..0.1, 1..9), link in 1e-6f64..0.01, way in 0usize..4, drawn in -500.0f64..500.0,
        ) {
            let bank = Paralleled {
                strands: ohms.iter().map(|ohm| Strand { rest_v: 12.0, ohm: *ohm }).collect(),
                link_ohm: link,
                take_off: TakeOff::ALL[way],
            };
            let shares = bank.shares().unwrap();
            prop_assert!((shares.iter().sum::<f64>() - 1.0).abs() < 1e-9);
            prop_assert!(shares.iter().all(|share| *share > 0.0));
            prop_assert!(imbalance(&shares) >= -1e-9);
            // Level strings share what is drawn as they share one ampere.
            for (current, share) in bank.currents(drawn).unwrap().iter().zip(&shares) {
                prop_assert!((current - share * drawn).abs() < 1e-6);
            }
        }
    }
}
