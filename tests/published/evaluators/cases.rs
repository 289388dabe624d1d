//! Standard battery cases, as the table that is compiled in has them.

use super::{Evaluator, Pattern};
use crate::question::{Asked, Question};
use larder::data::cases::{CaseSize, cases};

pub(crate) const EVALUATORS: &[(Pattern, Evaluator)] = &[
    ("greatest overall length, width, height", size),
    ("length, width, height of the case*", size),
    ("heavy-vehicle case", size),
    ("typical mass of a lead-acid battery of the group", |q| {
        range(q, |case| case.mass_kg)
    }),
    ("typical 20 h capacity, lead-acid", |q| {
        range(q, |case| case.capacity_ah)
    }),
];

/// The case by the first word of a group or a type: `47 (H5, L2 low)` is BCI 47, `A (D4)` is EN A.
fn case(q: Question) -> Result<&'static CaseSize, String> {
    let (standard, name) = match q.text(&["bci_group"]) {
        Ok(group) => ("BCI", group),
        Err(_) => ("EN", q.text(&["type"])?),
    };
    let first = name.split_whitespace().next().unwrap_or(name);
    cases()
        .iter()
        .find(|case| case.name.split_whitespace().take(2).eq([standard, first]))
        .ok_or_else(|| format!("the table of cases has no {standard} {first}"))
}

fn size(q: Question) -> Asked {
    Ok(case(q)?.mm.to_vec().into())
}

fn range(q: Question, of: impl Fn(&CaseSize) -> Option<(f64, f64)>) -> Asked {
    let (low, high) = of(case(q)?).ok_or("the table of cases leaves it empty")?;
    Ok(vec![low, high].into())
}
