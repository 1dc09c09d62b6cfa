//! Layouts to begin with: invented places of usual size, to be measured over.

use super::layout::{
    BeltPulley, Hold, Layout, Motion, Mover, Places, Point, Role, Section, Side, Turning,
};

/// Which pulleys the belt runs over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Template {
    /// Crank, water pump, and the alternator swung on its bracket.
    AlternatorAndPump,
    /// The same with a spring tensioner on the belt's back.
    WithTensioner,
    /// The same with power steering and an idler.
    WithSteering,
}

impl Template {
    /// All of them.
    pub const ALL: [Self; 3] = [
        Self::AlternatorAndPump,
        Self::WithTensioner,
        Self::WithSteering,
    ];

    /// The layout: sizes are the car's crank and alternator pulleys (effective diameter and
    /// half-width, mm), the others usual; places are invented, with half-widths that say so.
    pub fn layout(self, crank: (f64, f64), alternator: (f64, f64)) -> Layout {
        let pulley = |role, side, (diameter_mm, half_width_mm): (f64, f64)| BeltPulley {
            role,
            side,
            diameter_mm,
            half_width_mm,
        };
        let pump = pulley(Role::WaterPump, Side::Ribs, (130.0, 5.0));
        let crank = pulley(Role::Crank, Side::Ribs, crank);
        let alternator = pulley(Role::Alternator, Side::Ribs, alternator);
        let tensioner = pulley(Role::Tensioner, Side::Back, (70.0, 1.0));
        let at = Point::new;
        // A crank that turns clockwise lets the belt go to the left: that is the slack side.
        let on_arm = |pulley| Mover {
            pulley,
            motion: Motion::Arm {
                pivot: at(-185.0, 190.0),
            },
            travel: (-28.0, 10.0),
            hold: Hold::Spring,
        };
        let (pulleys, centers, mover) = match self {
            Self::AlternatorAndPump => (
                vec![crank, alternator, pump],
                vec![at(0.0, 0.0), at(230.0, 220.0), at(0.0, 250.0)],
                Mover {
                    pulley: 1,
                    motion: Motion::Arm {
                        pivot: at(250.0, 130.0),
                    },
                    travel: (-12.0, 18.0),
                    hold: Hold::Bolted,
                },
            ),
            Self::WithTensioner => (
                vec![crank, pump, alternator, tensioner],
                vec![
                    at(0.0, 0.0),
                    at(20.0, 260.0),
                    at(-260.0, 260.0),
                    at(-125.0, 135.0),
                ],
                on_arm(3),
            ),
            Self::WithSteering => (
                vec![
                    crank,
                    pulley(Role::PowerSteering, Side::Ribs, (120.0, 5.0)),
                    pump,
                    pulley(Role::Idler, Side::Back, (70.0, 1.0)),
                    alternator,
                    tensioner,
                ],
                vec![
                    at(0.0, 0.0),
                    at(200.0, 140.0),
                    at(-10.0, 300.0),
                    at(-150.0, 260.0),
                    at(-270.0, 300.0),
                    at(-125.0, 135.0),
                ],
                on_arm(5),
            ),
        };
        Layout {
            pulleys,
            places: Places::Coordinates {
                centers,
                half_width_mm: 20.0,
            },
            mover: Some(mover),
            turning: Turning::Clockwise,
            section: Section::default(),
            belt: None,
            obstacles: Vec::new(),
            back_line_mm: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::belt::{Laid, reach};

    #[test]
    fn every_template_has_a_belt_over_all_its_travel() {
        for template in Template::ALL {
            for (crank, alternator) in [(120.0, 50.0), (150.0, 60.0), (180.0, 90.0)] {
                let laid = Laid::new(&template.layout((crank, 0.6), (alternator, 0.6)))
                    .unwrap_or_else(|error| panic!("{template:?} {crank} {alternator}: {error}"));
                let reach = reach(&laid).unwrap();
                let give = reach.longest_mm - reach.shortest_mm;
                assert!((10.0..120.0).contains(&give), "{template:?}: {give}");
            }
        }
    }
}
