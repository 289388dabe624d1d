//! What an evaluator is asked: the quantity and its inputs, never the figure expected.

use crate::row::Row;
use serde_json::Value;

/// What our core answers, figure by figure, and a remark for the report.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct Answer {
    pub(crate) figures: Vec<f64>,
    pub(crate) remark: Option<String>,
}

impl From<f64> for Answer {
    fn from(figure: f64) -> Self {
        vec![figure].into()
    }
}

impl From<Vec<f64>> for Answer {
    fn from(figures: Vec<f64>) -> Self {
        Self {
            figures,
            remark: None,
        }
    }
}

/// An answer, or why there is none.
pub(crate) type Asked = Result<Answer, String>;

/// A row without its figures.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Question<'a>(&'a Row);

impl<'a> Question<'a> {
    pub(crate) fn new(row: &'a Row) -> Self {
        Self(row)
    }

    /// The quantity in words.
    pub(crate) fn quantity(&self) -> &'a str {
        &self.0.quantity
    }

    /// The document, which says what conventions hold.
    pub(crate) fn source(&self) -> &'a str {
        &self.0.source
    }

    /// The unit asked for.
    pub(crate) fn unit(&self) -> &'a str {
        &self.0.unit
    }

    /// The first of these inputs that is there, as a number.
    pub(crate) fn given(&self, names: &[&str]) -> Option<f64> {
        names
            .iter()
            .find_map(|name| self.0.inputs.get(*name)?.as_f64())
    }

    /// The same, or why not.
    pub(crate) fn number(&self, names: &[&str]) -> Result<f64, String> {
        self.given(names)
            .ok_or_else(|| format!("the inputs give no {}", names.join(" or ")))
    }

    /// A list of numbers, or why not.
    pub(crate) fn numbers(&self, name: &str) -> Result<Vec<f64>, String> {
        let list = self.0.inputs.get(name).and_then(Value::as_array);
        list.map(|list| list.iter().filter_map(Value::as_f64).collect())
            .ok_or_else(|| format!("the inputs give no list {name}"))
    }

    /// A list of lists of numbers, or why not.
    pub(crate) fn numbers_of_each(&self, name: &str) -> Result<Vec<Vec<f64>>, String> {
        let lists = self.0.inputs.get(name).and_then(Value::as_array);
        let each = |list: &Value| {
            let numbers = list.as_array().into_iter().flatten();
            numbers.filter_map(Value::as_f64).collect()
        };
        lists
            .map(|lists| lists.iter().map(each).collect())
            .ok_or_else(|| format!("the inputs give no lists {name}"))
    }

    /// An input in words.
    pub(crate) fn text(&self, names: &[&str]) -> Result<&'a str, String> {
        names
            .iter()
            .find_map(|name| self.0.inputs.get(*name).and_then(Value::as_str))
            .ok_or_else(|| format!("the inputs give no {}", names.join(" or ")))
    }

    /// A temperature in °C, from °F where both are given: the other is then rounded from it.
    pub(crate) fn celsius(&self) -> Result<f64, String> {
        match self.given(&["temp_F", "T_F", "F"]) {
            Some(fahrenheit) => Ok((fahrenheit - 32.0) / 1.8),
            None => self.number(&["temp_C", "T_C", "C", "temperature_c"]),
        }
    }

    /// A state of charge as a share.
    pub(crate) fn soc(&self) -> Result<f64, String> {
        match self.given(&["soc_pct"]) {
            Some(percent) => Ok(percent / 100.0),
            None => self.number(&["soc"]),
        }
    }
}
