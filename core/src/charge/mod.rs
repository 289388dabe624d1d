//! charge
