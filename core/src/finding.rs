//! What is wrong or worth knowing, how grave it is, which field it stands at, what would mend it.

use serde::Serialize;

/// How much a finding weighs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Gravity {
    /// Worth knowing; nothing to do.
    Note,
    /// The plan works, but something in it deserves a second look.
    Caution,
    /// The plan as it stands will not work, or can hurt someone.
    Grave,
}

/// One remark about a plan, tied to the field that it speaks of.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Finding {
    /// How much it weighs.
    pub gravity: Gravity,
    /// The field's path in the plan, such as `loads/3/draw`; ids, not positions.
    pub field: String,
    /// What is so, in a sentence.
    pub says: String,
    /// What would mend it, in a sentence; empty where nothing need be done.
    pub mend: String,
}

impl Finding {
    /// A finding of the given gravity at `field`.
    pub fn new(
        gravity: Gravity,
        field: impl Into<String>,
        says: impl Into<String>,
        mend: impl Into<String>,
    ) -> Self {
        Self {
            gravity,
            field: field.into(),
            says: says.into(),
            mend: mend.into(),
        }
    }
}
