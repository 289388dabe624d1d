//! What a choice implies: fields that follow it while they are guesses. What the user gave is not overwritten.

use super::{Candidate, Chemistry, ControllerKind, Held, Plan};
use crate::data::usual::{usual_case, usual_mass_kg};

/// Voltages of rigs that are planned here [V].
const RIGS_V: [f64; 3] = [12.0, 24.0, 48.0];
/// How far a string's nominal voltage may be from the rig's [share of the rig's]: 12.8 V of lithium stand in for 12 V.
pub(crate) const STRING_WITHIN: f64 = 0.12;
/// What a tracking controller needs above the battery's voltage to start [V]. Common practice, no source.
const STARTS_ABOVE_V: f64 = 5.0;
/// What it needs above it to go on [V]. Common practice, no source.
const RUNS_ABOVE_V: f64 = 1.0;
/// What the panels' voltage may rise by in the cold [share]: 0.35 % for each degree down to −30 °C. Assumed.
const COLD_RISE: f64 = 0.2;
/// Charging voltage for each 12 V of bank [V]. Assumed.
const CHARGING_V: f64 = 14.4;
/// Voltage at the best power as a share of the open-circuit voltage. Assumed, for panels of crystalline silicon.
const BEST_OF_OPEN: f64 = 0.8;

/// Whether a string of so many batteries makes the rig's voltage.
fn makes(series: f64, battery_v: f64, volts: f64) -> bool {
    (series * battery_v - volts).abs() <= STRING_WITHIN * volts
}

/// How many batteries of such a voltage make a rig's: 4, 8 or 16 cells of 3.2 V.
fn series_for(battery_v: f64, volts: f64) -> Option<f64> {
    // A lithium cell of 3.2 V stands for 3 V of the rig: 16 cells, 51.2 V, are called 48 V.
    let stands_for = if (3.1..=3.3).contains(&battery_v) {
        3.0
    } else {
        battery_v
    };
    let series = (volts / stands_for).round().max(1.0);
    (series.is_finite() && makes(series, battery_v, volts)).then_some(series)
}

impl Plan {
    /// Whether a change at a path may change fields of other parts or rows.
    pub fn reaches_others(path: &str) -> bool {
        path == "plan/volts" || path.ends_with("/battery_v") || path.ends_with("/chemistry")
    }

    /// What a change brings with it: a typed size is no longer that of the standard case, a typed space is measured, a
    /// chosen voltage sets the batteries in series, a chosen battery its usual case and mass.
    pub(super) fn follow(&mut self, path: &str) {
        if let Some((row, _)) = path.split_once("/case_mm/") {
            self.place(&format!("{row}/case_name"), Held::Text(String::new()));
        } else if path.starts_with("locker/inside_mm/") {
            self.locker.measured = true;
        } else if path == "meter/amount" {
            self.meter.used = true;
        } else if path == "plan/volts" {
            self.set_series();
            self.set_panels_in_series();
        } else if path.starts_with("sun/") && path != "sun/in_series" {
            self.set_panels_in_series();
        } else if let Some(at) = path.strip_suffix("/lon") {
            self.guess_clock(at);
        } else if let Some(row) = path.strip_suffix("/chemistry") {
            self.set_usual(row);
            self.keep_a_rival(row);
        } else if let Some(row) = path.strip_suffix("/battery_v") {
            self.set_series();
            self.set_usual(row);
        } else if let Some(row) = path.strip_suffix("/capacity_ah") {
            self.set_usual(row);
        }
    }

    /// Sets how many batteries stand in a string where that is a guess, or was right for another voltage of the rig and
    /// would now be refused; the new count is a guess.
    fn set_series(&mut self) {
        let volts = self.volts;
        for bank in &mut self.candidates {
            let path = format!("candidates/{}/series", bank.id);
            let now = bank.series;
            let was_right = RIGS_V.iter().any(|rig| makes(now, bank.battery_v, *rig));
            let free = self.guesses.contains(&path) || was_right;
            if !makes(now, bank.battery_v, volts)
                && free
                && let Some(series) = series_for(bank.battery_v, volts)
            {
                bank.series = series;
                self.guesses.insert(path);
            }
        }
    }

    /// Sets how many panels stand in series, as a guess, where a tracking controller needs more of them than one: only
    /// where a panel's voltage is known and the count was not given.
    fn set_panels_in_series(&mut self) {
        const PATH: &str = "sun/in_series";
        let (sun, volts) = (&self.sun, self.volts);
        let free = sun.in_series.is_none() || self.guesses.contains(PATH);
        let Some(open_v) = sun.panel_voc.filter(|volts| *volts > 1.0) else {
            return;
        };
        if !free || sun.controller != ControllerKind::Tracking {
            return;
        }
        let battery_v = CHARGING_V * volts / 12.0;
        let to_start = (battery_v + STARTS_ABOVE_V) / open_v;
        let to_run = (battery_v + RUNS_ABOVE_V) / (BEST_OF_OPEN * open_v);
        let series = to_start.max(to_run).ceil();
        let coldest_v = series * open_v * (1.0 + COLD_RISE);
        let bears = sun.controller_max_v.is_none_or(|most| coldest_v <= most);
        if series > 1.0 && series <= 30.0 && bears {
            self.sun.in_series = Some(series);
            self.guesses.insert(PATH.into());
        } else if self.guesses.remove(PATH) {
            self.sun.in_series = None;
        }
    }

    fn candidate_at(&self, row: &str) -> Option<&Candidate> {
        let id: u32 = row.strip_prefix("candidates/")?.parse().ok()?;
        self.candidates.iter().find(|bank| bank.id == id)
    }

    /// Gives a battery its kind's usual mass and case, as far as they are guesses.
    pub fn set_usual(&mut self, row: &str) {
        let Some(bank) = self.candidate_at(row) else {
            return;
        };
        let (kind, volts, ah) = (bank.chemistry, bank.battery_v, bank.capacity_ah);
        let mass_kg = usual_mass_kg(kind, volts, ah);
        if (0.1..=2000.0).contains(&mass_kg) {
            self.imply(&format!("{row}/mass_kg"), Held::Number(Some(mass_kg)));
        }
        let Some((name, mm)) = usual_case(kind, volts, ah) else {
            return;
        };
        let name_at = format!("{row}/case_name");
        let sides = [1, 2, 3].map(|axis| format!("{row}/case_mm/{axis}"));
        let free = sides.iter().chain([&name_at]);
        if free.into_iter().all(|path| self.guesses.contains(path)) {
            for (path, mm) in sides.iter().zip(mm) {
                self.place(path, Held::Number(Some(mm)));
            }
            self.place(&name_at, Held::Text(name));
        }
    }

    /// Keeps two candidates apart: where a chosen chemistry makes one like another whose own is a guess, that other
    /// takes AGM against lithium and lithium against everything else.
    fn keep_a_rival(&mut self, row: &str) {
        let Some(bank) = self.candidate_at(row).cloned() else {
            return;
        };
        let alike = |other: &&Candidate| {
            other.id != bank.id
                && other.chemistry == bank.chemistry
                && other.battery_v == bank.battery_v
                && other.capacity_ah == bank.capacity_ah
                && other.series == bank.series
                && other.parallel == bank.parallel
        };
        let rival = self.candidates.iter().find(alike).map(|other| other.id);
        let Some(id) = rival else { return };
        let path = format!("candidates/{id}/chemistry");
        let other = match bank.chemistry {
            Chemistry::LithiumIronPhosphate => Chemistry::Agm,
            _ => Chemistry::LithiumIronPhosphate,
        };
        let at = Chemistry::ALL.iter().position(|kind| *kind == other);
        if let Some(at) = at {
            self.imply(&path, Held::Choice(at));
            self.set_usual(&format!("candidates/{id}"));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::Panel;

    fn plan(guessed: bool) -> Plan {
        let bank = |id, chemistry| Candidate {
            id,
            chemistry,
            case_name: "BCI 31".into(),
            mass_kg: 30.0,
            ..Candidate::default()
        };
        let mut plan = Plan {
            candidates: vec![
                bank(11, Chemistry::Agm),
                bank(12, Chemistry::LithiumIronPhosphate),
            ],
            ..Plan::default()
        };
        if guessed {
            plan.guess_everything();
        }
        plan
    }

    fn choose(plan: &mut Plan, path: &str, kind: Chemistry) {
        let at = Chemistry::ALL.iter().position(|one| *one == kind);
        plan.put(path, Held::Choice(at.unwrap()));
        plan.touch(path);
    }

    #[test]
    fn the_rig_s_voltage_sets_the_batteries_in_series() {
        for guessed in [true, false] {
            let mut plan = plan(guessed);
            for (volts, series) in [(24.0, 2.0), (48.0, 4.0), (12.0, 1.0)] {
                plan.put("plan/volts", Held::Number(Some(volts)));
                assert_eq!(plan.candidates[0].series, series);
                assert!(plan.is_guess("candidates/11/series"));
            }
        }
        // Three of 12 V never made a rig's voltage: what the user gave is left for the user to mend.
        let mut plan = plan(false);
        plan.candidates[0].series = 3.0;
        plan.put("plan/volts", Held::Number(Some(24.0)));
        assert_eq!(plan.candidates[0].series, 3.0);
    }

    #[test]
    fn eight_cells_of_3_2_v_weigh_what_cells_weigh() {
        let mut plan = plan(true);
        plan.put("plan/volts", Held::Number(Some(24.0)));
        choose(
            &mut plan,
            "candidates/11/chemistry",
            Chemistry::LithiumIronPhosphate,
        );
        plan.put("candidates/11/battery_v", Held::Number(Some(3.2)));
        plan.put("candidates/11/capacity_ah", Held::Number(Some(280.0)));
        let bank = &plan.candidates[0];
        assert_eq!(bank.series, 8.0);
        // 280 Ah × 0.019 kg/Ah is 5.3 kg a cell: 43 kg in all, as such packs weigh.
        assert!((bank.mass_kg - 5.3).abs() < 0.1, "{}", bank.mass_kg);
        assert_eq!(bank.case_mm, [174.0, 72.0, 207.0]);
        plan.put("plan/volts", Held::Number(Some(48.0)));
        assert_eq!(plan.candidates[0].series, 16.0);
    }

    #[test]
    fn a_kind_of_battery_brings_its_mass_and_case_while_they_are_guesses() {
        let mut plan = plan(true);
        choose(&mut plan, "candidates/11/chemistry", Chemistry::Flooded);
        assert_eq!(plan.candidates[0].mass_kg, 27.0);
        plan.put("candidates/11/capacity_ah", Held::Number(Some(200.0)));
        assert_eq!(plan.candidates[0].case_name, "BCI 4D");
        assert_eq!(plan.candidates[0].mass_kg, 54.0);
        assert!(plan.is_guess("candidates/11/mass_kg") && plan.is_guess("candidates/11/case_name"));
        // A mass that the user gave stays, and so does a case of which one side was measured.
        plan.put("candidates/11/mass_kg", Held::Number(Some(58.0)));
        plan.touch("candidates/11/mass_kg");
        plan.put("candidates/11/case_mm/2", Held::Number(Some(225.0)));
        plan.touch("candidates/11/case_mm/2");
        choose(&mut plan, "candidates/11/chemistry", Chemistry::Gel);
        plan.put("candidates/11/capacity_ah", Held::Number(Some(100.0)));
        let bank = &plan.candidates[0];
        assert_eq!((bank.mass_kg, bank.case_mm[1]), (58.0, 225.0));
        // In a plan without guesses nothing follows.
        let mut told = self::plan(false);
        choose(
            &mut told,
            "candidates/11/chemistry",
            Chemistry::LithiumIronPhosphate,
        );
        assert_eq!(told.candidates[0].mass_kg, 30.0);
        assert_eq!(
            told.candidates[1].chemistry,
            Chemistry::LithiumIronPhosphate
        );
    }

    #[test]
    fn two_candidates_stay_apart() {
        let mut plan = plan(true);
        choose(
            &mut plan,
            "candidates/11/chemistry",
            Chemistry::LithiumIronPhosphate,
        );
        let kinds = |plan: &Plan| [0, 1].map(|at: usize| plan.candidates[at].chemistry);
        assert_eq!(
            kinds(&plan),
            [Chemistry::LithiumIronPhosphate, Chemistry::Agm]
        );
        assert_eq!(plan.candidates[1].mass_kg, 30.0);
        choose(&mut plan, "candidates/11/chemistry", Chemistry::Agm);
        assert_eq!(
            kinds(&plan),
            [Chemistry::Agm, Chemistry::LithiumIronPhosphate]
        );
        assert_eq!(plan.candidates[1].mass_kg, 13.0);
        // Chosen by the user, the other stays, alike or not.
        plan.touch("candidates/12/chemistry");
        choose(
            &mut plan,
            "candidates/11/chemistry",
            Chemistry::LithiumIronPhosphate,
        );
        assert_eq!(kinds(&plan), [Chemistry::LithiumIronPhosphate; 2]);
    }

    #[test]
    fn panels_stand_in_series_only_where_a_tracking_controller_needs_it() {
        let mut plan = plan(true);
        plan.sun.panels = vec![Panel::default()];
        plan.put("plan/volts", Held::Number(Some(24.0)));
        assert_eq!(plan.sun.in_series, None, "no panel's voltage is known");
        plan.put("sun/panel_voc", Held::Number(Some(22.0)));
        // 28.8 V + 5 V to start, more than one panel's 22 V.
        assert_eq!(plan.sun.in_series, Some(2.0));
        assert!(plan.open_guesses().any(|path| path == "sun/in_series"));
        plan.put("plan/volts", Held::Number(Some(12.0)));
        assert_eq!(
            plan.sun.in_series, None,
            "22 V start a controller at 14.4 V + 5 V"
        );
        plan.put("sun/in_series", Held::Number(Some(3.0)));
        plan.put("plan/volts", Held::Number(Some(48.0)));
        assert_eq!(plan.sun.in_series, Some(3.0), "what the user gave stays");
    }
}
