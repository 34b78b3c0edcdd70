//! The course of a case: a march for the usual, the least and the most entrainment, and what of it
//! the results keep.

use crate::engine::atmosphere::Discharge;
use crate::engine::atmosphere::air::SharedAir;
use crate::engine::atmosphere::alarm::Stage;
use crate::engine::atmosphere::layer::{self, Moment, Setting};
use crate::engine::atmosphere::plume;
use crate::engine::atmosphere::state::State;
use crate::engine::results::{Motion, Plume, ReleaseCase};
use crate::engine::trace::{Quantity, Trace};
use crate::model::basis;
use crate::model::*;

/// Moments of a course that the results keep.
const SAMPLES: usize = 60;

/// Assumptions that all releases share.
pub(super) struct Common {
    /// The usual, the least, the most.
    pub entrainments: [Quantity; 3],
    /// Of the plume's flux, for each of them.
    pub coefficients: [Quantity; 3],
    pub occupied: Quantity,
    pub scan: Quantity,
    pub panel: Quantity,
    pub sounder: Quantity,
    /// s.
    pub horizon: f64,
}

/// Time of the plume for each entrainment, s.
pub(super) struct Ways {
    pub transits: [f64; 3],
}

/// A case's course, with the usual, the least and the most entrainment.
pub(super) struct Courses {
    pub stage: Stage,
    pub usual: Vec<Moment>,
    pub least: Vec<Moment>,
    pub most: Vec<Moment>,
    /// Buoyancy flux and, for each entrainment, the time of the plume, s; `None` where it mixes.
    plume: Option<(f64, [f64; 3])>,
}

impl Common {
    pub fn new(project: &Project, trace: &mut Trace) -> Self {
        let mut of = |item| trace.basis(&project.basis, item);
        let entrainments = [
            &basis::ENTRAINMENT,
            &basis::ENTRAINMENT_LEAST,
            &basis::ENTRAINMENT_MOST,
        ]
        .map(&mut of);
        let [occupied, scan, panel, sounder] = [
            &basis::OCCUPIED_HEIGHT,
            &basis::BUS_SCAN,
            &basis::PANEL_DELAY,
            &basis::SOUNDER_DELAY,
        ]
        .map(&mut of);
        Common {
            entrainments,
            coefficients: entrainments.map(|alpha| trace.eval(&plume::COEFFICIENT, &[alpha])),
            occupied,
            scan,
            panel,
            sounder,
            horizon: 3600.0 * project.basis.get(&basis::ALARM_HORIZON),
        }
    }
}

/// The room of a case, still without a plume, and how gas in a layer sees it.
pub(super) fn setting(common: &Common, state: &State, air: &SharedAir) -> (Stage, Setting) {
    let height = air.height.value;
    let stage = Stage {
        motion: state.motion,
        height,
        occupied: common.occupied.value,
    };
    let setting = Setting {
        area: air.area.value,
        height,
        run: height,
        supply: air.supply.value / 3600.0,
        coefficient: common.coefficients[0].value,
        buoyancy: 0.0,
        strength: state.strength,
        vents: air.vents.map_or(0.0, |vents| vents.effective.value),
        vent_rise: air.vents.map_or(0.0, |vents| vents.rise.value),
    };
    (stage, setting)
}

impl Courses {
    /// Marches through a case.
    pub fn new(
        common: &Common,
        (stage, mut setting): (Stage, Setting),
        discharge: &Discharge,
        plume: Option<&(Ways, Plume)>,
    ) -> Self {
        if let Some((_, plume)) = plume {
            (setting.run, setting.buoyancy) = (plume.run.value, plume.buoyancy.value);
        }
        let times = layer::times(&setting, discharge, common.horizon);
        let march = |coefficient: Quantity| {
            let setting = Setting {
                coefficient: coefficient.value,
                ..setting
            };
            layer::march(&setting, discharge, &times)
        };
        let [usual, least, most] = common.coefficients;
        Courses {
            stage,
            usual: march(usual),
            least: plume.map_or_else(Vec::new, |_| march(least)),
            most: plume.map_or_else(Vec::new, |_| march(most)),
            plume: plume.map(|(ways, plume)| (plume.buoyancy.value, ways.transits)),
        }
    }

    /// Time, s, at which the plume and its current are `distance` m off, for the usual, the least
    /// or the most entrainment; `None` where the gas goes with the air.
    pub fn arrival(&self, distance: f64, place: usize) -> Option<f64> {
        let (buoyancy, transits) = self.plume?;
        Some(transits[place] + plume::current_time(distance, buoyancy))
    }

    /// The case with the moments that the results keep.
    pub fn kept(
        &self,
        state: &State,
        from: Quantity,
        moving: Quantity,
        highest: Quantity,
    ) -> ReleaseCase {
        let every = self.usual.len().div_ceil(SAMPLES).max(1);
        let last = self.usual.len().saturating_sub(1);
        let kept: Vec<&Moment> = self
            .usual
            .iter()
            .enumerate()
            .filter(|(idx, _)| idx % every == 0 || *idx == last)
            .map(|(_, moment)| moment)
            .collect();
        let series = |value: &dyn Fn(&Moment) -> f64| -> Vec<f64> {
            kept.iter()
                .map(|moment| four_digits(value(moment)))
                .collect()
        };
        let stage = self.stage;
        let layered = |value: &dyn Fn(&Moment) -> f64| match stage.motion {
            Motion::Mixes => Vec::new(),
            _ => series(value),
        };
        ReleaseCase {
            state: state.kind,
            motion: state.motion,
            from,
            relative_density: moving,
            plume: None,
            vented: None,
            times: series(&|moment| moment.time),
            front: layered(&|moment| stage.front(moment.depth)),
            layer: layered(&|moment| moment.layer),
            occupied: layered(&|moment| stage.occupied_mean(moment)),
            mixed: series(&|moment| moment.mixed),
            highest,
            steady: None,
            alarms: Vec::new(),
            harms: Vec::new(),
        }
    }
}

pub fn four_digits(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return 0.0;
    }
    let scale = 10f64.powi(3 - value.abs().log10().floor() as i32);
    (value * scale).round() / scale
}
