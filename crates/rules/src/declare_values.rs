//! The values that a text names before its machines: constants, settings, conditions; and its claims.

use crate::codes;
use crate::declare::Declaring;
use crate::form::{Slider, Unit};
use crate::names::{Condition, Constant, Lookup, World};
use crate::ranges::Typed;
use crate::syntax::{ClaimTree, ConstantTree, Ex, Name, SettingTree};
use std::collections::BTreeSet;

impl Declaring<'_> {
    pub(crate) fn constants(&mut self, world: &mut World, trees: &[ConstantTree]) {
        for tree in trees {
            if world.constants.contains_key(&tree.name.text) {
                self.twice(&tree.name, "constant");
                continue;
            }
            let mut lookup = Lookup::new(world);
            let value = lookup.constant(&tree.value);
            let limits = tree.limits.as_ref().map(|(min, max)| (lookup.constant(min), lookup.constant(max)));
            self.faults.append(&mut lookup.faults);
            if let (Some(value), Some((Some(min), Some(max)))) = (&value, limits) {
                let slider = self.slider(world.tick_ms, &tree.name, value, &min, &max);
                world.sliders.extend(slider);
            }
            let constant = value.map(|(value, typed)| Constant { value, unit: typed.unit });
            world.constants.insert(tree.name.text.clone(), constant);
        }
    }

    /// A constant with limits, in milliseconds where it has a unit.
    fn slider(
        &mut self,
        tick_ms: i64,
        name: &Name,
        (value, typed): &(i32, Typed),
        (min, least): &(i32, Typed),
        (max, most): &(i32, Typed),
    ) -> Option<Slider> {
        for limit in [least, most] {
            if limit.unit != typed.unit {
                let (message, expected) = if typed.unit {
                    ("this limit of a time has no unit", "expected `ms`, `s` or `min` behind it")
                } else {
                    ("this limit of a number is a time", "expected a plain number")
                };
                self.say(codes::LIMIT_UNIT, limit.span, message, expected);
                return None;
            }
        }
        let span = least.span.to(most.span);
        if min > max {
            let message = "there is nothing between these limits";
            self.say(codes::EMPTY_RANGE, span, message, "expected the lesser limit first");
            return None;
        }
        let (unit, scale) = if typed.unit { (Unit::Ms, tick_ms) } else { (Unit::Number, 1) };
        let slider = Slider {
            name: name.text.clone(),
            value: i64::from(*value) * scale,
            min: i64::from(*min) * scale,
            max: i64::from(*max) * scale,
            unit,
        };
        if value < min || value > max {
            let unit = if typed.unit { " ms" } else { "" };
            let message = format!("`{}` is {}{unit}, beyond its own limits", name.text, slider.value);
            let expected = format!("expected {}{unit} to {}{unit}", slider.min, slider.max);
            self.say(codes::LIMITS, typed.span, message, expected);
            return None;
        }
        Some(slider)
    }

    pub(crate) fn settings(&mut self, world: &mut World, trees: &[SettingTree]) {
        let mut seen: BTreeSet<String> = world.constants.keys().cloned().collect();
        for tree in trees {
            if !seen.insert(tree.name.text.clone()) {
                self.twice(&tree.name, "setting or constant");
                continue;
            }
            let range = self.bounded(world, &tree.name, (&tree.min, &tree.max), tree.start.as_ref());
            world.settings.push((tree.name.text.clone(), range));
        }
    }

    pub(crate) fn conditions(&mut self, world: &mut World, trees: Vec<(Name, Ex)>) {
        let mut seen = world.named_values();
        for (order, (name, ex)) in trees.into_iter().enumerate() {
            if seen.insert(name.text.clone()) {
                world.conditions.insert(name.text.clone(), Condition { order, name, ex });
            } else {
                self.twice(&name, "condition, setting or constant");
            }
        }
    }

    pub(crate) fn claims(&mut self, world: &mut World, trees: Vec<ClaimTree>) {
        let mut seen = BTreeSet::new();
        for tree in trees {
            if seen.insert(tree.name.text.clone()) {
                world.claims.push(tree);
            } else {
                self.twice(&tree.name, "claim");
            }
        }
    }
}
