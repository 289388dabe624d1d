//! How near is near enough, as a row says it, and how near ours is.

/// What one figure may differ by.
#[derive(Clone, Debug, PartialEq)]
enum Allowed {
    /// An absolute figure in the row's unit.
    Absolute(f64),
    /// A share of the printed figure.
    Share(f64),
    /// No difference beyond what floating point leaves.
    Exact,
    /// Half a unit of the last digit printed.
    AsPrinted,
    /// A factor either way.
    Factor(f64),
    /// Anything from one figure to another.
    From(f64, f64),
}

/// A row's tolerance.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Tolerance(Form);

#[derive(Clone, Debug, PartialEq)]
enum Form {
    /// The same for every figure.
    All(Allowed),
    /// One for each figure.
    Each(Vec<Allowed>),
    /// Every figure of ours lies between the least and the greatest printed.
    Between,
    /// Every figure of ours is one of those printed.
    Subset,
}

/// What floating point may leave of an exact figure, as a share of it (or of one).
const ROUNDING: f64 = 1e-9;

impl Tolerance {
    /// Reads `0.05`, `2 mm`, `5 %`, `0.06 V, 0.008`, `factor 2`, `0.577-0.62`, `exact`, `rule`, `formula` or `range`.
    ///
    /// `rule` is a figure that a rule fixes, so exact; `formula` is one worked out and rounded to what is printed.
    pub(crate) fn read(text: &str) -> Result<Self, String> {
        let form = match text.trim() {
            "" | "-" => return Err("the row states no tolerance".to_owned()),
            "subset" => Form::Subset,
            "exact" | "rule" => Form::All(Allowed::Exact),
            "formula" => Form::All(Allowed::AsPrinted),
            "range" => Form::Between,
            text => {
                let mut parts: Vec<Allowed> =
                    text.split(", ").map(one).collect::<Result<_, _>>()?;
                match parts.len() {
                    1 => Form::All(parts.remove(0)),
                    _ => Form::Each(parts),
                }
            }
        };
        Ok(Self(form))
    }

    /// How much of the tolerance ours uses at its worst figure: at most 1 where the row holds.
    pub(crate) fn share(&self, ours: &[f64], expected: &[String]) -> Result<f64, String> {
        let printed: Vec<f64> = expected
            .iter()
            .map(|text| text.parse().map_err(|_| format!("`{text}` is no figure")))
            .collect::<Result<_, _>>()?;
        if let Form::Between = self.0 {
            return Ok(worst(ours.iter().map(|&value| between(value, &printed))));
        }
        if let Form::Subset = self.0 {
            let stray = ours.iter().any(|value| !printed.contains(value));
            return Ok(if stray { f64::INFINITY } else { 0.0 });
        }
        if ours.len() != printed.len() {
            return Err(format!(
                "ours has {} figures, the row {}",
                ours.len(),
                printed.len()
            ));
        }
        let allowed = match &self.0 {
            Form::All(allowed) => vec![allowed.clone(); printed.len()],
            Form::Each(each) if each.len() == printed.len() => each.clone(),
            _ => return Err("the tolerance has not as many figures as the row".to_owned()),
        };
        let figures = ours.iter().zip(&printed).zip(expected).zip(&allowed);
        Ok(worst(figures.map(
            |(((&ours, &printed), text), allowed)| allowed.share(ours, printed, text),
        )))
    }
}

/// The largest share; infinite where one is no number or there is none.
fn worst(shares: impl Iterator<Item = f64>) -> f64 {
    shares
        .map(|share| if share.is_nan() { f64::INFINITY } else { share })
        .reduce(f64::max)
        .unwrap_or(f64::INFINITY)
}

/// One part of a tolerance: a figure with a unit or a per cent sign, or a factor.
fn one(text: &str) -> Result<Allowed, String> {
    let text = text.trim();
    let unknown = || format!("the tolerance `{text}` is not understood");
    if let Some(factor) = text.strip_prefix("factor ") {
        return factor.parse().map(Allowed::Factor).map_err(|_| unknown());
    }
    let ends = text.split_once('-').and_then(|(low, high)| {
        let low: f64 = low.parse().ok()?;
        Some(Allowed::From(low, high.parse().ok()?))
    });
    if let Some(ends) = ends {
        return Ok(ends);
    }
    let (figure, unit) = text.split_once(' ').unwrap_or((text, ""));
    let figure: f64 = figure.parse().map_err(|_| unknown())?;
    Ok(if unit.starts_with('%') {
        Allowed::Share(figure / 100.0)
    } else {
        Allowed::Absolute(figure)
    })
}

impl Allowed {
    /// The difference over what is allowed.
    fn share(&self, ours: f64, printed: f64, text: &str) -> f64 {
        // A printed decimal says no more than half a unit of its last digit, whatever its row asks; a whole number may be exact.
        let printed_to = if text.contains('.') {
            half_a_last_digit(text)
        } else {
            0.0
        };
        let allowed = match self {
            Self::Absolute(most) => most.max(printed_to),
            Self::Share(share) => (share * printed.abs()).max(printed_to),
            Self::Exact => ROUNDING * printed.abs().max(1.0),
            Self::AsPrinted => half_a_last_digit(text),
            Self::From(low, high) => return between(ours, &[*low, *high]),
            Self::Factor(factor) => return (ours / printed).ln().abs() / factor.ln(),
        };
        let difference = (ours - printed).abs();
        // The two figures are decimals: their difference may pass the tolerance by the last bit.
        let slack = f64::EPSILON * 4.0 * printed.abs().max(ours.abs());
        if difference <= slack {
            0.0
        } else {
            (difference - slack) / allowed
        }
    }
}

/// Half a unit of the last digit of a printed decimal.
fn half_a_last_digit(text: &str) -> f64 {
    let decimals = text.split_once('.').map_or(0, |(_, after)| after.len());
    0.5 * 10_f64.powi(-(decimals as i32))
}

/// How far a value lies from the middle of a printed range, in half widths of it.
fn between(value: f64, printed: &[f64]) -> f64 {
    let low = printed.iter().copied().fold(f64::INFINITY, f64::min);
    let high = printed.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if value == low && value == high {
        return 0.0;
    }
    (value - 0.5 * (low + high)).abs() / (0.5 * (high - low))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn holds(tolerance: &str, ours: &[f64], expected: &[&str]) -> bool {
        let expected: Vec<String> = expected.iter().map(|&text| text.to_owned()).collect();
        let share = Tolerance::read(tolerance).and_then(|t| t.share(ours, &expected));
        share.is_ok_and(|share| share <= 1.0)
    }

    #[test]
    fn every_form_of_tolerance_lets_through_and_keeps_out() {
        for (tolerance, expected, inside, outside) in [
            ("0.05", "12.5", 12.55, 12.5501),
            ("0.1", "0.3", 0.4, 0.4001),
            ("2 mm (L6: 393 or 394)", "394", 392.0, 391.9),
            ("5 %", "-200", -209.9, -210.1),
            ("3 F", "-90", -87.0, -86.9),
            ("1e-6", "1", 1.000_000_9, 1.000_001_1),
            ("factor 2", "1200", 601.0, 599.0),
            ("factor 2", "1200", 2399.0, 2401.0),
            ("exact", "4", 4.0, 4.000_001),
            ("rule", "0", 0.0, 0.1),
            ("0.577-0.62", "0.6", 0.578, 0.576),
            ("formula", "1394.5", 1394.54, 1394.56),
        ] {
            assert!(holds(tolerance, &[inside], &[expected]), "{tolerance}");
            assert!(!holds(tolerance, &[outside], &[expected]), "{tolerance}");
        }
    }

    #[test]
    fn lists_are_held_figure_by_figure() {
        let printed = ["12.5", "1.238"];
        assert!(holds("0.06 V, 0.008", &[12.55, 1.245], &printed));
        assert!(!holds("0.06 V, 0.008", &[12.5, 1.298], &printed));
        assert!(!holds("0.06 V, 0.008, 1", &[12.5, 1.238], &printed));
        assert!(!holds("0.06", &[12.5], &printed));
        assert!(!holds("0.06", &[12.5, f64::NAN], &printed));
        assert!(!holds("0.06", &[], &[]));
    }

    #[test]
    fn a_range_takes_one_figure_or_a_range_within() {
        assert!(holds("range", &[10.0], &["10", "10"]));
        assert!(!holds("range", &[10.1], &["10", "10"]));
        assert!(holds("range", &[21.0, 25.0], &["21", "25"]));
        assert!(!holds("range", &[21.0, 25.1], &["21", "25"]));
    }

    #[test]
    fn what_says_nothing_is_not_read() {
        for text in ["", "-", "test values", "check the label"] {
            assert!(Tolerance::read(text).is_err(), "{text}");
        }
    }
}
