//! Kinds of fuse: the ratings sold, the highest DC voltage, the interrupting rating by voltage.

/// A kind of fuse, by the standard series of its ratings.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum FuseKind {
    /// Blade (types C and F of ISO 8820-3).
    Blade,
    /// Large blade (type E of ISO 8820-3).
    LargeBlade,
    /// Bolted strip (ISO 8820-5).
    Strip,
    /// Bolted strip of the ANL form.
    LongStrip,
    /// On a battery terminal.
    Terminal,
    /// Fast, of high interrupting rating (class T, UL 248-15).
    ClassT,
    /// Cylinder of 10 × 38 mm in a touch-safe holder (gPV, IEC 60269-6).
    Cylinder,
}

/// Interrupting ratings of one kind: up to a voltage [V], so much [A]. The last voltage is the kind's highest.
type Breaks = &'static [(f64, f64)];

impl FuseKind {
    /// Every kind.
    pub const ALL: [Self; 7] = [
        Self::Blade,
        Self::LargeBlade,
        Self::Strip,
        Self::LongStrip,
        Self::Terminal,
        Self::ClassT,
        Self::Cylinder,
    ];

    /// Ratings as sold [A]. ISO 8820, UL 248-15, IEC 60269-6 and makers' series, all from memory.
    pub fn ratings(self) -> &'static [f64] {
        match self {
            Self::Blade => &[
                1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0,
            ],
            Self::LargeBlade => &[20.0, 30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0],
            Self::Strip => &[
                30.0, 40.0, 50.0, 60.0, 70.0, 80.0, 100.0, 125.0, 150.0, 175.0, 200.0, 225.0,
                250.0, 300.0, 350.0, 400.0, 450.0, 500.0,
            ],
            Self::LongStrip => &[
                35.0, 40.0, 50.0, 60.0, 80.0, 100.0, 130.0, 150.0, 175.0, 200.0, 225.0, 250.0,
                275.0, 300.0, 325.0, 350.0, 400.0, 450.0, 500.0, 600.0, 675.0, 750.0,
            ],
            Self::Terminal => &[
                30.0, 40.0, 50.0, 60.0, 75.0, 80.0, 90.0, 100.0, 125.0, 150.0, 175.0, 200.0, 225.0,
                250.0, 300.0,
            ],
            Self::ClassT => &[
                1.0, 2.0, 3.0, 6.0, 10.0, 15.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 60.0,
                70.0, 80.0, 90.0, 100.0, 110.0, 125.0, 150.0, 175.0, 200.0, 225.0, 250.0, 300.0,
                350.0, 400.0, 450.0, 500.0, 600.0, 700.0, 800.0,
            ],
            Self::Cylinder => &[
                1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0, 20.0, 25.0, 30.0,
            ],
        }
    }

    /// Interrupting ratings on direct current, all from memory: blades 1 kA at 32 V (ISO 8820-3), bolted strips 2 kA at 32 V
    /// (ISO 8820-5), ANL strips 6 kA at 32 V, terminal fuses 10 kA in 12 V systems, 5 kA in 24 V and 2 kA in 48 V, class T
    /// 20 kA at 125 V, gPV cylinders 10 kA at 1000 V (the least that IEC 60269-6 allows).
    fn breaks(self) -> Breaks {
        match self {
            Self::Blade | Self::LargeBlade => &[(32.0, 1000.0)],
            Self::Strip => &[(32.0, 2000.0)],
            Self::LongStrip => &[(32.0, 6000.0)],
            Self::Terminal => &[(14.0, 10_000.0), (32.0, 5000.0), (58.0, 2000.0)],
            Self::ClassT => &[(125.0, 20_000.0)],
            Self::Cylinder => &[(1000.0, 10_000.0)],
        }
    }

    /// Highest DC voltage [V].
    pub fn most_v(self) -> f64 {
        self.breaks().last().map_or(0.0, |(volts, _)| *volts)
    }

    /// Interrupting rating at a voltage, the full bank's at rest [A]; 0 above the kind's highest.
    pub fn breaks_a(self, volts: f64) -> f64 {
        let mut steps = self.breaks().iter();
        steps
            .find(|(up_to_v, _)| volts <= *up_to_v)
            .map_or(0.0, |(_, amperes)| *amperes)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_higher_voltage_never_raises_the_interrupting_rating() {
        for kind in FuseKind::ALL {
            let rated = |volts| kind.breaks_a(volts);
            assert!(rated(12.7) >= rated(25.5) && rated(25.5) >= rated(51.0));
            assert!(rated(kind.most_v()) > 0.0 && rated(kind.most_v() + 0.1) == 0.0);
            let ratings = kind.ratings();
            assert!(ratings.windows(2).all(|pair| pair[0] < pair[1]), "{kind:?}");
        }
    }

    #[test]
    fn a_terminal_fuse_by_system() {
        let rated = |volts| FuseKind::Terminal.breaks_a(volts);
        assert_eq!(
            [rated(13.5), rated(27.0), rated(54.0), rated(58.4)],
            [10_000.0, 5000.0, 2000.0, 0.0]
        );
    }
}
