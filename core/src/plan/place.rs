//! How a plan takes a place, its own or that of a stay: a town, a position, or a name that isn't known yet.
//!
//! `at` is the part or row that holds the place: `living`, or a stay such as `living/stays/3`.

use super::{Draft, Held, Plan};
use crate::place::{Clock, Town, show_position};

/// The part that holds the plan's own place.
pub const HOME: &str = "living";
/// The fields of a place: its name and its position.
const FIELDS: [&str; 3] = ["place", "lat", "lon"];

impl Plan {
    /// Takes a town: its name, position, height and clock, of which the clock stays a guess.
    pub fn take_town(&mut self, at: &str, town: &Town) {
        let (lat, lon) = (town.lat, town.lon);
        self.put_place(
            at,
            &town.name,
            (lat, lon),
            Some(town.elevation_m),
            town.clock,
        );
    }

    /// Takes a position (°), whose height isn't known and whose clock is guessed by its longitude.
    pub fn take_position(&mut self, at: &str, lat: f64, lon: f64) {
        let clock = Clock::of_longitude(lon);
        self.put_place(at, &show_position(lat, lon), (lat, lon), None, clock);
    }

    /// Keeps a name that isn't known, and says what is missing: until it has a position, the plan's own place and position are
    /// guesses; a stay has none.
    pub fn take_unknown_place(&mut self, at: &str, name: &str, says: String) {
        if at == HOME {
            let guesses = FIELDS.map(|field| format!("{at}/{field}"));
            self.guesses.extend(guesses);
        } else {
            self.leave_place(at);
        }
        let text = name.trim().to_owned();
        self.drafts
            .insert(format!("{at}/place"), Draft { text, says });
    }

    /// Takes the place of a stay away: its days are spent at the plan's own place.
    pub fn leave_place(&mut self, at: &str) {
        for field in FIELDS {
            self.forget(&format!("{at}/{field}"));
        }
        self.forget(&format!("{at}/utc_offset_h"));
        self.place(&format!("{at}/place"), Held::Text(String::new()));
        for open in ["lat", "lon", "elevation_m", "utc_offset_h"] {
            self.place(&format!("{at}/{open}"), Held::Number(None));
        }
        self.put_summer(at, Clock::default());
    }

    /// Lets a place count once its position is known: a name that was kept, else the position, takes the place of a guess.
    pub fn settle_place(&mut self) {
        let is_known =
            |figure: &str| !self.guesses.contains(figure) && !self.drafts.contains_key(figure);
        let figures = ["living/lat", "living/lon"];
        if self.guesses.contains("living/place") && figures.into_iter().all(is_known) {
            self.settle(HOME);
        }
        let stays: Vec<String> = self
            .living
            .stays
            .iter()
            .filter(|stay| stay.lat.is_some() && stay.lon.is_some())
            .map(|stay| format!("living/stays/{}", stay.id))
            .collect();
        for at in stays {
            let drafts = |name: &str| self.drafts.contains_key(&format!("{at}/{name}"));
            let is_named = !self.text(&format!("{at}/place")).is_empty();
            if !drafts("lat") && !drafts("lon") && (drafts("place") || !is_named) {
                self.settle(&at);
            }
        }
    }

    /// Takes the position that stands there, under the name that was kept.
    fn settle(&mut self, at: &str) {
        let kept = self.drafts.remove(&format!("{at}/place"));
        let figure = |name: &str| self.number(&format!("{at}/{name}"));
        let (Some(lat), Some(lon)) = (figure("lat"), figure("lon")) else {
            return;
        };
        self.take_position(at, lat, lon);
        if let Some(kept) = kept {
            self.place(&format!("{at}/place"), Held::Text(kept.text));
        }
    }

    fn put_place(
        &mut self,
        at: &str,
        name: &str,
        (lat, lon): (f64, f64),
        elevation_m: Option<f64>,
        clock: Clock,
    ) {
        self.place(&format!("{at}/place"), Held::Text(name.to_owned()));
        for (field, value) in [
            ("lat", Some(lat)),
            ("lon", Some(lon)),
            ("elevation_m", elevation_m),
            ("utc_offset_h", Some(clock.standard_h)),
        ] {
            self.place(&format!("{at}/{field}"), Held::Number(value));
        }
        self.put_summer(at, clock);
        for field in FIELDS {
            self.forget(&format!("{at}/{field}"));
        }
        let clock = format!("{at}/utc_offset_h");
        self.drafts.remove(&clock);
        self.guesses.insert(clock);
    }

    /// Lets a clock that is guessed from a longitude follow it while that is typed on; a town, whose height is known, has its own.
    pub(super) fn guess_clock(&mut self, at: &str) {
        let (clock, height) = (format!("{at}/utc_offset_h"), format!("{at}/elevation_m"));
        let Some(lon) = self.number(&format!("{at}/lon")) else {
            return;
        };
        if self.guesses.contains(&clock) && self.number(&height).is_none() {
            let guess = Clock::of_longitude(lon);
            self.place(&clock, Held::Number(Some(guess.standard_h)));
            self.put_summer(at, guess);
        }
    }

    fn put_summer(&mut self, at: &str, clock: Clock) {
        let (from, to) = clock.summer;
        self.place(
            &format!("{at}/summer_h"),
            Held::Number(Some(clock.forward_h)),
        );
        for (field, month) in [("summer_from", from), ("summer_to", to)] {
            self.place(&format!("{at}/{field}"), Held::Choice(usize::from(month)));
        }
    }

    /// Neither a guess nor a draft stands at a path any longer.
    fn forget(&mut self, path: &str) {
        self.guesses.remove(path);
        self.drafts.remove(path);
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
        plan.guesses
            .extend(FIELDS.map(|field| format!("{HOME}/{field}")));
        plan
    }

    const PLACE: &str = "living/place";
    const FIGURES: [&str; 2] = ["living/lat", "living/lon"];
    const CLOCK: &str = "living/utc_offset_h";

    fn are_guesses(plan: &Plan) -> [bool; 4] {
        let [lat, lon] = FIGURES;
        [PLACE, lat, lon, CLOCK].map(|path| plan.guesses.contains(path))
    }

    #[test]
    fn a_town_brings_position_height_and_clock() {
        let towns = towns();
        let mut plan = guessed();
        plan.take_town(HOME, towns.named("auckland", (48.1, -1.7)).unwrap());
        let living = &plan.living;
        assert_eq!(living.place, "Auckland");
        assert!((living.lat + 36.85).abs() < 0.06 && (living.lon - 174.75).abs() < 0.06);
        assert_eq!((living.utc_offset_h, living.summer_h), (12.0, 1.0));
        assert_eq!((living.summer_from, living.summer_to), (10, 3));
        assert!(living.elevation_m.is_some());
        assert_eq!(are_guesses(&plan), [false, false, false, true]);
        // A position after it has no height, and the clock of its longitude.
        plan.take_position(HOME, -54.8, -68.3);
        let living = &plan.living;
        assert_eq!(living.place, "54.8° S, 68.3° W");
        assert_eq!((living.elevation_m, living.utc_offset_h), (None, -5.0));
        assert_eq!((living.summer_h, living.summer_from), (0.0, 0));
    }

    #[test]
    fn an_unknown_name_stays_a_guess_until_its_position_is_known() {
        let mut plan = guessed();
        plan.take_unknown_place(HOME, " Ghent ", "“Ghent” isn't known.".into());
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

    #[test]
    fn a_stay_takes_a_town_a_position_or_a_name_that_waits_for_one_and_gives_it_back() {
        let towns = towns();
        let mut plan = guessed();
        plan.living.stays.push(crate::plan::Stay {
            id: 7,
            from: "2027-06-01".into(),
            to: "2027-06-30".into(),
            ..crate::plan::Stay::default()
        });
        let (at, before) = ("living/stays/7", plan.clone());
        plan.take_town(at, towns.named("auckland", (48.1, -1.7)).unwrap());
        let stay = &plan.living.stays[0];
        assert_eq!(
            (stay.place.as_str(), stay.utc_offset_h),
            ("Auckland", Some(12.0))
        );
        assert_eq!(
            (stay.summer_h, stay.summer_from, stay.summer_to),
            (1.0, 10, 3)
        );
        assert!(plan.guesses.contains("living/stays/7/utc_offset_h"));
        assert_eq!(plan.living.place, "Rennes");
        plan.take_unknown_place(at, "Old quay", "“Old quay” isn't known.".into());
        let faults = crate::assess(&plan).unwrap_err();
        assert!(
            faults
                .iter()
                .any(|fault| fault.field == "living/stays/7/place")
        );
        // Its position counts as soon as both figures stand there.
        plan.drafts.clear();
        plan.leave_place(at);
        assert_eq!(plan, before);
        plan.take_unknown_place(at, "Old quay", "“Old quay” isn't known.".into());
        plan.living.stays[0].lat = Some(51.2);
        plan.settle_place();
        assert_eq!(plan.drafts.len(), 1);
        plan.living.stays[0].lon = Some(3.2);
        plan.settle_place();
        let stay = &plan.living.stays[0];
        assert_eq!(
            (stay.place.as_str(), stay.lat, stay.utc_offset_h),
            ("Old quay", Some(51.2), Some(0.0))
        );
        assert!(plan.drafts.is_empty());
    }

    #[test]
    fn a_guessed_clock_follows_the_longitude_that_is_typed_on() {
        let mut plan = guessed();
        plan.take_unknown_place(HOME, "Old quay", "“Old quay” isn't known.".into());
        // As it is typed: a "1" is a longitude already.
        for (path, value) in [("lat", -36.85), ("lon", 1.0), ("lon", 174.75)] {
            let path = format!("{HOME}/{path}");
            plan.put(&path, Held::Number(Some(value)));
            plan.guesses.remove(&path);
            plan.settle_place();
        }
        assert_eq!(
            (plan.living.place.as_str(), plan.living.utc_offset_h),
            ("Old quay", 12.0)
        );
        // Of a town it is the town's own, whatever is corrected later.
        plan.take_town(HOME, towns().named("rennes", (48.1, -1.7)).unwrap());
        plan.put("living/lon", Held::Number(Some(-1.65)));
        assert_eq!((plan.living.utc_offset_h, plan.living.summer_h), (1.0, 1.0));
    }
}
