//! solar
