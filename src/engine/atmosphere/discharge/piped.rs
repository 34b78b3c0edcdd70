//! Fuel gas of an appliance's installation: at low pressure, in a boiler room.

use crate::engine::atmosphere::discharge::step::Step;
use crate::engine::gas::{Family, Substance};
use crate::geometry::polygon::Polygon;
use crate::model::{Holding, Project, ReleaseSource, Room, RoomUse};

/// Whether a fuel gas is released in a boiler room.
pub(super) fn burns_in_boiler_room(
    project: &Project,
    source: &ReleaseSource,
    substance: &Substance,
) -> bool {
    let here = |room: &Room| {
        room.room_use == RoomUse::BoilerRoom
            && room.floor == source.floor
            && Polygon::new(room.outline.clone()).contains(source.at)
    };
    substance.family == Family::FuelGas && project.rooms.iter().any(here)
}

impl Step<'_> {
    /// Whether it is the gas of an appliance's installation, at low pressure.
    pub fn is_piped_fuel(&self) -> bool {
        self.held == Holding::Gas && burns_in_boiler_room(self.project, self.source, self.substance)
    }
}
