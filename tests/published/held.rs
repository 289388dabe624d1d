//! A row asked and judged.

use crate::evaluators::ask;
use crate::question::Question;
use crate::row::Row;
use crate::tolerance::Tolerance;

/// What came of a row.
#[derive(Clone, Debug, PartialEq)]
pub(crate) enum Outcome {
    /// Ours, and how much of the tolerance it uses: at most 1 where it holds.
    Evaluated {
        ours: Vec<f64>,
        share: f64,
        remark: Option<String>,
    },
    /// Why it was not evaluated.
    Without(String),
}

/// Asks the core for a row's quantity and holds the answer against the figures printed.
pub(crate) fn judge(row: &Row) -> Outcome {
    let judged = ask(Question::new(row)).and_then(|answer| {
        // A figure that the answer leaves out, saying why, or that the row leaves open is not held; any other that is no number
        // fails.
        let left_out = |ours: &f64, printed: &String| {
            printed == "null" || answer.remark.is_some() && ours.is_nan()
        };
        let held = answer
            .figures
            .iter()
            .zip(&row.expected)
            .filter(|(ours, printed)| !left_out(ours, printed));
        let (ours, printed): (Vec<f64>, Vec<String>) =
            held.map(|(ours, printed)| (*ours, printed.clone())).unzip();
        let whole = ours.is_empty() || answer.figures.len() != row.expected.len();
        let (ours, printed) = if whole {
            (answer.figures.clone(), row.expected.clone())
        } else {
            (ours, printed)
        };
        let share = Tolerance::read(&row.tolerance)?.share(&ours, &printed)?;
        Ok(Outcome::Evaluated {
            ours: answer.figures,
            share,
            remark: answer.remark,
        })
    });
    judged.unwrap_or_else(Outcome::Without)
}

impl Outcome {
    /// The share of the tolerance, where evaluated.
    pub(crate) fn share(&self) -> Option<f64> {
        match self {
            Self::Evaluated { share, .. } => Some(*share),
            Self::Without(_) => None,
        }
    }

    /// Whether the row was evaluated and lies within its tolerance.
    pub(crate) fn holds(&self) -> bool {
        self.share().is_some_and(|share| share <= 1.0)
    }
}
