//! What a release does, in a colleague's words, and where the calculation leaves what it holds for.

use crate::engine::airspace::room_name;
use crate::engine::atmosphere::air::SharedAir;
use crate::engine::results::*;
use crate::engine::trace::Quantity;
use crate::model::*;
use crate::units::{time_between, time_text};

/// A time in a sentence.
pub fn duration(seconds: f64) -> String {
    time_text(seconds, ' ')
}

/// A figure with three significant digits.
pub fn figure(value: f64) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value}");
    }
    let digits = 2 - value.abs().log10().floor() as i32;
    match digits {
        1.. => format!("{value:.*}", digits as usize),
        _ => {
            let step = 10f64.powi(-digits);
            format!("{:.0}", (value / step).round() * step)
        }
    }
}

/// A quantity in a sentence.
pub fn said(quantity: Quantity) -> String {
    format!("{} {}", figure(quantity.value), quantity.unit)
}

/// When gas is at a detector, in a sentence.
pub fn of_alarm(name: &str, alarm: &AlarmResult, motion: Motion, horizon: f64) -> String {
    let place = match alarm.distance.value {
        d if d < 0.05 => String::new(),
        d => format!(", {d:.1} m from the release"),
    };
    let within = duration(horizon);
    let at = |time: Option<Quantity>| match time {
        Some(time) => format!("after {}", duration(time.value)),
        None => format!("not within {within}"),
    };
    let mixed = format!(
        "if it mixes through the room at once, {}",
        at(alarm.gas_mixed)
    );
    let gas = match motion {
        Motion::Mixes => at(alarm.gas_mixed),
        Motion::Rises => format!(
            "if the gas keeps to a layer under the ceiling, {}; {mixed}",
            at(alarm.gas_layered)
        ),
        Motion::Falls => format!(
            "if the gas keeps to a layer on the floor, once that is deep enough, {}; {mixed}",
            at(alarm.gas_layered)
        ),
    };
    let sound = match (alarm.alarm_layered, alarm.alarm_mixed) {
        (None, None) => " It does not alarm.".to_owned(),
        (Some(one), Some(other)) => format!(
            " Detector, bus, panel and sounder take {} more: the alarm sounds after {} or {}.",
            duration(alarm.delay.value),
            duration(one.value),
            duration(other.value)
        ),
        (one, other) => format!(
            " Detector, bus, panel and sounder take {} more: the alarm sounds {}.",
            duration(alarm.delay.value),
            at(one.or(other))
        ),
    };
    format!(
        "{name} at {:.2} m{place}, has gas at {}: {gas}.{sound}",
        alarm.height.value,
        said(alarm.set_point)
    )
}

/// The picture that decides, as it ends a sentence; nothing where there is only one.
fn in_picture(harm: &HarmResult, motion: Motion) -> &'static str {
    match (harm.picture, motion) {
        (None, _) | (_, Motion::Mixes) => "",
        (Some(Picture::Layered), _) => ", with the gas in a layer",
        (Some(Picture::Mixed), _) => ", with the gas mixed through the room",
    }
}

/// When people are harmed, in a sentence.
pub fn of_harm(harm: &HarmResult, motion: Motion, horizon: f64) -> String {
    let what = match harm.name.contains(" %vol") {
        true => harm.name.clone(),
        false => format!("{} ({})", harm.name, said(harm.level)),
    };
    let times = (harm.harm, harm.alarm);
    let picture = in_picture(harm, motion);
    let within = duration(horizon);
    let later = harm.harm_later.map_or(String::new(), |later| {
        format!(
            " (if the release went on, it would after {})",
            duration(later.value)
        )
    });
    match (harm.verdict, times) {
        (Verdict::InTime, (Some(at), Some(alarm))) => format!(
            "Where people breathe the mean reaches the {what} after {}; the alarm comes {} \
             before{picture}.",
            duration(at.value),
            duration(time_between(at.value, alarm.value))
        ),
        (Verdict::TooLate, (Some(at), Some(alarm))) => format!(
            "Where people breathe the mean reaches the {what} after {}, but the alarm comes {} \
             later{picture}.",
            duration(at.value),
            duration(time_between(alarm.value, at.value))
        ),
        (Verdict::NoAlarm, (Some(at), _)) => format!(
            "Where people breathe the mean reaches the {what} after {}, and no detector alarms \
             within {within}{picture}.",
            duration(at.value)
        ),
        (Verdict::NoHarm, (_, alarm)) => format!(
            "Where people breathe the mean does not reach the {what} within {within}{later}; the \
             alarm comes all the same{}.",
            alarm.map_or(String::new(), |alarm| {
                format!(", after {} at the latest", duration(alarm.value))
            })
        ),
        _ => format!(
            "Within {within} neither the alarm comes nor does the mean where people breathe reach \
             the {what}{later}."
        ),
    }
}

/// What a case does, in sentences.
pub fn of_case(substance: &str, case: &ReleaseCase, horizon: f64) -> String {
    let way = match (case.state, case.motion) {
        (ReleaseState::Warmed, Motion::Rises) => "Once it has warmed, it rises",
        (ReleaseState::Warmed, Motion::Falls) => "Once it has warmed, it still falls",
        (ReleaseState::Warmed, Motion::Mixes) => "Once it has warmed, it goes with the room's air",
        (ReleaseState::Leaving, Motion::Rises) => "It rises",
        (ReleaseState::Leaving, Motion::Falls) => "It falls",
        (ReleaseState::Leaving, Motion::Mixes) => "It goes with the room's air",
    };
    let place = if case.motion == Motion::Rises {
        "ceiling"
    } else {
        "floor"
    };
    let is_pool = case.motion == Motion::Falls && case.from.value <= 0.0;
    let way = if is_pool {
        "Its vapour creeps over the floor"
    } else {
        way
    };
    let plume = case.plume.as_ref().map_or(String::new(), |plume| {
        let [least, most] = plume.dilution_band;
        if is_pool {
            return format!(
                ", with {} of {substance} in it where it comes off; spread over all of the floor \
                 it comes to {} m deep",
                said(plume.dilution),
                figure(deepest(case))
            );
        }
        format!(
            ": {} m from the release the plume brings {} of air and gas to the {place}, with {} \
             of {substance} in it ({} to {} as entrainment varies)",
            figure(plume.run.value),
            said(plume.flux),
            said(plume.dilution),
            figure(least.value),
            said(most)
        )
    });
    let vented = case.vented.as_ref().map_or(String::new(), |vented| {
        format!(
            " Between the vents, {} in effect, the layer comes to rest with {} in it and its front \
             {} above the floor.",
            said(vented.vents),
            said(vented.gas),
            said(vented.front)
        )
    });
    let comes_to = format!(
        " Mixed through the room it comes to {} at most within {}",
        said(case.highest),
        duration(horizon)
    );
    let settles = match case.steady {
        // It is there, to the figures that are said.
        Some(steady) if case.highest.value > 0.99 * steady.value => {
            format!(" Mixed through the room it settles at {}.", said(steady))
        }
        Some(steady) => format!(
            "{comes_to}; going on longer it would settle at {}.",
            said(steady)
        ),
        None => format!("{comes_to}, until all is out."),
    };
    format!("{way}{plume}.{vented}{settles}")
}

/// Depth of the layer at its deepest, m.
fn deepest(case: &ReleaseCase) -> f64 {
    case.front.iter().copied().fold(0.0, f64::max)
}

/// The oxygen that is left, in a sentence.
pub fn of_oxygen(oxygen: &FinalOxygen) -> String {
    format!(
        "Once all is out the room's air has {} of oxygen if it is pushed out unmixed, the worst \
         case, and {} if it mixes as it comes.",
        said(oxygen.plug),
        said(oxygen.mixed)
    )
}

/// Whether what leaves has the momentum of a jet.
fn is_jet(source: &ReleaseSource) -> bool {
    matches!(
        source.release,
        Some(Release::Leak(_) | Release::Cylinder(_))
    )
}

/// Where a case leaves what its formulas hold for.
pub fn notes(source: &ReleaseSource, air: &SharedAir, case: &ReleaseCase) -> Vec<String> {
    let mut notes = Vec::new();
    if let Some(plume) = &case.plume {
        let difference = plume.dilution.value / 100.0 * (1.0 - case.relative_density.value).abs();
        if difference > 0.1 {
            notes.push(format!(
                "Where the plume ends it still differs from the air's density by {:.0} %; the law \
                 of entrainment holds for small differences: read its figures as an estimate.",
                100.0 * difference.min(1.0)
            ));
        }
        let radius = (air.area.value / std::f64::consts::PI).sqrt();
        if air.height.value > radius {
            notes.push(format!(
                "The room is {:.1} m high, more than its radius on plan of {radius:.1} m: a plume \
                 stirs so tall a room, and the figures for gas mixed through it weigh more.",
                air.height.value
            ));
        }
        if plume.run.value < 0.3 {
            notes.push(
                "It is released where it ends: it spreads along the surface and hardly mixes on \
                 the way, so the layer is thin and strong."
                    .to_owned(),
            );
        }
    }
    match (&air.vents, case.motion) {
        (Some(_), Motion::Mixes) => notes.push(
            "It goes with the room's air and drives none through the vents: the air changes stand \
             for them."
                .to_owned(),
        ),
        (Some(_), _) => notes.push(
            "What gas drives through the vents is counted without wind, which can hold it up, and \
             in place of the air changes where it is more, not beside them."
                .to_owned(),
        ),
        (None, _) => {}
    }
    if case.motion != Motion::Mixes && air.air_changes > STIRRED_FROM {
        notes.push(format!(
            "{:.0} air changes an hour stir the room: the figures for gas mixed through it weigh \
             more, and a detector belongs before the extract as well.",
            air.air_changes
        ));
    }
    if is_jet(source) {
        notes.push(
            "Under pressure it leaves as a jet, which mixes more than a plume and goes where it \
             points."
                .to_owned(),
        );
    }
    notes
}

/// Air changes an hour from which ventilation stirs a room (facts of the trade: common practice).
const STIRRED_FROM: f64 = 6.0;

/// Why there is no calculation in the open.
pub fn in_the_open(room: Option<&Room>) -> String {
    match room {
        Some(room) if room.enclosure == Enclosure::Outdoor => format!(
            "{} is in the open: no room holds the gas, and wind decides where it goes. No time to \
             alarm is computed.",
            room_name(room)
        ),
        Some(room) => format!(
            "{} is open to the wind, or to a room that is: gas does not build up as in a closed \
             room, and no time to alarm is computed. Gas lighter than air can still linger under \
             the roof.",
            room_name(room)
        ),
        None => "It lies in no room, so no time to alarm is computed.".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::figure;

    #[test]
    fn figures_are_said_without_false_digits() {
        assert_eq!(figure(0.086_88), "0.0869");
        assert_eq!(figure(1.1512), "1.15");
        assert_eq!(figure(8800.0), "8800");
        assert_eq!(figure(12_345.0), "12300");
        assert_eq!(figure(99.96), "100.0");
    }
}
