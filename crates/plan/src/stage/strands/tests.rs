//! Bunches near joints and near each other: fewer holes where there is less room, and a fault that says where there is none.
#![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail")]

use super::*;
use crate::memory::Printed;
use crate::stage::bunches::Lines;
use geometry::Band;
use kurbo::Point;

fn kind(lamps: u32) -> Kind {
    Kind {
        part: format!("strand-{lamps}"),
        colour: "#ffffff".into(),
        lamps,
        pitch_mm: 100.0,
        lead_mm: 400.0,
        hole_mm: 8.0,
    }
}

fn line(points: &[(f64, f64)]) -> Vec<Point> {
    points.iter().map(|&(x, y)| Point::new(x, y)).collect()
}

fn bunch(poses: &[usize], points: &[(f64, f64)]) -> Lines {
    let line = line(points);
    Lines { poses: poses.to_vec(), length_mm: crate::stage::bunches::length(&line), lines: vec![line] }
}

fn strung(bunches: Vec<Lines>, joints: &[Band], kinds: &[Kind]) -> Strung {
    let names: Vec<String> = bunches.iter().map(|bunch| format!("pose {:?}", bunch.poses)).collect();
    let bunches = bunches.into_iter().map(Printed::new).collect();
    let bunches = Bunches { width_mm: 1000.0, height_mm: 1000.0, bunches };
    let mut taken = Vec::new();
    let mut ones = Vec::new();
    for lines in &bunches.bunches {
        let one =
            one::work(&one::Input { width_mm: 1000.0, lines, taken: &taken, joints, kinds, wished_mm: 40.0 });
        taken.extend(one.iter().flat_map(|one| &one.points).copied());
        ones.push(one);
    }
    work(&Input {
        panel: "panel",
        bunches: &bunches,
        strung: ones.iter().map(Option::as_ref).collect(),
        names: &names,
        joints,
        kinds,
        wished_mm: 40.0,
        farthest_mm: 15_000.0,
        units: Units::Millimetres,
    })
}

/// No hole nearer to another than two diameters, none in a joint. Common practice.
fn lawful(strung: &Strung, joints: &[Band]) {
    for (index, one) in strung.holes.iter().enumerate() {
        for other in &strung.holes[..index] {
            let apart = libm::hypot(one.x_mm - other.x_mm, one.y_mm - other.y_mm);
            assert!(apart >= 16.0 - 0.05, "{} and {} are {apart} apart", one.number, other.number);
        }
        for band in joints {
            let place = if band.upright { one.x_mm } else { one.y_mm };
            assert!((place - band.at).abs() >= band.half - 1e-6, "hole {} in the joint", one.number);
        }
    }
    for strand in &strung.strands {
        let parked: u32 = strand.hops.iter().map(|hop| hop.parked).sum();
        let holes = u32::try_from(strand.last_hole + 1 - strand.first_hole).unwrap();
        assert_eq!(holes + parked + strand.spare, strand.lamps, "every lamp is somewhere");
    }
}

/// 400 mm of line with 96 mm of it in a joint leave 304 mm: 19 or 20 places 16 mm apart, fewer than 25 lamps.
#[test]
fn a_bunch_across_a_wide_joint_gets_fewer_holes_and_spare_lamps() {
    let joint = [Band { upright: true, at: 500.0, half: 48.0 }];
    let strung = strung(vec![bunch(&[0], &[(300.0, 500.0), (700.0, 500.0)])], &joint, &[kind(25)]);
    assert_eq!(
        strung.findings.iter().filter(|f| f.severity == Severity::Fault).count(),
        0,
        "{:?}",
        strung.findings
    );
    assert_eq!(strung.strands.len(), 1);
    assert!(strung.holes.len() < 25 && strung.holes.len() >= 15, "{}", strung.holes.len());
    lawful(&strung, &joint);
}

#[test]
fn a_bunch_beside_another_goes_without_the_stretch_that_is_taken() {
    // The second runs 10 mm beside the first for half of its way; holes keep 16 mm.
    let first = bunch(&[0], &[(100.0, 500.0), (500.0, 500.0)]);
    let second = bunch(&[1], &[(300.0, 510.0), (700.0, 510.0)]);
    let strung = strung(vec![first, second], &[], &[kind(25)]);
    assert_eq!(
        strung.findings.iter().filter(|f| f.severity == Severity::Fault).count(),
        0,
        "{:?}",
        strung.findings
    );
    assert_eq!(strung.strands.len(), 2);
    lawful(&strung, &[]);
}

#[test]
fn a_bunch_along_a_joint_is_told_with_its_place_and_a_cure() {
    let joint = [Band { upright: false, at: 500.0, half: 16.0 }];
    let bunches =
        vec![bunch(&[0], &[(100.0, 200.0), (900.0, 200.0)]), bunch(&[1], &[(300.0, 505.0), (700.0, 505.0)])];
    let strung = strung(bunches, &joint, &[kind(25)]);
    assert_eq!(strung.strands.len(), 1, "the other bunch is strung all the same");
    let [fault] =
        &strung.findings.iter().filter(|f| f.code == "drill/no-strand-fits").collect::<Vec<_>>()[..]
    else {
        panic!("{:?}", strung.findings)
    };
    assert_eq!(fault.severity, Severity::Fault);
    for part in ["bunch pose [1]", "400 mm of it", "a joint", "500 mm across and 505 mm up", "strand-25"] {
        assert!(fault.verdict.contains(part), "{part}: {}", fault.verdict);
    }
    assert!(fault.cures[0].words.contains("joint"));
}
