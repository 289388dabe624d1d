//! Which fields are guesses: one rule for the page, the count in a report and the list.
//!
//! A field whose value the user has not touched is a guess; its path stands in [`Plan::guesses`]. A new plan, and each
//! row that is added to one, starts with every default marked. A guess counts only while the plan uses its field.

use super::{
    BatteryPlace, CableExit, Candidate, ControllerKind, Goes, Held, LinkKind, Linked, List, Load,
    Obstacle, Opening, Plan, Second, Shape, Supply, Terminals, Way,
};
use serde_json::Value;

/// The twelve outdoor temperatures: one guess, for they come from one table.
const OUTDOORS: &str = "living/outdoors_c";

/// Stands for every field of a part or row.
const ALL: &str = "/*";

/// Parts of a plan whose defaults are guesses; rows come on top.
const PARTS: [&str; 9] = [
    "plan",
    "meter",
    "inverter",
    "living",
    "sun",
    "alternator",
    "shore",
    "locker",
    "wiring",
];

/// Whether a field can be a guess, and whether it counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Role {
    /// Never a guess: a name, a unit, something left empty that then is not assumed.
    Stated,
    /// A guess that waits: the plan does not use the field now.
    Idle,
    /// A guess that counts.
    Used,
}

fn used(holds: bool) -> Role {
    if holds { Role::Used } else { Role::Idle }
}

/// The guess that a field belongs to: its own path, or that of the group that is guessed as one.
pub fn guess_of(path: &str) -> &str {
    if path.starts_with("living/outdoors_c/") {
        OUTDOORS
    } else {
        path
    }
}

fn of_load(load: &Load, name: &str) -> Role {
    let timed = load.way != Way::Always;
    match name {
        // Empty: as far as the others, whose length is a guess of its own.
        "name" | "draw_unit" | "cable_mm" | "on_bars" => Role::Stated,
        "hours" => used(load.way == Way::Hours),
        "runs" | "minutes" => used(load.way == Way::Runs),
        "set_c" | "ref_c" | "duty" | "air" => used(load.way == Way::Thermostat),
        "when" => used(timed),
        "from" | "to" => used(timed && load.from != load.to),
        _ => Role::Used,
    }
}

fn of_candidate(bank: &Candidate, name: &str, measured: bool) -> Role {
    match name {
        "depth" => used(bank.depth.is_none()),
        // Empty or nothing: not assumed, or the same as the maker's figure.
        "later_years" | "max_discharge_a" | "max_charge_a" | "cranking_a" | "short_circuit_a"
        | "price" | "case_within_mm" => Role::Stated,
        "reserve_min" => used(bank.second == Second::Reserve),
        "second_ah" | "second_h" => used(bank.second == Second::Capacity),
        // A standard case says its three measures.
        "case_name" => used(!bank.case_name.is_empty()),
        "case_mm/1" | "case_mm/2" | "case_mm/3" => used(bank.case_name.is_empty()),
        "turning" | "terminals" => used(measured),
        "terminal_in_mm" | "terminal_wide_mm" => {
            used(measured && bank.terminals != Terminals::Anywhere)
        }
        _ => Role::Used,
    }
}

fn of_obstacle(thing: &Obstacle, name: &str, measured: bool) -> Role {
    let (weak, moves) = (thing.shape == Shape::WeakFloor, thing.movable);
    let within = moves && thing.goes == Goes::Within;
    let holds = match name {
        "name" | "travel_mm/1" | "travel_mm/2" | "travel_mm/3" => return Role::Stated,
        "bears_kg" if thing.bears_kg.is_none() => return Role::Stated,
        "bears_kg" => weak || thing.carries,
        "at_mm/3" | "size_mm/3" | "movable" | "carries" => !weak,
        "falls" => matches!(thing.shape, Shape::Slope | Shape::Arch),
        "goes" => moves,
        "place_at_mm/1" | "place_at_mm/2" | "place_at_mm/3" => within,
        "place_mm/1" | "place_mm/2" | "place_mm/3" => within,
        _ => true,
    };
    used(measured && holds)
}

impl Plan {
    fn needs_inverter(&self) -> bool {
        self.loads.iter().any(|load| load.supply == Supply::Ac)
    }

    fn has_strings(&self) -> bool {
        self.candidates.iter().any(|bank| bank.parallel > 1.0)
    }

    fn role_in_living(&self, name: &str) -> Role {
        match name {
            // Empty: the height is the climate table's, which the guess of the temperatures covers.
            "starts" | "elevation_m" => Role::Stated,
            "swing_k" => used(self.living.swing_k.is_none()),
            "battery_c" => used(self.living.battery_place == BatteryPlace::Own),
            "outdoors_c" => used(self.living.outdoors_c.iter().any(Option::is_none)),
            _ if name.starts_with("outdoors_c/") => Role::Stated,
            _ => Role::Used,
        }
    }

    fn role_in_sun(&self, name: &str) -> Role {
        let (sun, tracks) = (&self.sun, self.sun.controller == ControllerKind::Tracking);
        let holds = match name {
            "fitted" => return Role::Used,
            "watt_price" | "panel_voc" | "controller_max_v" | "coldest_c" => return Role::Stated,
            // The table's figures: how the place compares with them is the guess.
            _ if name.starts_with("peak_sun_hours") => return Role::Stated,
            "in_series" => sun.panel_voc.is_some() && sun.in_series.is_some(),
            "controller_efficiency" => tracks,
            "panel_vmp" => !tracks,
            _ => true,
        };
        used(sun.fitted && holds)
    }

    fn role_in_alternator(&self, name: &str) -> Role {
        let (engine, relay) = (&self.alternator, self.alternator.link == LinkKind::Relay);
        let holds = match name {
            "fitted" => return Role::Used,
            "dcdc_a" | "dcdc_efficiency" | "share" => !relay,
            "link_mohm" => relay,
            _ => true,
        };
        used(engine.fitted && holds)
    }

    fn role_in_locker(&self, name: &str) -> Role {
        let locker = &self.locker;
        let holds = match name {
            // Nothing of the kind until it is said: no bend, no vent gap, no other battery.
            "measured" | "bend_mm" | "vent_gap_mm" | "hold_gap_mm" => return Role::Stated,
            _ if name.starts_with("other/") => return Role::Stated,
            "terminal_gap_mm" => locker.exit == CableExit::Lug,
            "bar_mm" => locker.exit == CableExit::Bar,
            "beside_mm" => return Role::Stated,
            "opening_at_mm/1" | "opening_at_mm/2" | "opening_mm/1" | "opening_mm/2" => {
                locker.opening != Opening::WholeTop
            }
            _ => true,
        };
        used(locker.measured && holds)
    }

    fn role_in_wiring(&self, name: &str) -> Role {
        let strings = self.has_strings();
        let bar = strings && self.wiring.link != Linked::Cable;
        match name {
            "inverter_mm" => used(self.needs_inverter()),
            "sun_mm" | "panels_mm" => used(self.sun.fitted),
            "engine_mm" | "engine_space" => used(self.alternator.fitted),
            "shore_mm" => used(self.shore.fitted),
            // Empty: a cable that is to be bought; a last string like the others.
            "bank_mm2" | "inverter_mm2" | "sun_mm2" | "engine_mm2" | "shore_mm2" | "loads_mm2"
            | "last_years" | "last_v" | "converter_a" => Role::Stated,
            "converter_mm" => used(self.wiring.converter_a.is_some()),
            "main_least_mm2" => used(self.wiring.main_least_mm2.is_none()),
            "take_off" | "link" | "link_mm" | "join_full" | "join_low" => used(strings),
            "link_wide_mm" | "link_thick_mm" | "painted" => used(bar),
            "bar_state" => used(bar && !self.wiring.painted),
            _ => Role::Used,
        }
    }

    /// The role of the field of such a name in such a part or row.
    fn role(&self, at: &str, name: &str) -> Role {
        let id = || at.rsplit('/').next().and_then(|id| id.parse::<u32>().ok());
        let measured = self.locker.measured;
        match at {
            "plan" => match name {
                "name" | "units" | "currency" => Role::Stated,
                _ => Role::Used,
            },
            "meter" if name == "used" => Role::Stated,
            "meter" => used(self.meter.used),
            "inverter" => match name {
                "rated_efficiency" => Role::Stated,
                _ => used(self.needs_inverter()),
            },
            "living" => self.role_in_living(name),
            "sun" => self.role_in_sun(name),
            "alternator" => self.role_in_alternator(name),
            "shore" => match name {
                "fitted" => Role::Used,
                "fuel_l_h" => Role::Stated,
                _ => used(self.shore.fitted),
            },
            "locker" => self.role_in_locker(name),
            "wiring" => self.role_in_wiring(name),
            // How far inputs may be out describes the doubt, not the rig.
            "doubts" => Role::Stated,
            _ if at.starts_with("loads/") => {
                let row = self.loads.iter().find(|row| Some(row.id) == id());
                row.map_or(Role::Stated, |load| of_load(load, name))
            }
            _ if at.starts_with("candidates/") => {
                let row = self.candidates.iter().find(|row| Some(row.id) == id());
                row.map_or(Role::Stated, |bank| of_candidate(bank, name, measured))
            }
            _ if at.starts_with("sun/panels/") => {
                let row = self.sun.panels.iter().find(|row| Some(row.id) == id());
                row.map_or(Role::Stated, |panel| match name {
                    "azimuth" => used(self.sun.fitted && panel.tilt != 0.0),
                    "shade_from" | "shade_to" => used(self.sun.fitted && panel.shading > 0.0),
                    _ => used(self.sun.fitted),
                })
            }
            _ if at.starts_with("locker/obstacles/") => {
                let row = self
                    .locker
                    .obstacles
                    .iter()
                    .find(|row| Some(row.id) == id());
                row.map_or(Role::Stated, |thing| of_obstacle(thing, name, measured))
            }
            _ if at.starts_with("living/stays/") => {
                let row = self.living.stays.iter().find(|row| Some(row.id) == id());
                row.map_or(Role::Stated, |stay| match name {
                    "kind" | "from" | "to" => Role::Used,
                    "utc_offset_h" if stay.lat.is_some() => Role::Used,
                    _ => Role::Stated,
                })
            }
            _ if self.field(&format!("{at}/{name}")).is_some() => Role::Used,
            _ => Role::Stated,
        }
    }

    /// The names under which the fields of a part or a row are guessed.
    fn names_of_guesses(&self, at: &str) -> Vec<String> {
        let paths = self.field_paths(at);
        let names = paths
            .iter()
            .filter_map(|path| path.get(at.len() + 1..))
            .map(String::from);
        let own = match at {
            "living" => Some("outdoors_c"),
            _ if at.starts_with("loads/") => Some("when"),
            _ => None,
        };
        let names = names.chain(own.map(String::from));
        names
            .filter(|name| self.role(at, name) != Role::Stated)
            .collect()
    }

    /// Marks every default of a part or a row as a guess.
    pub fn guess_all_of(&mut self, at: &str) {
        let names = self.names_of_guesses(at);
        self.guesses
            .extend(names.iter().map(|name| format!("{at}/{name}")));
    }

    /// Marks every default of a row that was just added as a guess. That there is one of it was said by adding it.
    pub fn guess_new_row(&mut self, at: &str) {
        self.guess_all_of(at);
        self.guesses.remove(&format!("{at}/count"));
    }

    /// Marks every default of the plan as a guess.
    pub fn guess_everything(&mut self) {
        for at in self.parts_and_rows() {
            self.guess_all_of(&at);
        }
    }

    /// Marks what a plan file leaves out as guesses: each part that it does not hold, and the kind of rig. A file that
    /// says what kind of rig it is for and which fields are guesses has said it all.
    pub(crate) fn guess_left_out(&mut self, read: &Value) {
        let has = |name: &str| read.get(name).is_some();
        if !has("rig") {
            self.guesses.insert("plan/rig".into());
        }
        if has("rig") && has("guesses") {
            return;
        }
        for at in self.parts_and_rows() {
            let part = at.split('/').next().unwrap_or_default();
            if part != "plan" && !has(part) {
                self.guess_all_of(&at);
            }
        }
    }

    /// The guesses for a file or a link: a part or row of which most defaults are guesses stands as
    /// `loads/3/*`, with those that are none behind it: `loads/3/*-draw-hours`.
    pub(crate) fn guesses_in_short(&self) -> Vec<String> {
        let mut short = Vec::new();
        let mut rest = self.guesses.clone();
        for at in self.parts_and_rows() {
            let all = self.names_of_guesses(&at);
            let path = |name: &String| format!("{at}/{name}");
            let but = all.iter().filter(|name| !rest.contains(&path(name)));
            let but: Vec<String> = but.map(|name| format!("-{name}")).collect();
            if 2 * but.len() < all.len() {
                for name in &all {
                    rest.remove(&path(name));
                }
                short.push(format!("{at}{ALL}{}", but.concat()));
            }
        }
        short.extend(rest);
        short
    }

    /// Writes out the guesses of a file that stand in short.
    pub(crate) fn write_out_guesses(&mut self) {
        let short = self.guesses.clone();
        for path in short {
            if let Some((at, but)) = path.split_once(ALL) {
                self.guesses.remove(&path);
                self.guess_all_of(at);
                for name in but.split('-') {
                    self.guesses.remove(&format!("{at}/{name}"));
                }
            }
        }
    }

    /// The paths of all parts and rows whose defaults are guesses.
    fn parts_and_rows(&self) -> Vec<String> {
        let rows = List::ALL.into_iter().flat_map(|list| {
            let ids = self.ids(list).into_iter();
            ids.map(move |id| format!("{}/{id}", list.path()))
        });
        PARTS.map(String::from).into_iter().chain(rows).collect()
    }

    /// Marks the fields of one row as guesses where those of another are: for a copy.
    pub fn guess_as(&mut self, at: &str, other: &str) {
        let prefix = format!("{other}/");
        let names = self
            .guesses
            .iter()
            .filter_map(|path| path.strip_prefix(&prefix));
        let copied: Vec<String> = names.map(|name| format!("{at}/{name}")).collect();
        self.guesses.extend(copied);
    }

    /// Whether a guess counts: the plan uses its field now.
    fn counts(&self, path: &str) -> bool {
        let at = super::part_of(path);
        let name = path.get(at.len() + 1..).unwrap_or("");
        !name.is_empty() && self.role(at, name) == Role::Used
    }

    /// The guesses that count, by their paths.
    pub fn open_guesses(&self) -> impl Iterator<Item = &str> {
        let all = self.guesses.iter().map(String::as_str);
        all.filter(|path| self.counts(path))
    }

    /// Whether the field at a path holds a guess.
    pub fn is_guess(&self, path: &str) -> bool {
        self.guesses.contains(guess_of(path))
    }

    /// The field to look at for a guess: the month that matters, where twelve months are one guess.
    pub fn field_of_guess(&self, path: &str) -> String {
        if path == OUTDOORS {
            format!("{OUTDOORS}/{}", self.living.month.clamp(1, 12))
        } else {
            path.to_owned()
        }
    }

    /// Accepts what stands at a path: it is no longer a guess.
    pub fn accept(&mut self, path: &str) {
        self.guesses.remove(guess_of(path));
    }

    /// Notes that the field at a path was changed by the user: it is no longer a guess. Of a group that is guessed as
    /// one, every field must have been.
    pub fn touch(&mut self, path: &str) {
        if guess_of(path) != OUTDOORS || self.living.outdoors_c.iter().all(Option::is_some) {
            self.accept(path);
        }
        // A chosen standard case brings its three measures.
        if let Some(row) = path.strip_suffix("/case_name") {
            for axis in 1..=3 {
                self.guesses.remove(&format!("{row}/case_mm/{axis}"));
            }
        }
    }

    /// Puts a value that a choice implies where a guess stands, and leaves it a guess; what the user gave stays.
    pub(super) fn imply(&mut self, path: &str, held: Held) {
        if self.guesses.contains(path) {
            self.place(path, held);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::link;
    use crate::plan::{Panel, Stretch};

    fn plan() -> Plan {
        let mut plan = Plan {
            loads: vec![Load {
                id: 1,
                ..Load::default()
            }],
            candidates: vec![Candidate {
                id: 11,
                ..Candidate::default()
            }],
            ..Plan::default()
        };
        plan.guess_everything();
        plan
    }

    fn counts(plan: &Plan, path: &str) -> bool {
        plan.open_guesses().any(|open| open == path)
    }

    #[test]
    fn every_default_that_a_new_plan_uses_is_a_guess() {
        let plan = plan();
        for path in [
            "plan/volts",
            "plan/rig",
            "plan/wanted_days",
            "loads/1/draw",
            "loads/1/when",
            "living/outdoors_c",
            "living/utc_offset_h",
            "living/month",
            "living/rhythm/1/days",
            "sun/fitted",
            "sun/panels/1/tilt",
            "alternator/fitted",
            "shore/fitted",
            "candidates/11/mass_kg",
            "candidates/11/case_mm/1",
            "candidates/11/depth",
            "wiring/bank_mm",
            "wiring/air_c",
        ] {
            assert!(counts(&plan, path), "{path}");
        }
        // Every guess that counts stands at a field of the page, but for two of several fields each.
        for path in plan.open_guesses() {
            let known = plan.field(path).is_some();
            assert!(
                known || path == OUTDOORS || path.ends_with("/when"),
                "{path}"
            );
        }
        for path in [
            "plan/name",
            "plan/units",
            "doubts/use_share",
            "candidates/11/price",
        ] {
            assert!(!plan.is_guess(path), "{path}");
        }
    }

    #[test]
    fn what_the_plan_does_not_use_waits_until_it_does() {
        let set = |change: fn(&mut Plan)| {
            let mut plan = plan();
            change(&mut plan);
            plan
        };
        let cases: [(&str, fn(&mut Plan)); 11] = [
            ("meter/amount", |plan| plan.meter.used = true),
            ("inverter/rated_w", |plan| plan.loads[0].supply = Supply::Ac),
            ("wiring/inverter_mm", |plan| {
                plan.loads[0].supply = Supply::Ac
            }),
            ("living/battery_c", |plan| {
                plan.living.battery_place = BatteryPlace::Own;
            }),
            ("shore/charger_a", |plan| plan.shore.fitted = true),
            ("locker/inside_mm/1", |plan| plan.locker.measured = true),
            ("candidates/11/turning", |plan| plan.locker.measured = true),
            ("alternator/link_mohm", |plan| {
                plan.alternator.link = LinkKind::Relay;
            }),
            ("sun/panels/1/azimuth", |plan| {
                plan.sun.panels[0].tilt = 30.0
            }),
            ("wiring/take_off", |plan| plan.candidates[0].parallel = 2.0),
            ("loads/1/duty", |plan| plan.loads[0].way = Way::Thermostat),
        ];
        for (path, change) in cases {
            assert!(plan().is_guess(path), "{path} is marked");
            assert!(!counts(&plan(), path), "{path} waits");
            assert!(counts(&set(change), path), "{path} counts");
        }
        // And what is no longer used is no longer counted.
        for (path, change) in [
            (
                "sun/losses",
                (|plan| plan.sun.fitted = false) as fn(&mut Plan),
            ),
            ("sun/panels/1/watts", |plan| plan.sun.fitted = false),
            ("wiring/engine_mm", |plan| plan.alternator.fitted = false),
            ("alternator/hours", |plan| plan.alternator.fitted = false),
        ] {
            assert!(
                counts(&plan(), path) && !counts(&set(change), path),
                "{path}"
            );
        }
    }

    #[test]
    fn touching_every_guess_leaves_none() {
        let mut plan = plan();
        let mut count = plan.open_guesses().count();
        loop {
            let first = plan.open_guesses().next().map(String::from);
            let Some(path) = first else { break };
            plan.accept(&plan.field_of_guess(&path));
            assert_eq!(plan.open_guesses().count(), count - 1, "{path}");
            count -= 1;
        }
        assert_eq!(count, 0);
        // A row that is added brings its own; its name and number were said by adding it.
        plan.sun.panels.push(Panel {
            id: 30,
            ..Panel::default()
        });
        plan.guess_new_row("sun/panels/30");
        assert!(counts(&plan, "sun/panels/30/watts"));
        plan.loads.push(Load {
            id: 31,
            ..Load::default()
        });
        plan.guess_new_row("loads/31");
        assert!(counts(&plan, "loads/31/draw") && !counts(&plan, "loads/31/count"));
        plan.living.rhythm.push(Stretch {
            id: 32,
            ..Stretch::default()
        });
        plan.guess_new_row("living/rhythm/32");
        assert!(counts(&plan, "living/rhythm/32/days"));
    }

    #[test]
    fn twelve_temperatures_are_one_guess_until_all_are_typed_or_one_is_accepted() {
        let mut plan = plan();
        assert!(plan.is_guess("living/outdoors_c/7"));
        for month in 1..=12 {
            assert!(counts(&plan, OUTDOORS), "{month}");
            let path = format!("living/outdoors_c/{month}");
            plan.put(&path, Held::Number(Some(5.0)));
            plan.touch(&path);
        }
        assert!(!counts(&plan, OUTDOORS));
        let mut plan = self::plan();
        plan.accept("living/outdoors_c/7");
        assert!(!counts(&plan, OUTDOORS));
    }

    #[test]
    fn a_file_keeps_its_guesses_and_what_it_leaves_out_is_guessed() {
        let plan = plan();
        let again = link::from_text(&link::to_text(&plan)).unwrap();
        assert_eq!(again.guesses, plan.guesses, "a new plan, through a file");
        let mut some = plan.clone();
        some.accept("loads/1/draw");
        let short = some.guesses_in_short();
        assert!(short.contains(&"wiring/*".into()) && short.contains(&"loads/1/*-draw".into()));
        let again = link::from_link(&link::to_fragment(&some)).unwrap();
        assert_eq!(
            again.guesses, some.guesses,
            "with one touched, through a link"
        );
        let mut told = plan.clone();
        told.guesses.clear();
        let again = link::from_text(&link::to_text(&told)).unwrap();
        assert_eq!(again.open_guesses().count(), 0);
        // An older file has no kind of rig, and no wiring where nobody touched it.
        let mut old = link::to_value(&told);
        old.as_object_mut().unwrap().remove("rig");
        let open = |value: &Value| {
            let plan = link::from_value(value.clone()).unwrap();
            plan.open_guesses().map(String::from).collect::<Vec<_>>()
        };
        let found = open(&old);
        assert!(found.iter().any(|path| path == "plan/rig"));
        assert!(found.iter().any(|path| path == "wiring/bank_mm"));
        let others = found.iter().filter(|path| !path.starts_with("wiring/"));
        assert_eq!(others.collect::<Vec<_>>(), ["plan/rig"]);
        old["guesses"] = ["loads/1/draw"].into();
        assert!(open(&old).iter().any(|path| path == "loads/1/draw"));
    }
}
