/** A bench with a plate that hangs by two springs; how far it goes down is computed by steps. */
export const own = (steps: string, formula = 'weight / both', rest = '') => `/// A plate that hangs by two springs.
kind hung_plate {
  inside machine
  mass: Mass
  stiffness: Stiffness
  /// How far it goes down.
  sag: Length = ${formula} {
${steps}
    source defined "Hooke's law"
  }
${rest}}
machine Bench {
  ambient = 20 degC
  hung_plate {
    mass = 2 kg
    stiffness = 1 N/mm
  }
}
`;
/** Two steps: what the plate weighs, and how stiff both springs are. */
export const springs = `    where weight = mass * free_fall
    where both = 2 * stiffness`;
