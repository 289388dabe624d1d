//! Accounts of charge and energy, each kind of movement summed as it happens.

/// Charge and energy, each summed as it happened.
#[derive(Clone, Copy, Debug, Default, PartialEq, serde::Serialize)]
pub struct Ledger {
    /// In the bank at the start [Ah].
    pub initial_ah: f64,
    /// Into the bank's terminals [Ah].
    pub charged_ah: f64,
    /// Out of them [Ah].
    pub discharged_ah: f64,
    /// Lost in charging [Ah].
    pub charging_loss_ah: f64,
    /// Lost by itself [Ah].
    pub self_loss_ah: f64,
    /// In the bank at the end [Ah].
    pub final_ah: f64,
    /// Into the bank's terminals [Wh], at their voltage.
    pub charged_wh: f64,
    /// Out of them [Wh], at their voltage.
    pub discharged_wh: f64,
    /// Wanted by the loads [Wh].
    pub wanted_wh: f64,
    /// Not given to what runs on direct current [Wh].
    pub unserved_direct_wh: f64,
    /// Not given to what runs through the inverter [Wh].
    pub unserved_inverter_wh: f64,
    /// Offered by the sun [Wh].
    pub sun_wh: f64,
    /// Of that, what found no taker [Wh].
    pub spilled_wh: f64,
    /// Taken from the engine [Wh].
    pub drive_wh: f64,
    /// Taken from the hook-up [Wh].
    pub shore_wh: f64,
    /// Hours for which the hook-up's charger worked [h].
    pub shore_h: f64,
}

impl Ledger {
    /// As numbers, in the order of its fields.
    pub fn to_numbers(&self) -> [f64; 16] {
        [
            self.initial_ah,
            self.charged_ah,
            self.discharged_ah,
            self.charging_loss_ah,
            self.self_loss_ah,
            self.final_ah,
            self.charged_wh,
            self.discharged_wh,
            self.wanted_wh,
            self.unserved_direct_wh,
            self.unserved_inverter_wh,
            self.sun_wh,
            self.spilled_wh,
            self.drive_wh,
            self.shore_wh,
            self.shore_h,
        ]
    }

    /// Back from them.
    pub fn from_numbers(numbers: [f64; 16]) -> Self {
        let [
            initial_ah,
            charged_ah,
            discharged_ah,
            charging_loss_ah,
            self_loss_ah,
            final_ah,
            rest @ ..,
        ] = numbers;
        let [
            charged_wh,
            discharged_wh,
            wanted_wh,
            unserved_direct_wh,
            unserved_inverter_wh,
            rest @ ..,
        ] = rest;
        let [sun_wh, spilled_wh, drive_wh, shore_wh, shore_h] = rest;
        Self {
            initial_ah,
            charged_ah,
            discharged_ah,
            charging_loss_ah,
            self_loss_ah,
            final_ah,
            charged_wh,
            discharged_wh,
            wanted_wh,
            unserved_direct_wh,
            unserved_inverter_wh,
            sun_wh,
            spilled_wh,
            drive_wh,
            shore_wh,
            shore_h,
        }
    }

    /// Not given to what runs on direct current, and to what runs through the inverter [Wh].
    pub fn unserved_by_supply_wh(&self) -> [f64; 2] {
        [self.unserved_direct_wh, self.unserved_inverter_wh]
    }

    /// Not given to the loads [Wh].
    pub fn unserved_wh(&self) -> f64 {
        self.unserved_direct_wh + self.unserved_inverter_wh
    }

    /// What does not add up [Ah].
    pub fn gap_ah(&self) -> f64 {
        self.initial_ah + self.charged_ah
            - self.discharged_ah
            - self.charging_loss_ah
            - self.self_loss_ah
            - self.final_ah
    }

    /// All that moved [Ah].
    pub fn throughput_ah(&self) -> f64 {
        self.charged_ah + self.discharged_ah + self.self_loss_ah
    }

    /// What does not add up between sources, loads and bank [Wh], the bank's part at the voltages [V] by which power turns
    /// into current: out of it the nominal one, into it the charging one.
    pub fn gap_wh(&self, nominal_v: f64, charging_v: f64) -> f64 {
        let from_bank = self.discharged_ah * nominal_v - self.charged_ah * charging_v;
        let from_sources = self.sun_wh - self.spilled_wh + self.drive_wh + self.shore_wh;
        self.wanted_wh - self.unserved_wh() - from_bank - from_sources
    }

    /// Adds what another has moved; the charge at start and end stays.
    pub fn add(&mut self, other: &Self) {
        self.charged_ah += other.charged_ah;
        self.discharged_ah += other.discharged_ah;
        self.charging_loss_ah += other.charging_loss_ah;
        self.self_loss_ah += other.self_loss_ah;
        self.charged_wh += other.charged_wh;
        self.discharged_wh += other.discharged_wh;
        self.wanted_wh += other.wanted_wh;
        self.unserved_direct_wh += other.unserved_direct_wh;
        self.unserved_inverter_wh += other.unserved_inverter_wh;
        self.sun_wh += other.sun_wh;
        self.spilled_wh += other.spilled_wh;
        self.drive_wh += other.drive_wh;
        self.shore_wh += other.shore_wh;
        self.shore_h += other.shore_h;
    }
}
