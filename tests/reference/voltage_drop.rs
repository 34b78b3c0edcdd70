//! Voltage along a segment against hand calculation.
//!
//! The spur of 300 m with 20 loads of 30 mA on 1.5 mm² class 5 at 50 °C: ΔU = 2 r L I (n+1)/(2n)
//! = 2 · 14.868 Ω/km · 0.3 km · 0.6 A · 21/40 = 2.810 V (computed by hand from IEC 60228's
//! 13.3 Ω/km and 0.00393 /K of IEC 60287, the latter from memory).

use brattice::engine::bus::line;
use brattice::engine::{Silent, run};
use brattice::model::{DeviceId, Edit, Project, SegmentId, apply};
use serde_json::{Value, json};

const N: usize = 20;

/// A corridor 300 m long with a device every 15 m at cable height, wired in one line. No slack,
/// no terminations: the cable is 300 m.
fn spur(cable: &str, order: &[usize]) -> Project {
    let load = json!({"normal": 0.03, "alarm": 0.03, "least": 18.0});
    let devices: Vec<Value> = (1..=N)
        .map(|id| {
            let at = [15.0 * id as f64 + 1.0, 1.0];
            json!({"id": id, "tag": format!("FD-{id:02}"), "floor": 1, "at": at,
                   "height": 2.8, "part": "FD"})
        })
        .collect();
    let flexible = json!({"is": "cable", "cross_section_mm2": 1.5, "class": "flexible"});
    let fixed = json!({"is": "cable", "cross_section_mm2": 2.5, "class": "fixed"});
    let panel = json!({
        "is": "panel", "connections": 1, "devices_per_connection": 40, "measuring_points": 64,
        "current_per_connection": 1.0, "longest_segment_m": 5000.0, "bus_voltage": 24.0,
        "bus_voltage_least": 21.6
    });
    let project = json!({
        "head": {"name": "Spur"},
        "basis": {"slack": 0.0, "termination": 0.0, "termination_panel": 0.0},
        "catalogue": {"items": [
            {"part": "FD", "description": "", "price": 1.0,
             "kind": {"is": "sounder", "load": load}},
            {"part": "CP", "description": "", "price": 1.0, "kind": panel},
            {"part": "F150", "description": "", "price": 1.0, "kind": flexible},
            {"part": "C250", "description": "", "price": 1.0, "kind": fixed},
        ]},
        "floors": [{"id": 1, "name": "Ground", "elevation": 0.0}],
        "rooms": [{"id": 1, "floor": 1, "number": "1", "name": "gallery", "room_use": "corridor",
                   "outline": [[0, 0], [303, 0], [303, 2], [0, 2]], "ceiling": 3.0}],
        "devices": devices,
        "panels": [{"id": 1, "tag": "CP-1", "floor": 1, "at": [1.0, 1.0], "height": 2.8,
                    "part": "CP"}],
        "segments": [{"id": 1, "tag": "S1", "panel": 1, "connection": 1, "topology": "line",
                      "cable": cable, "devices": order}],
    });
    let project: Project = serde_json::from_value(project).expect("the spur is a project");
    let unchanged = Edit::All {
        label: "check".to_owned(),
        edits: Vec::new(),
    };
    apply(&project, &unchanged).expect("the spur is legal")
}

fn volts(project: &Project) -> Vec<(DeviceId, f64)> {
    let results = run(project, &Silent);
    let segment = &results.segments[&SegmentId(1)];
    segment
        .volts
        .iter()
        .map(|at| (at.device, at.volts.value))
        .collect()
}

#[test]
fn spur_with_equal_loads_loses_2_810_volts() {
    let order: Vec<usize> = (1..=N).collect();
    let volts = volts(&spur("F150", &order));
    let last = volts.last().expect("twenty devices").1;
    assert!((21.6 - last - 2.810).abs() < 5e-4, "{}", 21.6 - last);
}

/// The same line as a network solved by its nodes: conductances between neighbours, loads drawn,
/// the panel held at 21.6 V; Gaussian elimination. Devices in a doubled-back order, so that the
/// cables differ in length.
#[test]
fn volts_are_those_of_the_network_solved_by_its_nodes() {
    let order: Vec<usize> = (1..=N).rev().step_by(2).chain((1..=N).step_by(2)).collect();
    let project = spur("C250", &order);
    let ours = volts(&project);
    let at = |id: usize| 15.0 * id as f64 + 1.0;
    let ohm_per_m = 2.0 * 7.41 * (1.0 + 0.00393 * 30.0) / 1000.0;
    let mut before = 1.0;
    let siemens: Vec<f64> = order
        .iter()
        .map(|&id| {
            let metres = (at(id) - before).abs();
            before = at(id);
            1.0 / (ohm_per_m * metres)
        })
        .collect();
    let theirs = by_nodes(&siemens, 21.6, 0.03);
    for ((device, ours), (id, theirs)) in ours.into_iter().zip(order.iter().zip(theirs)) {
        assert_eq!(device, DeviceId(*id as u32));
        assert!(
            (ours - theirs).abs() < 1e-9,
            "{device}: {ours} against {theirs}"
        );
    }
}

/// Node voltages of a chain fed at its start.
fn by_nodes(siemens: &[f64], supply: f64, load: f64) -> Vec<f64> {
    let n = siemens.len();
    let mut rows = vec![vec![0.0; n + 1]; n];
    for (node, row) in rows.iter_mut().enumerate() {
        row[node] += siemens[node];
        match node {
            0 => row[n] += siemens[0] * supply,
            _ => row[node - 1] -= siemens[node],
        }
        if node + 1 < n {
            row[node] += siemens[node + 1];
            row[node + 1] -= siemens[node + 1];
        }
        row[n] -= load;
    }
    for pivot in 0..n {
        for below in pivot + 1..n {
            let factor = rows[below][pivot] / rows[pivot][pivot];
            let above = rows[pivot].clone();
            for (cell, above) in rows[below].iter_mut().zip(above) {
                *cell -= factor * above;
            }
        }
    }
    let mut volts = vec![0.0; n];
    for node in (0..n).rev() {
        let known: f64 = (node + 1..n)
            .map(|other| rows[node][other] * volts[other])
            .sum();
        volts[node] = (rows[node][n] - known) / rows[node][node];
    }
    volts
}

/// All load at the far end: 2 · 14.8694 Ω/km · 0.3 km · 0.6 A = 5.353 V; two loads by hand.
#[test]
fn one_and_two_loads_agree_with_hand_calculation() {
    let far = line::volts(21.6, 14.8694, &[300.0], &[0.6]);
    assert!((21.6 - far[0] - 5.3530).abs() < 1e-4);
    // 100 m carry 0.5 A, the next 50 m carry 0.2 A, at 10 Ω/km: 1.0 V, then 0.2 V.
    let two = line::volts(24.0, 10.0, &[100.0, 50.0], &[0.3, 0.2]);
    assert!((two[0] - 23.0).abs() < 1e-12 && (two[1] - 22.8).abs() < 1e-12);
}
