//! The inverter: what it loses, from the few figures on its label.

/// When the inverter's own draw runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Idle {
    /// Only while something runs on it.
    WithLoads,
    /// Day and night, except on a hooked-up day.
    AllDay,
}

/// The inverter's label.
#[derive(Clone, Debug, PartialEq)]
pub struct Inverter {
    /// Continuous rating [W], above 0.
    pub rated_w: f64,
    /// Short-time rating [W].
    pub surge_w: f64,
    /// Own draw with nothing on it [W], 0 or more.
    pub idle_w: f64,
    /// Best efficiency, above 0, at most 1.
    pub eff_peak: f64,
    /// Efficiency at rated power, where the label gives it.
    pub eff_rated: Option<f64>,
    /// When its own draw runs.
    pub idle: Idle,
}

/// How far a share may miss before a label's figures count as disagreeing: rounding, nothing more.
const ROUNDING: f64 = 1e-9;

/// Efficiency of an inverter at the output `p`, a share of its rated power above 0: p / (p + p0 + a·p + b·p²).
///
/// `p0` is its own draw, `a·p` what it loses in proportion (semiconductor drops), `b·p²` its ohmic losses, all as
/// shares of rated power. Source: H. Schmidt and D. U. Sauer, "Wechselrichter-Wirkungsgrade: Praxisgerechte
/// Modellierung und Abschätzung", Sonnenenergie 4 (1996).
pub fn efficiency(p: f64, p0: f64, a: f64, b: f64) -> f64 {
    p / (p + p0 + a * p + b * p * p)
}

/// An inverter's losses in shares of its rated power, after Schmidt and Sauer (1996); see [`efficiency`].
#[derive(Clone, Debug, PartialEq, serde::Serialize)]
pub struct LossCurve {
    /// Continuous rating [W].
    pub rated_w: f64,
    /// Own draw over rated power.
    pub p0: f64,
    /// Loss in proportion to the output.
    pub a: f64,
    /// Loss with the square of the output.
    pub b: f64,
}

impl LossCurve {
    /// The curve through a label's figures, and whether these disagree among themselves.
    ///
    /// Derived from [`efficiency`]: 1/η = 1 + a + p0/p + b·p is least at p = √(p0/b), where it is 1 + a + 2√(p0·b).
    /// They disagree where no curve with a ≥ 0 and its best point at or below rated power meets them all.
    pub fn fit(inverter: &Inverter) -> (Self, bool) {
        let p0 = inverter.idle_w / inverter.rated_w;
        let loss_peak = loss_share(inverter.eff_peak);
        let (a, b, disagree) = match inverter.eff_rated {
            Some(eff_rated) => fit_two(p0, loss_peak, loss_share(eff_rated)),
            None => fit_peak(p0, loss_peak),
        };
        let rated_w = inverter.rated_w;
        (Self { rated_w, p0, a, b }, disagree)
    }

    /// Own draw with nothing on it [W].
    pub fn idle_w(&self) -> f64 {
        self.p0 * self.rated_w
    }

    /// What it loses on top of its own draw at the output `ac_w` [W], in W.
    pub fn running_loss_w(&self, ac_w: f64) -> f64 {
        self.a * ac_w + self.b * ac_w * ac_w / self.rated_w
    }

    /// What it takes from the bank at the output `ac_w` [W, 0 or more], in W; its own draw included.
    /// Above rated power the curve is carried on.
    pub fn dc_w(&self, ac_w: f64) -> f64 {
        ac_w + self.idle_w() + self.running_loss_w(ac_w)
    }

    /// Efficiency at the output `p`, a share of rated power above 0.
    pub fn efficiency(&self, p: f64) -> f64 {
        efficiency(p, self.p0, self.a, self.b)
    }
}

/// Loss over output at an efficiency: 1/η − 1.
fn loss_share(efficiency: f64) -> f64 {
    (1.0 / efficiency - 1.0).max(0.0)
}

/// `a`, `b` and whether the label disagrees, from the losses at the best point and at rated power.
///
/// b = (√p0 + √(1/η_r − 1/η_pk))², a = 1/η_pk − 1 − 2√(p0·b). Where that makes a negative, a is 0 and b is what
/// meets the efficiency at rated power: b = 1/η_r − 1 − p0, not below 0. An efficiency at rated power above the
/// best one is taken as the best one.
fn fit_two(p0: f64, loss_peak: f64, loss_rated: f64) -> (f64, f64, bool) {
    let rise = loss_rated - loss_peak;
    let root_b = p0.sqrt() + rise.max(0.0).sqrt();
    let a = loss_peak - 2.0 * p0.sqrt() * root_b;
    let disagree = rise < -ROUNDING || a < -ROUNDING;
    if a < 0.0 {
        return (0.0, (loss_rated.max(loss_peak) - p0).max(0.0), disagree);
    }
    (a, root_b * root_b, disagree)
}

/// `a`, `b` and whether the label disagrees, from the loss at the best point alone: a = 0 (assumed),
/// b = (1/η_pk − 1)²/(4·p0), the best point then being at p = 2·p0/(1/η_pk − 1). With no draw of its own the best
/// point is where the output vanishes, and the efficiency is the same throughout.
fn fit_peak(p0: f64, loss_peak: f64) -> (f64, f64, bool) {
    if p0 <= 0.0 {
        return (loss_peak, 0.0, false);
    }
    let b = loss_peak * loss_peak / (4.0 * p0);
    (0.0, b, 2.0 * p0 > loss_peak + ROUNDING)
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;
    use proptest::prelude::*;

    pub(crate) fn inverter(idle_w: f64, eff_peak: f64, eff_rated: Option<f64>) -> Inverter {
        Inverter {
            rated_w: 1000.0,
            surge_w: 2000.0,
            idle_w,
            eff_peak,
            eff_rated,
            idle: Idle::WithLoads,
        }
    }

    fn assert_near(computed: f64, expected: f64, within: f64) {
        assert!(
            (computed - expected).abs() <= within,
            "{computed} against {expected}"
        );
    }

    /// Five points of the loss formula with p0 = 0.01, a = 0.02, b = 0.05.
    #[test]
    fn points_of_the_loss_formula() {
        for (p, expected) in [
            (0.05, 0.817996),
            (0.1, 0.888889),
            (0.25, 0.932401),
            (0.5, 0.938967),
            (1.0, 0.925926),
        ] {
            assert_near(efficiency(p, 0.01, 0.02, 0.05), expected, 1e-6);
        }
    }

    /// By hand: p0 = 0.01, η_pk = 1/1.1, η_r = 1/1.14, so √b = 0.1 + 0.2, b = 0.09, a = 0.1 − 2·0.1·0.3 = 0.04.
    #[test]
    fn two_figures_give_a_and_b() {
        let (curve, disagree) = LossCurve::fit(&inverter(10.0, 1.0 / 1.1, Some(1.0 / 1.14)));
        assert!(!disagree);
        assert_near(curve.b, 0.09, 1e-12);
        assert_near(curve.a, 0.04, 1e-12);
        // 500 W: 500 + 10 + 20 + 22.5.
        assert_near(curve.dc_w(500.0), 552.5, 1e-9);
        assert_near(curve.dc_w(0.0), 10.0, 1e-12);
    }

    /// By hand: p0 = 0.02, η_pk = 0.94, η_r = 0.86 give a = 0.0638 − 2·√0.02·(√0.02 + √0.0990) = −0.065: refitted,
    /// b = 1/0.86 − 1 − 0.02.
    #[test]
    fn a_label_that_makes_a_negative_is_refitted_to_rated_power() {
        let (curve, disagree) = LossCurve::fit(&inverter(20.0, 0.94, Some(0.86)));
        assert!(disagree);
        assert_eq!(curve.a, 0.0);
        assert_near(curve.b, 1.0 / 0.86 - 1.02, 1e-12);
        assert_near(curve.efficiency(1.0), 0.86, 1e-12);
    }

    #[test]
    fn an_own_draw_above_all_the_losses_leaves_none_for_the_rest() {
        let (curve, disagree) = LossCurve::fit(&inverter(200.0, 0.95, Some(0.9)));
        assert!(disagree);
        assert_eq!((curve.a, curve.b), (0.0, 0.0));
    }

    #[test]
    fn better_at_rated_power_than_at_best_is_a_disagreement() {
        // With little own draw, and with so much that the refit is needed as well.
        for idle_w in [5.0, 80.0] {
            let (curve, disagree) = LossCurve::fit(&inverter(idle_w, 0.90, Some(0.93)));
            assert!(disagree);
            assert_near(curve.efficiency(1.0), 0.90, 1e-12);
        }
    }

    /// By hand: p0 = 0.01, η_pk = 1/1.1: b = 0.01/0.04 = 0.25, best at p = 0.2 with 1/η = 1 + 0.05 + 0.05.
    #[test]
    fn a_peak_alone_sets_b() {
        let (curve, disagree) = LossCurve::fit(&inverter(10.0, 1.0 / 1.1, None));
        assert!(!disagree);
        assert_eq!(curve.a, 0.0);
        assert_near(curve.b, 0.25, 1e-12);
        assert_near(curve.efficiency(0.2), 1.0 / 1.1, 1e-12);
    }

    #[test]
    fn a_peak_that_lies_above_rated_power_is_a_disagreement() {
        assert!(LossCurve::fit(&inverter(80.0, 0.9, None)).1);
        assert!(!LossCurve::fit(&inverter(50.0, 0.9, None)).1);
    }

    #[test]
    fn without_own_draw_the_efficiency_is_constant() {
        let (curve, disagree) = LossCurve::fit(&inverter(0.0, 0.9, None));
        assert!(!disagree);
        assert_near(curve.efficiency(0.01), 0.9, 1e-12);
        assert_near(curve.efficiency(1.0), 0.9, 1e-12);
    }

    proptest! {
        #[test]
        fn a_label_read_off_a_curve_gives_the_curve_back(p0 in 0.001..0.03f64, a in 0.0..0.05f64, ratio in 1.0..20.0f64) {
            // The best point lies at or below rated power where b ≥ p0.
            let b = p0 * ratio;
            let peak = efficiency((p0 / b).sqrt(), p0, a, b);
            let rated = efficiency(1.0, p0, a, b);
            let (curve, disagree) = LossCurve::fit(&inverter(1000.0 * p0, peak, Some(rated)));
            prop_assert!(!disagree);
            // A square root of a difference: half the digits go where peak and rated are nearly the same.
            prop_assert!((curve.a - a).abs() < 1e-7 && (curve.b - b).abs() < 1e-7, "{:?}", curve);
            prop_assert!((curve.efficiency(1.0) - rated).abs() < 1e-12);
        }

        #[test]
        fn any_label_gives_losses_that_are_not_negative(
            idle in 0.0..200.0f64, peak in 0.3..1.0f64, rated in proptest::option::of(0.3..1.0f64), ac in 0.0..3000.0f64,
        ) {
            let (curve, _) = LossCurve::fit(&inverter(idle, peak, rated));
            prop_assert!(curve.a >= 0.0 && curve.b >= 0.0);
            prop_assert!(curve.dc_w(ac) >= ac + idle - 1e-9);
        }

        #[test]
        fn a_label_that_agrees_is_met(idle in 0.0..40.0f64, peak in 0.5..0.99f64, drop in 0.0..0.2f64) {
            let rated = peak - drop;
            let (curve, disagree) = LossCurve::fit(&inverter(idle, peak, Some(rated)));
            prop_assert!((curve.efficiency(1.0) - rated).abs() < 1e-9 || disagree);
            if !disagree {
                let best = (1..=4000).map(|n| curve.efficiency(f64::from(n) / 4000.0)).fold(0.0, f64::max);
                prop_assert!(best <= peak + 1e-9);
            }
        }
    }
}
