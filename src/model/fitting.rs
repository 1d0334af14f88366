//! Which values of a machine's facets go together, and with where the body is.

use super::apparatus::{
    Apparatus, BAR, BAR_AWAY, BOARD, BOX, FOOT_END, LONG, NOTHING, PLATFORM, SHORT, Served,
};
use super::movement::Movement;
use super::placed::{Feet, On, Placed};

/// Values that are left of each facet, best first; `None`: any.
pub type Allowed = Vec<Option<Vec<usize>>>;

/// Leaves of each facet only values that go with where the body is and with every value left of the facets that need something of it. A thing
/// that asks for what is not allowed is left out if another value of its facet remains.
///
/// # Errors
/// Why nothing remains, in plain words.
pub fn fitting(
    machine: &Apparatus,
    mut allowed: Allowed,
    placed: &[Placed],
) -> Result<Allowed, String> {
    for p in placed {
        for (key, good) in wanted(p) {
            let Some(f) = machine.facet(key) else {
                // Of what a machine says nothing about, nothing is there.
                let stands = machine.absent.iter().find(|(k, _)| k == key);
                if !good(stands.map_or(NOTHING, |(_, value)| value)) {
                    return Err(format!(
                        "its position needs a different {key} from what this machine has"
                    ));
                }
                continue;
            };
            let spec = &machine.facets[f];
            let all = || (0..spec.values.len()).collect();
            let mut left: Vec<usize> = allowed[f].take().unwrap_or_else(all);
            left.retain(|&v| good(&spec.values[v]));
            if left.is_empty() {
                return Err(format!("its position does not go with its {}", spec.name));
            }
            allowed[f] = Some(left);
        }
    }
    for k in 0..machine.facets.len() {
        for value in allowed[k].clone().unwrap_or_default() {
            if !make_room(machine, &mut allowed, k, value) {
                let rest = allowed[k].get_or_insert_default();
                rest.retain(|v| *v != value);
                if rest.is_empty() {
                    let name = &machine.facets[k].name;
                    return Err(format!(
                        "its {name} does not go with the rest of what it asks for"
                    ));
                }
            }
        }
    }
    Ok(allowed)
}

/// Leaves of the other facets what this value needs of them; false, and nothing changed, if nothing would be left.
fn make_room(machine: &Apparatus, allowed: &mut Allowed, k: usize, value: usize) -> bool {
    let mut after = allowed.clone();
    for (key, good) in &machine.facets[k].needs[value] {
        let Some(other) = machine.facet(key) else {
            continue;
        };
        let names = &machine.facets[other].values;
        let in_their_order = || {
            let found = good
                .iter()
                .filter_map(|g| names.iter().position(|n| n == g));
            found.collect()
        };
        let mut left: Vec<usize> = after[other].take().unwrap_or_else(in_their_order);
        left.retain(|v| good.contains(&names[*v]));
        if left.is_empty() {
            return false;
        }
        after[other] = Some(left);
    }
    *allowed = after;
    true
}

/// Whether a value is good.
type Good = fn(&str) -> bool;

/// What a body there wants of facets that code knows by name.
fn wanted(placed: &Placed) -> Vec<(&'static str, Good)> {
    let mut all: Vec<(&str, Good)> = Vec::new();
    match placed.on {
        On::Floor => {}
        On::Carriage | On::CarriageAndFloor | On::CarriageAndPlatform => {
            all.push((BOX, |v| v == NOTHING));
        }
        On::LongBox => all.push((BOX, |v| v == LONG)),
        On::ShortBox => all.push((BOX, |v| v == SHORT)),
    }
    if placed.on == On::CarriageAndPlatform {
        all.push((FOOT_END, |v| v == PLATFORM));
    }
    if placed.feet == Feet::Board {
        all.push((FOOT_END, |v| v == BOARD));
    }
    if placed.at_the_bar() {
        all.push((FOOT_END, |v| v == NOTHING));
        all.push((BAR, |v| !BAR_AWAY.contains(&v)));
    }
    all
}

impl Apparatus {
    /// The values of each facet that a movement is done with here, best first; `None`: it does not care. Where a facet holds things, a movement
    /// that does not name it is done with nothing there.
    ///
    /// # Errors
    /// Why there are none, in plain words; what [`Self::serve`] says of each need by itself is not repeated.
    pub fn values_for(&self, movement: &Movement) -> Result<Allowed, String> {
        let mut allowed: Allowed = (self.facets.iter())
            .map(|f| f.holds_things().then(|| vec![0]))
            .collect();
        for need in &movement.facets {
            if let Served::Values { facet, values } = self.serve(need) {
                let mut each = Vec::new();
                for v in values {
                    if !each.contains(&v) {
                        each.push(v);
                    }
                }
                allowed[facet] = Some(each);
            }
        }
        let placed: Vec<Placed> = [&movement.start, &movement.end]
            .iter()
            .flat_map(|base| self.postures.nodes_of(base))
            .map(|node| self.postures.postures[node].placed)
            .collect();
        fitting(self, allowed, &placed)
    }

    /// Why a movement cannot be done on this machine, one reason a line in plain words; empty if it can.
    pub fn cannot_serve(&self, movement: &Movement) -> Vec<String> {
        let mut reasons = Vec::new();
        if self.springs_for(&movement.springs).is_empty() {
            reasons.push("no set of its springs gives the load that is asked for".to_owned());
        }
        for need in &movement.facets {
            if self.serve(need) == Served::Never {
                reasons.push(match self.facet(&need.facet) {
                    Some(f) => format!(
                        "its {} cannot be set to {}",
                        self.facets[f].name,
                        need.allowed.join(" or ")
                    ),
                    None => format!("it has no {}", need.facet),
                });
            }
        }
        for base in [&movement.start, &movement.end] {
            if !self.postures.has(base) {
                reasons.push(format!(
                    "the position \u{201c}{base}\u{201d} is not known on it"
                ));
            }
        }
        reasons.dedup();
        if reasons.is_empty() {
            reasons.extend(self.values_for(movement).err());
        }
        reasons
    }
}
