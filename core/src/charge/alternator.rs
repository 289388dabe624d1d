//! The vehicle's alternator and the link from it to the bank.

use serde::Serialize;

/// Share of an alternator's rating that a DC-DC charger may take where none is told. Common practice, no source.
pub const INPUT_SHARE: f64 = 0.5;
/// What a hot alternator still gives of its rating, where none is told. Common practice, no source.
pub const HOT_FACTOR: f64 = 0.75;

/// An alternator and its link to the bank.
#[derive(Clone, Debug, PartialEq)]
pub struct Alternator {
    /// Rated current, cold and at full speed (A).
    pub rated_a: f64,
    /// What it still gives when hot, as a share of the rating, 0 to 1.
    pub hot_factor: f64,
    /// What it gives at the speed it turns, as a share of the rating, 0 to 1 (idling is low).
    pub speed_factor: f64,
    /// What the vehicle itself draws while the engine runs (A).
    pub own_draw_a: f64,
    /// Voltage that it holds (V).
    pub volts: f64,
    /// How it is joined to the bank.
    pub link: Link,
}

/// How the alternator is joined to the bank.
#[derive(Clone, Debug, PartialEq)]
pub enum Link {
    /// A DC-DC charger.
    DcDc {
        /// Rated output current (A).
        output_a: f64,
        /// Output power over input power, 0 to 1.
        efficiency: f64,
        /// Most input current as a share of the alternator's rating, 0 to 1.
        input_share: f64,
        /// Voltage on the bank's side while it charges, on the whole (V); at its highest it comes to the alternator's own.
        volts_out: f64,
    },
    /// A relay that joins the two batteries directly.
    Relay {
        /// Resistance of cables both ways, contacts and fuses (Ω).
        cable_ohm: f64,
    },
}

/// The bank and the loads on it as the link meets them, at one moment.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bus {
    /// Open-circuit voltage of the bank (V).
    pub open_circuit_v: f64,
    /// Internal resistance of the bank (Ω).
    pub resistance_ohm: f64,
    /// Most charging current that the bank takes (A).
    pub acceptance_a: f64,
    /// What the loads on the bus draw (A).
    pub load_a: f64,
}

/// What holds the current through the link.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum HeldBy {
    /// The charger's own rated output.
    RatedOutput,
    /// The share of the alternator's rating that the charger may take.
    InputShare,
    /// What the alternator has left over.
    Surplus,
    /// The resistances of link and bank.
    Resistance,
    /// What the bank accepts and the loads draw.
    Acceptance,
}

/// Current and power through the link while the engine runs.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Flow {
    /// Current taken from the alternator (A).
    pub input_a: f64,
    /// Current into the bus (A).
    pub output_a: f64,
    /// Power into the bus (W).
    pub output_w: f64,
    /// What holds it.
    pub held_by: HeldBy,
}

/// What the link would take of the alternator if nothing held it, against what there is.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Ask {
    /// Current that the link asks for (A).
    pub asked_a: f64,
    /// Current that the alternator has left over (A).
    pub surplus_a: f64,
    /// Most that the link may take by its share of the rating (A); none for a relay, which has no such limit.
    pub share_a: Option<f64>,
    /// Whether it asks more than is left over.
    pub over_surplus: bool,
    /// Whether it asks more than its share.
    pub over_share: bool,
}

impl Alternator {
    /// Current left over for the bank (A): rated × hot × speed − own draw, never below 0.
    pub fn surplus_a(&self) -> f64 {
        (self.rated_a * self.hot_factor * self.speed_factor - self.own_draw_a).max(0.0)
    }

    /// Most current that the link can pass on and on (A): the charger's input or output, whichever is larger; a relay's
    /// surplus.
    pub fn most_a(&self) -> f64 {
        match self.link {
            Link::DcDc { output_a, .. } => {
                let empty = Bus {
                    open_circuit_v: 0.0,
                    resistance_ohm: 0.0,
                    acceptance_a: f64::INFINITY,
                    load_a: 0.0,
                };
                self.at_highest().flow(&empty).input_a.max(output_a)
            }
            Link::Relay { .. } => self.surplus_a(),
        }
    }

    /// This alternator with its charger at the highest voltage, where it asks most of it.
    fn at_highest(&self) -> Self {
        let mut highest = self.clone();
        if let Link::DcDc { volts_out, .. } = &mut highest.link {
            *volts_out = volts_out.max(self.volts);
        }
        highest
    }

    /// What flows through the link while the engine runs. Direct relay, by Kirchhoff's laws round the loop of
    /// alternator, link and bank with the loads on the bus: I = (V_alt − V_oc + I_load·R_bat) / (R_link + R_bat), held
    /// between 0 and the lesser of the surplus and what loads and bank take.
    pub fn flow(&self, bus: &Bus) -> Flow {
        match self.link {
            Link::DcDc {
                output_a,
                efficiency,
                input_share,
                volts_out,
            } => {
                let output_per_input = ratio_or_zero(self.volts * efficiency, volts_out);
                let wanted_a = ratio_or_zero(output_a, output_per_input);
                let (input_a, held_by) = least([
                    (wanted_a, HeldBy::RatedOutput),
                    (input_share * self.rated_a, HeldBy::InputShare),
                    (self.surplus_a(), HeldBy::Surplus),
                ]);
                let output_a = input_a * output_per_input;
                Flow {
                    input_a,
                    output_a,
                    output_w: output_a * volts_out,
                    held_by,
                }
            }
            Link::Relay { cable_ohm } => {
                let (input_a, held_by) = least([
                    (
                        relay_current_a(self.volts, cable_ohm, bus),
                        HeldBy::Resistance,
                    ),
                    (bus.load_a + bus.acceptance_a, HeldBy::Acceptance),
                    (self.surplus_a(), HeldBy::Surplus),
                ]);
                let bus_v = bus.open_circuit_v + (input_a - bus.load_a) * bus.resistance_ohm;
                Flow {
                    input_a,
                    output_a: input_a,
                    output_w: input_a * bus_v,
                    held_by,
                }
            }
        }
    }

    /// Whether the link, unheld, asks more than the alternator has: a charger at its rated output, a relay as far as
    /// loads and bank take it.
    pub fn asks(&self, bus: &Bus) -> Ask {
        let surplus_a = self.surplus_a();
        let (asked_a, share_a) = match self.link {
            Link::DcDc {
                output_a,
                efficiency,
                input_share,
                volts_out,
            } => (
                ratio_or_zero(
                    output_a * volts_out.max(self.volts),
                    self.volts * efficiency,
                ),
                Some(input_share * self.rated_a),
            ),
            Link::Relay { cable_ohm } => {
                let free_a = relay_current_a(self.volts, cable_ohm, bus);
                (free_a.min(bus.load_a + bus.acceptance_a).max(0.0), None)
            }
        };
        Ask {
            asked_a,
            surplus_a,
            share_a,
            over_surplus: asked_a > surplus_a,
            over_share: share_a.is_some_and(|share_a| asked_a > share_a),
        }
    }
}

/// Current that a direct relay would pass if nothing held it (A); negative where the bank stands higher. Without any
/// resistance it has no bound.
pub fn relay_current_a(alternator_v: f64, cable_ohm: f64, bus: &Bus) -> f64 {
    let drive_v = alternator_v - bus.open_circuit_v + bus.load_a * bus.resistance_ohm;
    let loop_ohm = cable_ohm + bus.resistance_ohm;
    if loop_ohm > 0.0 {
        drive_v / loop_ohm
    } else if drive_v > 0.0 {
        f64::INFINITY
    } else {
        0.0
    }
}

fn ratio_or_zero(over: f64, under: f64) -> f64 {
    if under > 0.0 { over / under } else { 0.0 }
}

/// The least of several limits, never below 0, and whose it is; the first of equals.
fn least<const N: usize>(limits: [(f64, HeldBy); N]) -> (f64, HeldBy) {
    let (value, whose) = limits
        .into_iter()
        .reduce(|best, next| if next.0 < best.0 { next } else { best })
        .unwrap_or((0.0, HeldBy::Surplus));
    (value.max(0.0), whose)
}

/// Mean power into the bus in each hour (W). `drive` is the share of each clock hour in which the engine runs, 0 to 1;
/// the link is worked over those minutes and not over the whole hour.
pub fn driving_hours_w(alternator: &Alternator, drive: &[f64; 24], bus: &Bus) -> [f64; 24] {
    let running_w = alternator.flow(bus).output_w;
    drive.map(|share| share.clamp(0.0, 1.0) * running_w)
}

#[cfg(test)]
mod tests {
    use super::*;

    const BUS: Bus = Bus {
        open_circuit_v: 12.4,
        resistance_ohm: 0.01,
        acceptance_a: 60.0,
        load_a: 10.0,
    };

    fn with(link: Link) -> Alternator {
        Alternator {
            rated_a: 120.0,
            hot_factor: 0.75,
            speed_factor: 0.8,
            own_draw_a: 32.0,
            volts: 14.2,
            link,
        }
    }

    fn charger(output_a: f64, input_share: f64) -> Alternator {
        with(Link::DcDc {
            output_a,
            efficiency: 0.9,
            input_share,
            volts_out: 14.4,
        })
    }

    #[test]
    fn surplus_by_hand_and_never_negative() {
        assert!((charger(30.0, 0.5).surplus_a() - 40.0).abs() < 1e-12);
        let idle = Alternator {
            speed_factor: 0.2,
            ..charger(30.0, 0.5)
        };
        assert_eq!(idle.surplus_a(), 0.0);
        assert_eq!(idle.flow(&BUS).output_w, 0.0);
    }

    #[test]
    fn a_charger_is_held_by_each_of_its_three_limits() {
        let rated = charger(30.0, 0.5).flow(&BUS);
        assert_eq!(rated.held_by, HeldBy::RatedOutput);
        assert!((rated.output_a - 30.0).abs() < 1e-12 && (rated.output_w - 432.0).abs() < 1e-9);
        let share = charger(60.0, 0.25).flow(&BUS);
        assert_eq!((share.held_by, share.input_a), (HeldBy::InputShare, 30.0));
        assert!((share.output_w - 30.0 * 14.2 * 0.9).abs() < 1e-9);
        let surplus = charger(60.0, 0.5).flow(&BUS);
        assert_eq!(surplus.held_by, HeldBy::Surplus);
        assert!((surplus.input_a - 40.0).abs() < 1e-12);
        let ask = charger(60.0, 0.5).asks(&BUS);
        assert!(ask.over_surplus && ask.over_share && !charger(30.0, 0.5).asks(&BUS).over_surplus);
    }

    #[test]
    fn a_relay_obeys_kirchhoff_and_its_bounds() {
        let strong = |cable_ohm| Alternator {
            own_draw_a: 0.0,
            ..with(Link::Relay { cable_ohm })
        };
        // (14.2 − 12.4 + 10 × 0.01) / (0.03 + 0.01) = 47.5 A.
        let flow = strong(0.03).flow(&BUS);
        assert_eq!(flow.held_by, HeldBy::Resistance);
        assert!((flow.input_a - 47.5).abs() < 1e-9);
        let bus_v = flow.output_w / flow.output_a;
        assert!(
            (bus_v - (14.2 - 47.5 * 0.03)).abs() < 1e-9,
            "the voltages round the loop must close: {bus_v}"
        );
        assert_eq!(strong(0.005).flow(&BUS).held_by, HeldBy::Acceptance);
        assert_eq!(
            with(Link::Relay { cable_ohm: 0.005 }).flow(&BUS).held_by,
            HeldBy::Surplus
        );
        let full = Bus {
            open_circuit_v: 15.0,
            ..BUS
        };
        assert_eq!(strong(0.03).flow(&full).input_a, 0.0);
        let no_ohms = Bus {
            resistance_ohm: 0.0,
            ..BUS
        };
        assert_eq!(strong(0.0).flow(&no_ohms).input_a, 70.0);
        assert!(
            with(Link::Relay { cable_ohm: 0.0 })
                .asks(&no_ohms)
                .over_surplus
        );
    }

    #[test]
    fn driving_counts_minutes() {
        let mut drive = [0.0; 24];
        drive[8] = 0.5;
        drive[9] = 1.0;
        let hours = driving_hours_w(&charger(30.0, 0.5), &drive, &BUS);
        assert!((hours[8] - 216.0).abs() < 1e-9 && (hours[9] - 432.0).abs() < 1e-9);
        assert_eq!(hours.iter().sum::<f64>(), hours[8] + hours[9]);
    }
}
