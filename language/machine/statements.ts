import type { Absence, Body, Checked, Entry, Measurement, Requirement, Setting } from '../grammar/generated/ast.ts';

/** The statements of a body, sorted by what they are for. */
interface Statements {
  /** What is said of values, by their names. */
  readonly values: ReadonlyMap<string, StatementsOnValue>;
  /** Names of values that are open choices. */
  readonly open: readonly string[];
  readonly requirements: readonly Requirement[];
  readonly measurements: readonly Measurement[];
  /** What was checked of the machine that was built, and what was set in its controller. */
  readonly records: readonly (Checked | Setting)[];
}

interface StatementsOnValue {
  /** The first assignment. */
  readonly given?: Entry;
  /** The first measurement that is used in place of what is computed. */
  readonly measured?: Measurement;
  /** The statement that it is deliberately not there: of a value or a block. */
  readonly absent?: Absence;
}

const known = new WeakMap<Body, Statements>();
const nothing: Statements = { values: new Map(), open: [], requirements: [], measurements: [], records: [] };

/** What a body says. Bodies of the library and of files that are not edited are sorted once. */
export function statementsOf(body: Body | undefined): Statements {
  if (!body) return nothing;
  let found = known.get(body);
  if (!found) {
    found = sorted(body);
    known.set(body, found);
  }
  return found;
}

function sorted(body: Body): Statements {
  const values = new Map<string, StatementsOnValue>();
  const add = (name: string, what: StatementsOnValue) => values.set(name, { ...what, ...values.get(name) });
  const open: string[] = [];
  const requirements: Requirement[] = [];
  const measurements: Measurement[] = [];
  const records: (Checked | Setting)[] = [];
  for (const node of body.members) {
    if (node.$type === 'Entry' && node.equals && !node.type && node.first) {
      add(node.first.text, { given: node });
      if (node.value?.$type === 'Open') open.push(node.first.text);
    } else if (node.$type === 'Absence' && node.name) add(node.name.text, { absent: node });
    else if (node.$type === 'Requirement') requirements.push(node);
    else if (node.$type === 'Checked' || node.$type === 'Setting') records.push(node);
    else if (node.$type === 'Measurement') {
      measurements.push(node);
      if (node.inPlace && node.target?.$type === 'Reference' && node.target.name)
        add(node.target.name.text, { measured: node });
    }
  }
  return { values, open, requirements, measurements, records };
}
