//! How a plan takes its place: a town, a position, or a name that isn't known yet.

use super::{Draft, Plan};
use crate::place::{Clock, Town, show_position};

const PLACE: &str = "living/place";
const FIGURES: [&str; 2] = ["living/lat", "living/lon"];
const CLOCK: &str = "living/utc_offset_h";

impl Plan {
    /// Takes a town: its name, position, height and clock, of which the clock stays a guess.
    pub fn take_town(&mut self, town: &Town) {
        self.living.place.clone_from(&town.name);
        (self.living.lat, self.living.lon) = (town.lat, town.lon);
        self.living.elevation_m = Some(town.elevation_m);
        self.take_clock(town.clock);
        self.know_place();
    }

    /// Takes a position (°), whose height isn't known and whose clock is guessed by its longitude.
    pub fn take_position(&mut self, lat: f64, lon: f64) {
        self.living.place = show_position(lat, lon);
        (self.living.lat, self.living.lon) = (lat, lon);
        self.living.elevation_m = None;
        self.take_clock(Clock::of_longitude(lon));
        self.know_place();
    }

    /// Keeps a name that isn't known, and says what is missing: until it has a position, place and position are guesses.
    pub fn take_unknown_place(&mut self, name: &str, says: String) {
        let text = name.trim().to_owned();
        self.drafts.insert(PLACE.to_owned(), Draft { text, says });
        let guesses = [PLACE].into_iter().chain(FIGURES);
        self.guesses.extend(guesses.map(str::to_owned));
    }

    /// Lets a place count once its position is known: a name that was kept, else the position, takes the place of a guess.
    pub fn settle_place(&mut self) {
        let is_known =
            |figure: &str| !self.guesses.contains(figure) && !self.drafts.contains_key(figure);
        if !self.guesses.contains(PLACE) || !FIGURES.iter().all(|figure| is_known(figure)) {
            return;
        }
        let kept = self.drafts.remove(PLACE).map(|draft| draft.text);
        let (lat, lon) = (self.living.lat, self.living.lon);
        let name = kept.unwrap_or_else(|| show_position(lat, lon));
        self.take_position(lat, lon);
        self.living.place = name;
    }

    fn know_place(&mut self) {
        for path in [PLACE].into_iter().chain(FIGURES) {
            self.guesses.remove(path);
            self.drafts.remove(path);
        }
    }

    fn take_clock(&mut self, clock: Clock) {
        self.living.utc_offset_h = clock.standard_h;
        self.living.summer_h = clock.forward_h;
        (self.living.summer_from, self.living.summer_to) = clock.summer;
        self.guesses.insert(CLOCK.to_owned());
        self.drafts.remove(CLOCK);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::place::Towns;

    fn towns() -> Towns {
        Towns::read(include_str!("../../../public/towns.txt")).unwrap()
    }

    fn guessed() -> Plan {
        let mut plan = Plan::default();
        plan.living.place = "Rennes".into();
        (plan.living.lat, plan.living.lon) = (48.1, -1.7);
        let guesses = [PLACE].into_iter().chain(FIGURES);
        plan.guesses.extend(guesses.map(str::to_owned));
        plan
    }

    fn are_guesses(plan: &Plan) -> [bool; 4] {
        let [lat, lon] = FIGURES;
        [PLACE, lat, lon, CLOCK].map(|path| plan.guesses.contains(path))
    }

    #[test]
    fn a_town_brings_position_height_and_clock() {
        let towns = towns();
        let mut plan = guessed();
        plan.take_town(towns.named("auckland", (48.1, -1.7)).unwrap());
        let living = &plan.living;
        assert_eq!(living.place, "Auckland");
        assert!((living.lat + 36.85).abs() < 0.06 && (living.lon - 174.75).abs() < 0.06);
        assert_eq!((living.utc_offset_h, living.summer_h), (12.0, 1.0));
        assert_eq!((living.summer_from, living.summer_to), (10, 3));
        assert!(living.elevation_m.is_some());
        assert_eq!(are_guesses(&plan), [false, false, false, true]);
        // A position after it has no height, and the clock of its longitude.
        plan.take_position(-54.8, -68.3);
        let living = &plan.living;
        assert_eq!(living.place, "54.8° S, 68.3° W");
        assert_eq!((living.elevation_m, living.utc_offset_h), (None, -5.0));
        assert_eq!((living.summer_h, living.summer_from), (0.0, 0));
    }

    #[test]
    fn an_unknown_name_stays_a_guess_until_its_position_is_known() {
        let mut plan = guessed();
        plan.take_unknown_place(" Ghent ", "“Ghent” isn't known.".into());
        assert_eq!(plan.drafts[PLACE].text, "Ghent");
        // The plan is refused meanwhile: no figure stands for a place that isn't known.
        let faults = crate::assess(&plan).unwrap_err();
        assert!(
            faults.iter().any(|fault| fault.field == PLACE),
            "{faults:?}"
        );
        assert_eq!(are_guesses(&plan), [true, true, true, false]);
        (plan.living.lat, plan.living.lon) = (51.05, 3.7);
        plan.guesses.remove(FIGURES[0]);
        plan.settle_place();
        assert_eq!(plan.drafts.len(), 1);
        plan.guesses.remove(FIGURES[1]);
        plan.settle_place();
        assert_eq!(
            (plan.living.place.as_str(), plan.drafts.len()),
            ("Ghent", 0)
        );
        assert_eq!(are_guesses(&plan), [false, false, false, true]);
        assert_eq!(plan.living.lat, 51.05);
    }

    #[test]
    fn a_position_typed_over_a_guess_takes_the_name_away() {
        let mut plan = guessed();
        (plan.living.lat, plan.living.lon) = (35.1, -106.65);
        for figure in FIGURES {
            plan.guesses.remove(figure);
        }
        plan.settle_place();
        assert_eq!(plan.living.place, "35.1° N, 106.65° W");
        assert_eq!(plan.living.utc_offset_h, -7.0);
        // A plan whose place is known is left alone.
        let before = plan.clone();
        plan.settle_place();
        assert_eq!(plan, before);
    }
}
