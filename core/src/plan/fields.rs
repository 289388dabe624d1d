//! The plan by path: what stands at `loads/3/draw`, what it is called, what it measures, how it is changed.
//!
//! One line a field. The page draws its fields from these lines; a guess, a draft, a fault and a finding name a field by
//! the same path. A part of the plan stands by its name, a row of a list by its id, an element of a plain list by its
//! place, counted from 1.

use super::{
    Air, Alternator, BarState, BatteryPlace, Bundle, CableExit, Candidate, Chemistry, Conductor,
    ControllerKind, DayKind, Doubts, DrawUnit, Falls, Fixing, Goes, Idle, Insulation, Inverter,
    Leg, LinkKind, Linked, Living, Load, Locker, Mains, Material, Meter, MeterUnit, Obstacle,
    Opening, Panel, Plan, Rig, Route, Second, Shape, Shore, Stay, Stretch, Sun, Sunniness, Supply,
    TakeOff, Terminals, Thing, Thread, Turning, Units, Way, Wiring,
};
use crate::units::Quantity;

/// What a field holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Held {
    /// A number in the plan's own unit; none where the field may stand empty and does.
    Number(Option<f64>),
    /// Text, or a time by the clock.
    Text(String),
    /// A tick.
    Tick(bool),
    /// Which of the choices.
    Choice(usize),
}

/// What a field is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A number.
    Number(Quantity),
    /// A number that may stand empty.
    Open(Quantity),
    /// Text.
    Text,
    /// A time by the clock.
    Clock,
    /// A tick and its words.
    Tick,
    /// A choice among words.
    Choice(&'static [&'static str]),
}

/// A field of the plan.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Field {
    /// Its name in its part.
    pub name: &'static str,
    /// What it is called when spoken; the words of a tick.
    pub called: &'static str,
    /// What it is.
    pub kind: Kind,
}

/// A place for a value.
trait Slot {
    fn held(&self) -> Held;
    /// Takes a value of its own kind; leaves everything as it is for another.
    fn put(&mut self, held: Held);
}

impl Slot for f64 {
    fn held(&self) -> Held {
        Held::Number(Some(*self))
    }
    fn put(&mut self, held: Held) {
        if let Held::Number(Some(value)) = held {
            *self = value;
        }
    }
}

impl Slot for Option<f64> {
    fn held(&self) -> Held {
        Held::Number(*self)
    }
    fn put(&mut self, held: Held) {
        if let Held::Number(value) = held {
            *self = value;
        }
    }
}

impl Slot for String {
    fn held(&self) -> Held {
        Held::Text(self.clone())
    }
    fn put(&mut self, held: Held) {
        if let Held::Text(text) = held {
            *self = text;
        }
    }
}

impl Slot for bool {
    fn held(&self) -> Held {
        Held::Tick(*self)
    }
    fn put(&mut self, held: Held) {
        match held {
            Held::Tick(on) => *self = on,
            Held::Choice(at) => *self = at == 1,
            _ => {}
        }
    }
}

/// A month, 1 to 12, after a choice that is none.
impl Slot for u8 {
    fn held(&self) -> Held {
        Held::Choice(usize::from(*self))
    }
    fn put(&mut self, held: Held) {
        if let Held::Choice(at) = held {
            *self = u8::try_from(at).ok().filter(|at| *at <= 12).unwrap_or(0);
        }
    }
}

macro_rules! choices {
    ($($choice:ty),+ $(,)?) => { $(
        impl Slot for $choice {
            fn held(&self) -> Held {
                Held::Choice(Self::ALL.iter().position(|choice| choice == self).unwrap_or(0))
            }
            fn put(&mut self, held: Held) {
                if let Held::Choice(at) = held
                    && let Some(choice) = Self::ALL.get(at)
                {
                    *self = *choice;
                }
            }
        }
    )+ };
}

choices!(
    Air,
    BatteryPlace,
    CableExit,
    Falls,
    Goes,
    Terminals,
    Opening,
    Shape,
    Thing,
    Chemistry,
    ControllerKind,
    DayKind,
    DrawUnit,
    Idle,
    LinkKind,
    MeterUnit,
    Second,
    Sunniness,
    Supply,
    Turning,
    Units,
    Way,
    Insulation,
    Leg,
    Rig,
    Mains,
    BarState,
    Bundle,
    Conductor,
    Fixing,
    Material,
    Linked,
    TakeOff,
    Thread,
);

/// A part of the plan: its fields by name.
trait Part {
    fn fields(&self) -> &'static [Field];
    fn slot(&self, name: &str) -> Option<&dyn Slot>;
    fn slot_mut(&mut self, name: &str) -> Option<&mut dyn Slot>;
}

macro_rules! part {
    ($part:ident { $($name:literal, $called:literal, $kind:expr => ($($place:tt)+)),+ $(,)? }) => {
        impl Part for $part {
            fn fields(&self) -> &'static [Field] {
                const FIELDS: &[Field] = &[$(Field { name: $name, called: $called, kind: $kind }),+];
                FIELDS
            }
            fn slot(&self, name: &str) -> Option<&dyn Slot> {
                match name {
                    $($name => Some(&self.$($place)+),)+
                    _ => None,
                }
            }
            fn slot_mut(&mut self, name: &str) -> Option<&mut dyn Slot> {
                match name {
                    $($name => Some(&mut self.$($place)+),)+
                    _ => None,
                }
            }
        }
    };
}

use Kind::{Choice, Clock, Number, Open, Text, Tick};
use Quantity as Q;

macro_rules! months {
    ($($first:literal)?) => {
        &[
            $($first,)?
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ]
    };
}

/// Months by their names, January first.
pub(crate) const MONTHS: &[&str] = months!();
/// The month that matters: the hardest, or one of the year.
const MATTERS: &[&str] = months!("the hardest");
/// An end of summer time.
const SUMMER: &[&str] = months!("no month");
const DAYS: &[&str] = &["parked", "travelling", "hooked up", "away"];

part!(Plan {
    "name", "name of the plan", Text => (name),
    "units", "units", Choice(&["mm, °C, kg", "in, °F, lb"]) => (units),
    "rig", "kind of rig", Choice(&["van", "boat", "trailer", "building"]) => (rig),
    "currency", "money sign", Text => (currency),
    "volts", "voltage of the rig", Number(Q::Voltage) => (volts),
    "wanted_days", "days wanted", Number(Q::Days) => (wanted_days),
});

part!(Load {
    "name", "what it is", Text => (name),
    "count", "how many", Number(Q::Count) => (count),
    "draw", "draw of one", Number(Q::Power) => (draw),
    "draw_unit", "unit of the draw", Choice(&["W", "A"]) => (draw_unit),
    "surge", "starting draw as a multiple", Number(Q::Times) => (surge),
    "supply", "supply", Choice(&["from the bank", "by the inverter"]) => (supply),
    "way", "way of use", Choice(&["always on", "for hours", "in runs", "by thermostat"]) => (way),
    "hours", "hours a day", Number(Q::Hours) => (hours),
    "runs", "runs a day", Number(Q::Count) => (runs),
    "minutes", "minutes a run", Number(Q::Minutes) => (minutes),
    "set_c", "temperature it keeps", Number(Q::Temperature) => (set_c),
    "ref_c", "temperature at which that holds", Number(Q::Temperature) => (ref_c),
    "duty", "share of the time that it runs", Number(Q::Share) => (duty),
    "air", "air that it feels", Choice(&["inside", "outside"]) => (air),
    "from", "start of its window", Clock => (from),
    "to", "end of its window", Clock => (to),
    "cable_mm", "from the load panel to it", Open(Q::Length) => (cable_mm),
    "on_bars", "where its circuit begins", Choice(&["the load panel", "the bus bars"]) => (on_bars),
});

part!(Meter {
    "used", "I have measured a day; go by the meter.", Tick => (used),
    "amount", "what a day uses", Number(Q::Number) => (amount),
    "unit", "unit of the meter", Choice(&["Ah", "Wh"]) => (unit),
});

part!(Inverter {
    "rated_w", "continuous rating", Number(Q::Power) => (rated_w),
    "surge_w", "short-time rating", Number(Q::Power) => (surge_w),
    "idle_w", "its own draw", Number(Q::Power) => (idle_w),
    "idle", "when it draws", Choice(&["while something runs on it", "day and night"]) => (idle),
    "peak_efficiency", "best efficiency", Number(Q::Share) => (peak_efficiency),
    "rated_efficiency", "efficiency at rated power", Open(Q::Share) => (rated_efficiency),
    "cutoff_v", "cut-out voltage for a 12 V bank", Number(Q::Voltage) => (cutoff_v),
    "mains", "voltage that it gives", Choice(&["230 V", "120 V"]) => (mains),
});

part!(Stretch {
    "kind", "kind of day", Choice(DAYS) => (kind),
    "days", "how many days", Number(Q::Count) => (days),
});

part!(Stay {
    "kind", "kind of day", Choice(DAYS) => (kind),
    "from", "first day", Text => (from),
    "to", "last day", Text => (to),
    "place", "its own place", Text => (place),
    "lat", "latitude", Open(Q::Latitude) => (lat),
    "lon", "longitude", Open(Q::Longitude) => (lon),
    "elevation_m", "height above the sea", Open(Q::Height) => (elevation_m),
    "utc_offset_h", "hours ahead of universal time", Open(Q::Number) => (utc_offset_h),
    "summer_h", "hours that summer time adds", Number(Q::Number) => (summer_h),
    "summer_from", "first month of summer time", Choice(SUMMER) => (summer_from),
    "summer_to", "last month of summer time", Choice(SUMMER) => (summer_to),
});

part!(Living {
    "place", "place", Text => (place),
    "lat", "latitude", Number(Q::Latitude) => (lat),
    "lon", "longitude", Number(Q::Longitude) => (lon),
    "elevation_m", "height above the sea", Open(Q::Height) => (elevation_m),
    "utc_offset_h", "hours ahead of universal time", Number(Q::Number) => (utc_offset_h),
    "summer_h", "hours that summer time adds", Number(Q::Number) => (summer_h),
    "summer_from", "first month of summer time", Choice(SUMMER) => (summer_from),
    "summer_to", "last month of summer time", Choice(SUMMER) => (summer_to),
    "month", "the month that matters", Choice(MATTERS) => (month),
    "starts", "first day of the year", Text => (starts),
    "swing_k", "daily swing", Open(Q::Warmth) => (swing_k),
    "cabin_c", "warmth of the cabin", Number(Q::Temperature) => (cabin_c),
    "battery_place", "where the batteries stand", Choice(&["are as warm as the cabin", "are as cold as outdoors", "are half-way to outdoors", "have a temperature of their own:"]) => (battery_place),
    "battery_c", "temperature of the batteries", Number(Q::Temperature) => (battery_c),
    "outdoors_c/1", "mean outdoor temperature in January", Open(Q::Temperature) => (outdoors_c[0]),
    "outdoors_c/2", "mean outdoor temperature in February", Open(Q::Temperature) => (outdoors_c[1]),
    "outdoors_c/3", "mean outdoor temperature in March", Open(Q::Temperature) => (outdoors_c[2]),
    "outdoors_c/4", "mean outdoor temperature in April", Open(Q::Temperature) => (outdoors_c[3]),
    "outdoors_c/5", "mean outdoor temperature in May", Open(Q::Temperature) => (outdoors_c[4]),
    "outdoors_c/6", "mean outdoor temperature in June", Open(Q::Temperature) => (outdoors_c[5]),
    "outdoors_c/7", "mean outdoor temperature in July", Open(Q::Temperature) => (outdoors_c[6]),
    "outdoors_c/8", "mean outdoor temperature in August", Open(Q::Temperature) => (outdoors_c[7]),
    "outdoors_c/9", "mean outdoor temperature in September", Open(Q::Temperature) => (outdoors_c[8]),
    "outdoors_c/10", "mean outdoor temperature in October", Open(Q::Temperature) => (outdoors_c[9]),
    "outdoors_c/11", "mean outdoor temperature in November", Open(Q::Temperature) => (outdoors_c[10]),
    "outdoors_c/12", "mean outdoor temperature in December", Open(Q::Temperature) => (outdoors_c[11]),
});

part!(Panel {
    "watts", "rated power of the panels", Number(Q::Power) => (watts),
    "tilt", "tilt from level", Number(Q::Angle) => (tilt),
    "azimuth", "compass direction that they face", Open(Q::Bearing) => (azimuth),
    "shading", "share lost to shadow", Number(Q::Share) => (shading),
    "shade_from", "start of the shadow", Clock => (shade_from),
    "shade_to", "end of the shadow", Clock => (shade_to),
});

part!(Sun {
    "fitted", "There are solar panels.", Tick => (fitted),
    "losses", "share lost to dirt, mismatch and wires", Number(Q::Share) => (losses),
    "temp_coefficient", "change of power by cell temperature", Number(Q::SharePerKelvin) => (temp_coefficient),
    "noct_c", "cell temperature in use", Number(Q::Temperature) => (noct_c),
    "controller", "kind of controller", Choice(&["tracks the best power", "only switches"]) => (controller),
    "controller_a", "most that the controller gives", Number(Q::Current) => (controller_a),
    "controller_efficiency", "controller's efficiency", Number(Q::Share) => (controller_efficiency),
    "panel_vmp", "panel voltage for a 12 V bank", Number(Q::Voltage) => (panel_vmp),
    "sunniness", "the place against its region", Choice(&["duller than", "about as sunny as", "sunnier than"]) => (sunniness),
    "albedo", "share that the ground throws back", Number(Q::Share) => (albedo),
    "watt_price", "price of a watt of panel", Open(Q::Money) => (watt_price),
    "panel_voc", "open-circuit voltage of one panel", Open(Q::Voltage) => (panel_voc),
    "in_series", "panels in series", Open(Q::Count) => (in_series),
    "controller_max_v", "most voltage that the controller bears", Open(Q::Voltage) => (controller_max_v),
    "coldest_c", "the coldest morning", Open(Q::Temperature) => (coldest_c),
    "peak_sun_hours/1", "peak sun hours in January", Open(Q::SunHours) => (peak_sun_hours[0]),
    "peak_sun_hours/2", "peak sun hours in February", Open(Q::SunHours) => (peak_sun_hours[1]),
    "peak_sun_hours/3", "peak sun hours in March", Open(Q::SunHours) => (peak_sun_hours[2]),
    "peak_sun_hours/4", "peak sun hours in April", Open(Q::SunHours) => (peak_sun_hours[3]),
    "peak_sun_hours/5", "peak sun hours in May", Open(Q::SunHours) => (peak_sun_hours[4]),
    "peak_sun_hours/6", "peak sun hours in June", Open(Q::SunHours) => (peak_sun_hours[5]),
    "peak_sun_hours/7", "peak sun hours in July", Open(Q::SunHours) => (peak_sun_hours[6]),
    "peak_sun_hours/8", "peak sun hours in August", Open(Q::SunHours) => (peak_sun_hours[7]),
    "peak_sun_hours/9", "peak sun hours in September", Open(Q::SunHours) => (peak_sun_hours[8]),
    "peak_sun_hours/10", "peak sun hours in October", Open(Q::SunHours) => (peak_sun_hours[9]),
    "peak_sun_hours/11", "peak sun hours in November", Open(Q::SunHours) => (peak_sun_hours[10]),
    "peak_sun_hours/12", "peak sun hours in December", Open(Q::SunHours) => (peak_sun_hours[11]),
});

part!(Alternator {
    "fitted", "The engine charges the bank.", Tick => (fitted),
    "rated_a", "rating of the alternator", Number(Q::Current) => (rated_a),
    "hot", "share left when hot", Number(Q::Share) => (hot),
    "speed", "share at the usual speed", Number(Q::Share) => (speed),
    "own_draw_a", "what the vehicle takes", Number(Q::Current) => (own_draw_a),
    "volts", "voltage at the alternator", Number(Q::Voltage) => (volts),
    "link", "what joins it to the bank", Choice(&["a DC-DC charger", "a relay"]) => (link),
    "dcdc_a", "output of the DC-DC charger", Number(Q::Current) => (dcdc_a),
    "dcdc_efficiency", "efficiency of the DC-DC charger", Number(Q::Share) => (dcdc_efficiency),
    "share", "most of the alternator's rating", Number(Q::Share) => (share),
    "link_mohm", "resistance of the relay link", Number(Q::Resistance) => (link_mohm),
    "hours", "hours under way", Number(Q::Hours) => (hours),
    "from", "when the engine starts", Clock => (from),
});

part!(Shore {
    "fitted", "There is a charger for a hook-up or a generator.", Tick => (fitted),
    "charger_a", "output of the charger", Number(Q::Current) => (charger_a),
    "hours", "hours of supply", Number(Q::Hours) => (hours),
    "from", "start of the supply", Clock => (from),
    "boost_v", "boost voltage for a 12 V bank", Number(Q::Voltage) => (boost_v),
    "float_v", "float voltage for a 12 V bank", Number(Q::Voltage) => (float_v),
    "fuel_l_h", "litres that the generator burns an hour", Open(Q::Number) => (fuel_l_h),
});

const TURNINGS: &[&str] = &[
    "stand upright only",
    "stand or lie on a long side",
    "lie any way but on its top",
];
const TERMINALS: &[&str] = &[
    "anywhere on its top",
    "along the front, one near each end",
    "at one end, one near each side",
    "at both ends, half-way across",
    "at the front left and the back right",
    "at the front right and the back left",
];

part!(Candidate {
    "chemistry", "kind of battery", Choice(&["flooded lead-acid", "AGM", "gel", "lithium iron phosphate", "sodium-ion"]) => (chemistry),
    "battery_v", "voltage of one", Number(Q::Voltage) => (battery_v),
    "capacity_ah", "rated capacity of one", Number(Q::Charge) => (capacity_ah),
    "rate_h", "hours at which it is rated", Number(Q::Hours) => (rate_h),
    "second", "what else the label says", Choice(&["says nothing more", "gives a reserve at 25 A of", "gives a second capacity of"]) => (second),
    "reserve_min", "reserve at 25 A", Number(Q::Minutes) => (reserve_min),
    "second_ah", "second capacity", Number(Q::Charge) => (second_ah),
    "second_h", "hours of the second capacity", Number(Q::Hours) => (second_h),
    "series", "batteries in a string", Number(Q::Count) => (series),
    "parallel", "strings side by side", Number(Q::Count) => (parallel),
    "depth", "planned depth of discharge", Open(Q::Share) => (depth),
    "age_years", "age when fitted", Number(Q::Years) => (age_years),
    "later_years", "how much later the last string comes", Open(Q::Years) => (later_years),
    "max_discharge_a", "most that one gives", Open(Q::Current) => (max_discharge_a),
    "max_charge_a", "most that one takes", Open(Q::Current) => (max_charge_a),
    "cranking_a", "cranking amperes of one", Open(Q::Current) => (cranking_a),
    "short_circuit_a", "short-circuit current of one", Open(Q::Current) => (short_circuit_a),
    "case_name", "standard case", Text => (case_name),
    "case_mm/1", "length of the case", Number(Q::Length) => (case_mm[0]),
    "case_mm/2", "width of the case", Number(Q::Length) => (case_mm[1]),
    "case_mm/3", "height of the case", Number(Q::Length) => (case_mm[2]),
    "case_within_mm", "how far the case may be out", Number(Q::Length) => (case_within_mm),
    "turning", "how it may lie", Choice(TURNINGS) => (turning),
    "terminals", "where its terminals sit", Choice(TERMINALS) => (terminals),
    "terminal_in_mm", "from the sides to the middle of a terminal", Number(Q::Length) => (terminal_in_mm),
    "terminal_wide_mm", "width of what sits on a terminal", Number(Q::Length) => (terminal_wide_mm),
    "mass_kg", "mass of one", Number(Q::Mass) => (mass_kg),
    "price", "price of one", Open(Q::Money) => (price),
});

part!(Obstacle {
    "name", "what it is", Text => (name),
    "movable", "whether it can move", Choice(&["stays", "could be moved"]) => (movable),
    "at_mm/1", "from the left", Number(Q::Length) => (at_mm[0]),
    "at_mm/2", "from the front", Number(Q::Length) => (at_mm[1]),
    "at_mm/3", "from the floor", Number(Q::Length) => (at_mm[2]),
    "size_mm/1", "its length", Number(Q::Length) => (size_mm[0]),
    "size_mm/2", "its depth", Number(Q::Length) => (size_mm[1]),
    "size_mm/3", "its height", Number(Q::Length) => (size_mm[2]),
    "what", "what sort of thing it is", Choice(&["a thing", "loose gear", "part of the structure", "wiring or a hose", "vehicle electronics", "a safety part", "fuel or gas", "something that gets hot"]) => (what),
    "travel_mm/1", "how far it travels to the right", Number(Q::Length) => (travel_mm[0]),
    "travel_mm/2", "how far it travels to the back", Number(Q::Length) => (travel_mm[1]),
    "travel_mm/3", "how far it travels upward", Number(Q::Length) => (travel_mm[2]),
    "shape", "its form", Choice(&["a box", "a slope", "a round arch", "a weak part of the floor"]) => (shape),
    "falls", "to which side it falls", Choice(&["to the left", "to the right", "to the front", "to the back"]) => (falls),
    "carries", "whether a battery may stand on it", Choice(&["carries nothing", "is a shelf for a battery"]) => (carries),
    "bears_kg", "what all batteries on it may weigh", Open(Q::Mass) => (bears_kg),
    "goes", "where it may go", Choice(&["anywhere inside, or out", "only out of the locker", "only to a place inside"]) => (goes),
    "place_at_mm/1", "that place from the left", Number(Q::Length) => (place_at_mm[0]),
    "place_at_mm/2", "that place from the front", Number(Q::Length) => (place_at_mm[1]),
    "place_at_mm/3", "that place from the floor", Number(Q::Length) => (place_at_mm[2]),
    "place_mm/1", "length of that place", Number(Q::Length) => (place_mm[0]),
    "place_mm/2", "depth of that place", Number(Q::Length) => (place_mm[1]),
    "place_mm/3", "height of that place", Number(Q::Length) => (place_mm[2]),
});

part!(Locker {
    "measured", "I have measured the space.", Tick => (measured),
    "inside_mm/1", "inside length", Number(Q::Length) => (inside_mm[0]),
    "inside_mm/2", "inside width", Number(Q::Length) => (inside_mm[1]),
    "inside_mm/3", "inside height", Number(Q::Length) => (inside_mm[2]),
    "side_gap_mm", "free space beside each case", Number(Q::Length) => (side_gap_mm),
    "terminal_gap_mm", "free height above terminals", Number(Q::Length) => (terminal_gap_mm),
    "within_mm", "how far the measuring may be out", Number(Q::Length) => (within_mm),
    "exit", "how the cables leave", Choice(&["upward, by lugs", "sideways, by a link bar", "flush with the case"]) => (exit),
    "bar_mm", "height of a link bar above the case", Number(Q::Length) => (bar_mm),
    "bend_mm", "height of the cable's bend above its lug", Number(Q::Length) => (bend_mm),
    "beside_mm", "what a cable takes beside the case", Number(Q::Length) => (beside_mm),
    "vent_gap_mm", "free height above the whole case", Number(Q::Length) => (vent_gap_mm),
    "hold_gap_mm", "what the hold-down takes at each end", Number(Q::Length) => (hold_gap_mm),
    "other/count", "batteries of another kind in it", Number(Q::Count) => (other.count),
    "other/name", "what the other is called", Text => (other.name),
    "other/case_mm/1", "length of the other's case", Number(Q::Length) => (other.case_mm[0]),
    "other/case_mm/2", "width of the other's case", Number(Q::Length) => (other.case_mm[1]),
    "other/case_mm/3", "height of the other's case", Number(Q::Length) => (other.case_mm[2]),
    "other/turning", "how the other may lie", Choice(TURNINGS) => (other.turning),
    "other/terminals", "where the other's terminals sit", Choice(TERMINALS) => (other.terminals),
    "other/mass_kg", "mass of the other", Number(Q::Mass) => (other.mass_kg),
    "opening", "what they are carried in through", Choice(&["the whole top", "a hatch in the top", "a door in the front", "a door in the back", "a door in the left end", "a door in the right end"]) => (opening),
    "opening_at_mm/1", "where the opening begins", Number(Q::Length) => (opening_at_mm[0]),
    "opening_at_mm/2", "where it begins the other way", Number(Q::Length) => (opening_at_mm[1]),
    "opening_mm/1", "width of the opening", Number(Q::Length) => (opening_mm[0]),
    "opening_mm/2", "its height or depth", Number(Q::Length) => (opening_mm[1]),
});

/// The part or row that a field's path lies in: `loads/3` of `loads/3/draw`, `living` of `living/outdoors_c/4`.
pub fn part_of(path: &str) -> &str {
    let deep = ["loads/", "candidates/"]
        .iter()
        .any(|list| path.starts_with(list));
    let deeper = [
        "living/rhythm/",
        "living/stays/",
        "sun/panels/",
        "locker/obstacles/",
        "wiring/routes/",
    ]
    .iter()
    .any(|list| path.starts_with(list));
    let steps = 1 + usize::from(deep) + 2 * usize::from(deeper);
    path.match_indices('/')
        .nth(steps - 1)
        .and_then(|(at, _)| path.get(..at))
        .unwrap_or(path)
}

const BEARS: &[&str] = &["60 °C", "75 °C", "90 °C", "105 °C", "125 °C"];
const TOGETHER: &[&str] = &["no more than two", "three to six", "seven or more"];
part!(Doubts {
    "use_share", "how far what runs may be out", Number(Q::Share) => (use_share),
    "sky_share", "how far the sky may be out", Number(Q::Share) => (sky_share),
    "shade_share", "how far the shadow may be out", Number(Q::Share) => (shade_share),
    "capacity_share", "how far the batteries' capacity may be out", Number(Q::Share) => (capacity_share),
    "age_years", "how far the batteries' age may be out", Number(Q::Years) => (age_years),
    "driving_share", "how far the hours under way may be out", Number(Q::Share) => (driving_share),
    "warmth_k", "how far the warmth outdoors may be out", Number(Q::Warmth) => (warmth_k),
});

part!(Wiring {
    "bank_mm", "from the bank to the bus bars", Number(Q::Length) => (bank_mm),
    "inverter_mm", "from the bus bars to the inverter", Number(Q::Length) => (inverter_mm),
    "sun_mm", "from the solar controller to the bus bars", Number(Q::Length) => (sun_mm),
    "panels_mm", "from the panels to the solar controller", Number(Q::Length) => (panels_mm),
    "engine_mm", "from the alternator to the bank", Number(Q::Length) => (engine_mm),
    "shore_mm", "from the charger to the bus bars", Number(Q::Length) => (shore_mm),
    "loads_mm", "from the bus bars to the load panel", Number(Q::Length) => (loads_mm),
    "converter_a", "rating of the converter to 12 V", Open(Q::Current) => (converter_a),
    "converter_mm", "from the bus bars to the converter", Number(Q::Length) => (converter_mm),
    "drop", "most that a run may lose", Number(Q::Share) => (drop),
    "insulation", "what the insulation bears", Choice(BEARS) => (insulation),
    "material", "what the insulation is made of", Choice(&["PVC", "cross-linked", "rubber for 60 °C"]) => (material),
    "main_least_mm2", "least area of the main conductors", Open(Q::Number) => (main_least_mm2),
    "engine_space", "where the engine's run goes", Choice(&["clear of the engine", "through the engine space"]) => (engine_space),
    "along_g", "g along that the fixing bears", Number(Q::Number) => (along_g),
    "across_g", "g across that the fixing bears", Number(Q::Number) => (across_g),
    "metal", "what the cables are of", Choice(&["copper", "aluminium"]) => (metal),
    "bundle", "how many loaded conductors lie together", Choice(TOGETHER) => (bundle),
    "air_c", "warmth of the air around the cables", Number(Q::Temperature) => (air_c),
    "branch_mm", "from the load panel to a load", Number(Q::Length) => (branch_mm),
    "bank_mm2", "mm² of the bank's cable that is there already", Open(Q::Number) => (bank_mm2),
    "inverter_mm2", "mm² of the inverter's cable that is there already", Open(Q::Number) => (inverter_mm2),
    "sun_mm2", "mm² of the solar controller's cable that is there already", Open(Q::Number) => (sun_mm2),
    "engine_mm2", "mm² of the alternator's cable that is there already", Open(Q::Number) => (engine_mm2),
    "shore_mm2", "mm² of the charger's cable that is there already", Open(Q::Number) => (shore_mm2),
    "loads_mm2", "mm² of the load panel's cable that is there already", Open(Q::Number) => (loads_mm2),
    "take_off", "where the bank's cables take off", Choice(&["plus at the first, minus at the last", "both at the first string", "both in the middle of the row", "each string by its own cables to the bus bars"]) => (take_off),
    "link", "what links the strings", Choice(&["cable as from the bank", "a copper bar", "a bar of aluminium 1350", "a bar of aluminium 6063", "a bar of aluminium 6061", "a brass bar"]) => (link),
    "painted", "the bar's surface", Choice(&["bare", "painted"]) => (painted),
    "bar_state", "state of the bare metal", Choice(&["bright", "dull", "oxidised", "heavily oxidised"]) => (bar_state),
    "link_mm", "from post to post", Number(Q::Length) => (link_mm),
    "link_wide_mm", "width of a link bar", Number(Q::Length) => (link_wide_mm),
    "link_thick_mm", "thickness of a link bar", Number(Q::Length) => (link_thick_mm),
    "last_years", "age of the last string", Open(Q::Years) => (last_years),
    "last_v", "voltage of the last string", Open(Q::Voltage) => (last_v),
    "join_full", "charge of the fuller string at joining", Number(Q::Share) => (join_full),
    "join_low", "charge of the emptier string at joining", Number(Q::Share) => (join_low),
    "screws", "hold-down screws", Number(Q::Count) => (screws),
    "thread", "thread of the hold-down screws", Choice(&["M6", "M8", "M10"]) => (thread),
    "into", "what the screws go into", Choice(&["a nut behind", "a thread tapped in steel", "a thread tapped in aluminium", "a threaded insert"]) => (into),
    "stack_mm", "thickness of all that a screw clamps", Number(Q::Length) => (stack_mm),
});

part!(Route {
    "run", "which run", Choice(&["from the bank to the bus bars", "to the inverter", "from the solar controller", "from the alternator", "from the charger", "to the load panel", "from the load panel to each load", "from the solar panels to their controller"]) => (run),
    "engine_space", "where it goes", Choice(&["clear of the engine", "through the engine space"]) => (engine_space),
    "bundle", "how many loaded conductors lie together there", Choice(TOGETHER) => (bundle),
    "air_c", "warmth of the air around it", Number(Q::Temperature) => (air_c),
    "insulation", "what its insulation bears", Choice(BEARS) => (insulation),
});

/// Parts a path into its row's id and the field's name: `3/draw` is 3 and `draw`.
fn row_and_name(path: &str) -> Option<(u32, &str)> {
    let (id, name) = path.split_once('/')?;
    Some((id.parse().ok()?, name))
}

macro_rules! find {
    ($plan:ident, $path:ident, $iter:ident, $($ref:tt)+) => {{
        let (head, rest) = $path.split_once('/')?;
        macro_rules! row {
            ($rows:expr, $tail:expr) => {{
                let (id, name) = row_and_name($tail)?;
                let row = $rows.$iter().find(|row| row.id == id)?;
                Some((row, name))
            }};
        }
        match head {
            "plan" => Some(($plan, rest)),
            "meter" => Some(($($ref)+ $plan.meter, rest)),
            "inverter" => Some(($($ref)+ $plan.inverter, rest)),
            "alternator" => Some(($($ref)+ $plan.alternator, rest)),
            "shore" => Some(($($ref)+ $plan.shore, rest)),
            "wiring" => match rest.strip_prefix("routes/") {
                Some(tail) => row!($plan.wiring.routes, tail),
                None => Some(($($ref)+ $plan.wiring, rest)),
            },
            "doubts" => Some(($($ref)+ $plan.doubts, rest)),
            "loads" => row!($plan.loads, rest),
            "candidates" => row!($plan.candidates, rest),
            "living" => match (rest.strip_prefix("rhythm/"), rest.strip_prefix("stays/")) {
                (Some(tail), _) => row!($plan.living.rhythm, tail),
                (_, Some(tail)) => row!($plan.living.stays, tail),
                _ => Some(($($ref)+ $plan.living, rest)),
            },
            "sun" => match rest.strip_prefix("panels/") {
                Some(tail) => row!($plan.sun.panels, tail),
                None => Some(($($ref)+ $plan.sun, rest)),
            },
            "locker" => match rest.strip_prefix("obstacles/") {
                Some(tail) => row!($plan.locker.obstacles, tail),
                None => Some(($($ref)+ $plan.locker, rest)),
            },
            _ => None,
        }
    }};
}

impl Plan {
    fn part<'a>(&'a self, path: &'a str) -> Option<(&'a dyn Part, &'a str)> {
        find!(self, path, iter, &)
    }

    fn part_mut<'a>(&'a mut self, path: &'a str) -> Option<(&'a mut dyn Part, &'a str)> {
        find!(self, path, iter_mut, &mut)
    }

    /// What the field at a path is; none where no field stands there.
    pub fn field(&self, path: &str) -> Option<&'static Field> {
        let (part, name) = self.part(path)?;
        part.fields().iter().find(|field| field.name == name)
    }

    /// The paths of every field of a part or a row.
    pub fn field_paths(&self, at: &str) -> Vec<String> {
        let path = format!("{at}/");
        let fields = self
            .part(&path)
            .map_or(&[] as &[Field], |(part, _)| part.fields());
        fields
            .iter()
            .map(|field| format!("{at}/{}", field.name))
            .collect()
    }

    /// What the field at a path holds.
    pub fn held(&self, path: &str) -> Option<Held> {
        let (part, name) = self.part(path)?;
        Some(part.slot(name)?.held())
    }

    /// A number that changes when any field of the part at a path does: of the row `loads/3`, of `sun`, of `plan`.
    /// FNV-1a over what the fields hold, by Fowler, Noll and Vo.
    pub fn stamp(&self, at: &str) -> u64 {
        let path = format!("{at}/");
        let Some((part, _)) = self.part(&path) else {
            return 0;
        };
        let mut stamp = 0xcbf2_9ce4_8422_2325;
        let mut stir = |word: u64| stamp = (stamp ^ word).wrapping_mul(0x0100_0000_01b3);
        for field in part.fields() {
            match part.slot(field.name).map(|slot| slot.held()) {
                Some(Held::Number(value)) => stir(value.map_or(1, f64::to_bits)),
                Some(Held::Text(text)) => {
                    text.bytes().for_each(|byte| stir(u64::from(byte)));
                    stir(0x100);
                }
                Some(Held::Tick(on)) => stir(u64::from(on)),
                Some(Held::Choice(at)) => stir(at as u64),
                None => {}
            }
        }
        stamp
    }

    /// The number that the field at a path holds.
    pub fn number(&self, path: &str) -> Option<f64> {
        match self.held(path)? {
            Held::Number(value) => value,
            _ => None,
        }
    }

    /// The text that the field at a path holds; empty where it holds none.
    pub fn text(&self, path: &str) -> String {
        match self.held(path) {
            Some(Held::Text(text)) => text,
            _ => String::new(),
        }
    }

    /// What the number at a path measures: a draw may be of power or of current.
    pub fn quantity(&self, path: &str) -> Option<Quantity> {
        let (Number(quantity) | Open(quantity)) = self.field(path)?.kind else {
            return None;
        };
        let of_current = quantity == Q::Power
            && path.starts_with("loads/")
            && path
                .strip_suffix("draw")
                .and_then(|row| self.held(&format!("{row}draw_unit")))
                .is_some_and(|unit| unit == DrawUnit::A.held());
        Some(if of_current { Q::Current } else { quantity })
    }

    /// Puts a value at a path, with what follows from it; nothing happens where no field of that kind stands.
    pub fn put(&mut self, path: &str, held: Held) {
        if self.place(path, held) {
            self.follow(path);
        }
    }

    /// Puts a value at a path and nothing else; whether there is such a field.
    pub(super) fn place(&mut self, path: &str, held: Held) -> bool {
        let Some((part, name)) = self.part_mut(path) else {
            return false;
        };
        let slot = part.slot_mut(name);
        slot.map(|slot| slot.put(held)).is_some()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sample() -> Plan {
        Plan {
            loads: vec![Load {
                id: 7,
                ..Load::default()
            }],
            candidates: vec![Candidate {
                id: 8,
                ..Candidate::default()
            }],
            living: Living {
                stays: vec![Stay {
                    id: 10,
                    ..Stay::default()
                }],
                ..Living::default()
            },
            locker: Locker {
                obstacles: vec![Obstacle {
                    id: 9,
                    ..Obstacle::default()
                }],
                ..Locker::default()
            },
            wiring: Wiring {
                routes: vec![Route {
                    id: 11,
                    ..Route::default()
                }],
                ..Wiring::default()
            },
            ..Plan::default()
        }
    }

    const PARTS: [&str; 16] = [
        "wiring",
        "wiring/routes/11",
        "doubts",
        "plan",
        "loads/7",
        "meter",
        "inverter",
        "living",
        "living/rhythm/1",
        "living/stays/10",
        "sun",
        "sun/panels/1",
        "alternator",
        "shore",
        "candidates/8",
        "locker",
    ];

    #[test]
    fn every_field_holds_what_it_says_and_takes_it_back() {
        let plan = sample();
        let mut seen = 0;
        for part in PARTS.iter().chain(&["locker/obstacles/9"]) {
            let with_slash = format!("{part}/");
            for field in plan.part(&with_slash).unwrap().0.fields() {
                let path = format!("{part}/{}", field.name);
                let held = plan.held(&path).unwrap();
                match (field.kind, &held) {
                    (Number(_), Held::Number(Some(_)))
                    | (Open(_), Held::Number(_))
                    | (Text | Clock, Held::Text(_))
                    | (Tick, Held::Tick(_)) => {}
                    (Choice(words), _) => {
                        let mut other = plan.clone();
                        for at in 0..words.len() {
                            other.put(&path, Held::Choice(at));
                            let now = other.held(&path).unwrap();
                            assert!(
                                now == Held::Choice(at) || now == Held::Tick(at == 1),
                                "{path} {at}"
                            );
                        }
                        other.put(&path, Held::Choice(words.len()));
                        let beyond = other.held(&path).unwrap();
                        assert!(
                            beyond != Held::Choice(words.len()),
                            "{path} has more choices"
                        );
                    }
                    (kind, held) => panic!("{path} is {kind:?} and holds {held:?}"),
                }
                let mut other = plan.clone();
                if let Number(_) | Open(_) = field.kind {
                    other.put(&path, Held::Number(Some(0.25)));
                    assert_eq!(other.number(&path), Some(0.25), "{path}");
                } else {
                    other.put(&path, held.clone());
                    assert_eq!(other.held(&path), Some(held), "{path}");
                }
                seen += 1;
            }
        }
        assert!(seen > 120, "{seen}");
    }

    #[test]
    fn a_path_lies_in_its_row_or_its_part() {
        for (path, part) in [
            ("loads/3/draw", "loads/3"),
            ("candidates/8/case_mm/2", "candidates/8"),
            ("living/outdoors_c/4", "living"),
            ("living/rhythm/2/days", "living/rhythm/2"),
            ("sun/losses", "sun"),
            ("sun/panels/1/tilt", "sun/panels/1"),
            ("locker/obstacles/9/at_mm/1", "locker/obstacles/9"),
            ("locker/inside_mm/1", "locker"),
            ("wiring/routes/11/air_c", "wiring/routes/11"),
            ("wiring/air_c", "wiring"),
            ("plan/volts", "plan"),
        ] {
            assert_eq!(part_of(path), part);
        }
    }

    #[test]
    fn a_stamp_changes_with_each_field_and_only_with_its_part() {
        let plan = sample();
        for at in PARTS {
            let stamp = plan.stamp(at);
            for field in plan.part(&format!("{at}/")).unwrap().0.fields() {
                let mut other = plan.clone();
                let path = format!("{at}/{}", field.name);
                other.put(
                    &path,
                    match plan.held(&path).unwrap() {
                        Held::Number(value) => Held::Number(Some(value.unwrap_or(0.0) + 1.0)),
                        Held::Text(text) => Held::Text(text + "x"),
                        Held::Tick(on) => Held::Tick(!on),
                        Held::Choice(at) => Held::Choice(usize::from(at == 0)),
                    },
                );
                assert_ne!(other.stamp(at), stamp, "{path}");
                assert!(
                    PARTS
                        .iter()
                        .filter(|part| other.stamp(part) != plan.stamp(part))
                        .count()
                        == 1,
                    "{path}"
                );
            }
        }
    }

    #[test]
    fn what_follows_from_a_change_follows() {
        let mut plan = sample();
        plan.candidates[0].case_name = "BCI 31".into();
        plan.put("candidates/8/case_mm/2", Held::Number(Some(170.0)));
        assert_eq!(
            (
                plan.candidates[0].case_mm[1],
                plan.candidates[0].case_name.as_str()
            ),
            (170.0, "")
        );
        plan.put("locker/inside_mm/1", Held::Number(Some(900.0)));
        assert!(plan.locker.measured);
        plan.loads[0].draw_unit = DrawUnit::A;
        assert_eq!(plan.quantity("loads/7/draw"), Some(Q::Current));
        assert_eq!(plan.quantity("loads/7/hours"), Some(Q::Hours));
        for nowhere in [
            "loads/99/draw",
            "loads/7/wings",
            "loads",
            "",
            "loads/x/draw",
            "sky/1",
        ] {
            assert_eq!(plan.held(nowhere), None, "{nowhere}");
        }
    }
}
