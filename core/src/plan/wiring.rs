//! Cables, links and what holds the bank, as saved. What stands as assumed is not written, which keeps links short.

use serde::{Deserialize, Serialize};

choice! {
    /// Temperature that the insulation of the cables bears.
    Insulation {
        /// 60 °C.
        C60,
        /// 75 °C.
        C75,
        /// 90 °C.
        C90,
        /// 105 °C.
        C105,
        /// 125 °C.
        C125,
    } default C105
}
choice! {
    /// What the cables are of.
    Conductor {
        /// Copper.
        Copper,
        /// Aluminium of 61 % IACS.
        Aluminium,
    } default Copper
}
choice! {
    /// How many loaded conductors lie together.
    Bundle {
        /// No more than three.
        Few,
        /// Four to six.
        Some,
        /// Seven to twenty-four.
        Many,
    } default Few
}
choice! {
    /// Where the cables of a bank of several strings take off.
    TakeOff {
        /// Plus at the first string, minus at the last.
        Diagonal,
        /// Both at the first.
        OneEnd,
        /// Both in the middle of the row.
        Middle,
        /// Each string by its own cables to the bus bars.
        Star,
    } default Diagonal
}
choice! {
    /// What links strings.
    Linked {
        /// Cable of the bank's own size.
        Cable,
        /// Flat bar of copper.
        Copper,
        /// Flat bar of aluminium 1350.
        Aluminium1350,
        /// Flat bar of aluminium 6063.
        Aluminium6063,
        /// Flat bar of aluminium 6061.
        Aluminium6061,
        /// Flat bar of brass.
        Brass,
    } default Cable
}
choice! {
    /// What a hold-down screw goes into.
    Fixing {
        /// Through, with a nut behind.
        Nut,
        /// A thread tapped in steel.
        Steel,
        /// A thread tapped in aluminium.
        Aluminium,
        /// A threaded insert.
        Insert,
    } default Nut
}
choice! {
    /// Thread of the hold-down screws.
    Thread {
        /// M6.
        M6,
        /// M8.
        M8,
        /// M10.
        M10,
    } default M8
}

macro_rules! part_of_wiring {
    ($(#[$doc:meta])* $name:ident { $($(#[$fdoc:meta])* $field:ident: $kind:ty = $value:expr),+ $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
        #[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
        #[serde(default)]
        pub struct $name { $($(#[$fdoc])* pub $field: $kind),+ }
        impl Default for $name { fn default() -> Self { Self { $($field: $value),+ } } }
        impl $name { pub(super) fn is_as_assumed(&self) -> bool { *self == Self::default() } }
    };
}

part_of_wiring! {
    /// What every cable has in common.
    Route {
        /// What it is of.
        metal: Conductor = Conductor::Copper,
        /// How many lie together.
        bundle: Bundle = Bundle::Few,
        /// Air around it [°C].
        air_c: f64 = 30.0,
        /// One way from the load panel to a load [mm].
        branch_mm: f64 = 3000.0,
    }
}
part_of_wiring! {
    /// Cables that are there already [mm²]; `null` where one is to be bought.
    Owned {
        /// From the bank to the bus bars.
        bank_mm2: Option<f64> = None,
        /// To the inverter.
        inverter_mm2: Option<f64> = None,
        /// From the solar controller.
        sun_mm2: Option<f64> = None,
        /// From the alternator.
        engine_mm2: Option<f64> = None,
        /// From the charger.
        shore_mm2: Option<f64> = None,
        /// To the load panel.
        loads_mm2: Option<f64> = None,
    }
}
part_of_wiring! {
    /// How strings stand side by side.
    Links {
        /// Where the bank's cables take off.
        take_off: TakeOff = TakeOff::Diagonal,
        /// What links neighbours.
        of: Linked = Linked::Cable,
        /// Whether a bar is painted.
        painted: bool = false,
        /// From post to post [mm].
        long_mm: f64 = 250.0,
        /// Width of a bar [mm].
        wide_mm: f64 = 25.0,
        /// Thickness of a bar [mm].
        thick_mm: f64 = 6.0,
        /// Age of the last string where it is not that of the others [years].
        last_years: Option<f64> = None,
        /// Nominal voltage of the last string where it is not that of the others [V].
        last_v: Option<f64> = None,
        /// Charge of the fuller string when they are joined, 0 to 1.
        full: f64 = 1.0,
        /// Charge of the emptier one, 0 to 1.
        low: f64 = 0.5,
    }
}
part_of_wiring! {
    /// What the bank is screwed down with.
    Hold {
        /// Screws in all.
        screws: f64 = 4.0,
        /// Their thread.
        thread: Thread = Thread::M8,
        /// What they go into.
        into: Fixing = Fixing::Nut,
        /// Thickness of all that they clamp: strap or bracket, spacer, floor where they go through [mm].
        stack_mm: f64 = 18.0,
    }
}
part_of_wiring! {
    /// Runs of cable, and how the bank is held.
    Wiring {
        /// One way from the bank to the bus bars [mm].
        bank_mm: f64 = 800.0,
        /// One way from the bus bars to the inverter [mm].
        inverter_mm: f64 = 800.0,
        /// One way from the solar controller to the bus bars [mm].
        sun_mm: f64 = 1500.0,
        /// One way from the alternator to the bank [mm].
        engine_mm: f64 = 5000.0,
        /// One way from the charger to the bus bars [mm].
        shore_mm: f64 = 1000.0,
        /// One way from the bus bars to the load panel [mm].
        loads_mm: f64 = 1500.0,
        /// Most that a run may lose of the nominal voltage, 0 to 1.
        drop: f64 = 0.03,
        /// What the insulation bears.
        insulation: Insulation = Insulation::C105,
        /// Whether the engine's run passes through an engine space.
        engine_space: bool = true,
        /// Acceleration that the fixing must bear along [g].
        along_g: f64 = 20.0,
        /// Across [g].
        across_g: f64 = 8.0,
        /// What every cable has in common.
        #[serde(skip_serializing_if = "Route::is_as_assumed")]
        route: Route = Route::default(),
        /// Cables that are there already.
        #[serde(skip_serializing_if = "Owned::is_as_assumed")]
        owned: Owned = Owned::default(),
        /// How strings stand side by side.
        #[serde(skip_serializing_if = "Links::is_as_assumed")]
        links: Links = Links::default(),
        /// What the bank is screwed down with.
        #[serde(skip_serializing_if = "Hold::is_as_assumed")]
        hold: Hold = Hold::default(),
    }
}
