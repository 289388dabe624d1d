//! Who gets what: sources feed the loads first, then the bank up to what it takes; the rest is spilled.

use serde::{Serialize, Serializer};

/// What became of one moment's power (W), from `N` sources.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Shared<const N: usize> {
    /// What was used of each source, in the sources' order.
    #[serde(serialize_with = "as_list")]
    pub by_source_used: [f64; N],
    /// What went into the bank.
    pub into_bank: f64,
    /// What the bank must give because the sources do not reach.
    pub from_bank: f64,
    /// What no one took.
    pub spilled: f64,
}

fn as_list<S: Serializer, const N: usize>(list: &[f64; N], to: S) -> Result<S::Ok, S::Error> {
    to.collect_seq(list)
}

/// Shares out the power of several sources (W) between loads that draw `load_w` and a bank that takes up to `accept_w`.
///
/// Sources are called on in their order, so the last is the first to be left idle: put the free and perishable (the
/// sun) first. Negative figures count as 0. Then used + spilled = the sources' sum, used − into the bank + from the
/// bank = the load, and the bank never both gives and takes.
pub fn share<const N: usize>(load_w: f64, sources_w: &[f64; N], accept_w: f64) -> Shared<N> {
    let load_w = load_w.max(0.0);
    let given_w: f64 = sources_w.iter().map(|source| source.max(0.0)).sum();
    let into_bank = (given_w - load_w).clamp(0.0, accept_w.max(0.0));
    let mut wanted_w = load_w + into_bank;
    let by_source_used = sources_w.map(|source| {
        let used = source.max(0.0).min(wanted_w);
        wanted_w = (wanted_w - used).max(0.0);
        used
    });
    Shared {
        by_source_used,
        into_bank,
        from_bank: (load_w - given_w).max(0.0),
        spilled: (given_w - load_w - into_bank).max(0.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn loads_first_then_the_bank_then_spilled() {
        let shared = share(100.0, &[80.0, 60.0, 50.0], 70.0);
        assert_eq!(shared.by_source_used, [80.0, 60.0, 30.0]);
        assert_eq!(
            (shared.into_bank, shared.from_bank, shared.spilled),
            (70.0, 0.0, 20.0)
        );
        let short = share(100.0, &[30.0, 20.0], 70.0);
        assert_eq!(short.by_source_used, [30.0, 20.0]);
        assert_eq!(
            (short.into_bank, short.from_bank, short.spilled),
            (0.0, 50.0, 0.0)
        );
        let json = serde_json::to_value(short).unwrap();
        assert_eq!(json["by_source_used"], serde_json::json!([30.0, 20.0]));
    }

    proptest! {
        #[test]
        fn every_account_closes(
            load in -10.0..5000.0_f64,
            sources in prop::array::uniform3(-10.0..5000.0_f64),
            accept in -10.0..5000.0_f64,
        ) {
            let shared = share(load, &sources, accept);
            let given: f64 = sources.iter().map(|s| s.max(0.0)).sum();
            let used: f64 = shared.by_source_used.iter().sum();
            let close = 1e-12 * (1.0 + given + load.abs());
            prop_assert!((used + shared.spilled - given).abs() <= close);
            prop_assert!((used - shared.into_bank + shared.from_bank - load.max(0.0)).abs() <= close);
            prop_assert!(shared.into_bank == 0.0 || shared.from_bank == 0.0);
            prop_assert!(shared.into_bank >= 0.0 && shared.into_bank <= accept.max(0.0));
            for (used, source) in shared.by_source_used.iter().zip(sources) {
                prop_assert!(*used >= 0.0 && *used <= source.max(0.0));
            }
        }
    }
}
