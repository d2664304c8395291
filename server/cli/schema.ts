import * as z from 'zod';

/**
 * The shape of what `gusset check --format json` prints. It is published as JSON Schema by `gusset check --schema`, and with
 * each release as a file beside the program.
 */

const line = z.int().min(1);
const place = {
  file: z.string().describe('Path, relative to where the command ran where it lies within'),
  line: line.describe('From 1'),
  column: line.describe('From 1, in UTF-16 code units'),
  endLine: line,
  endColumn: line.describe('The first column that does not belong to it'),
};
const path = z.string().describe('The block below its machine, such as `a.b`; empty for the machine itself');
const names = z.array(z.string());
const amount = z.number().nullable();

const common = {
  text: z.string().describe('As people read it'),
  origin: z
    .enum(['given', 'default', 'derived', 'measured', 'open', 'proposed', 'absent', 'missing'])
    .optional()
    .describe('Where it comes from; left out for what stands in a list'),
};
const inUnit = {
  unit: z.string().describe('A coherent SI unit; 1 for counts and ratios'),
  temperature: z.enum(['point', 'difference']).optional().describe('For temperatures, both in kelvins'),
};

const quantity = z
  .strictObject({ si: z.number().describe('Not rounded'), ...inUnit, ...common })
  .describe('A quantity');
const sides = z.strictObject({ si: z.array(z.number()), ...inUnit, ...common }).describe('A size, side by side');
const range = z
  .strictObject({ si: z.null(), low: z.number(), high: z.number(), ...inUnit, ...common })
  .describe('It lies between both, because something it depends on was given as a range');
const bounds = z
  .strictObject({
    si: z.null(),
    low: z.number().optional(),
    high: z.number().optional(),
    ...inUnit,
    missing: names.describe('What would have to be given to know it'),
    ...common,
  })
  .describe('At least `low`, at most `high`: a part of it is not known');
const unknown = z
  .strictObject({
    si: z.null(),
    unit: inUnit.unit.optional(),
    temperature: inUnit.temperature,
    missing: names,
    unreadable: names.optional().describe('What is given, but with a mistake in it'),
    ...common,
  })
  .describe('Not known, because something was not given');
const impossible = z
  .strictObject({
    si: z.null(),
    unit: inUnit.unit.optional(),
    temperature: inUnit.temperature,
    error: z.string(),
    ...common,
  })
  .describe('It cannot be computed');
const price = z
  .strictObject({ amount: z.number(), currency: z.string().describe('ISO 4217'), ...common })
  .describe('An amount of money');
const priceBounds = z
  .strictObject({
    amount: z.null(),
    low: z.number().optional(),
    high: z.number().optional(),
    currency: z.string(),
    missing: names,
    ...common,
  })
  .describe('An amount of money of which a part is not known');
const word = z
  .strictObject({ value: z.union([z.boolean(), z.string()]), ...common })
  .describe('A yes-or-no, a choice, a text or a date');
const block = z.strictObject({ block: z.string(), ...common }).describe('Points at a block, or at a part by its name');
const curve = z
  .strictObject({
    x: z.array(z.number()),
    y: z.array(z.number()),
    units: z.tuple([z.string(), z.string()]).describe('Of x and of y'),
    ...common,
  })
  .describe('A curve through points');
const list = z
  .strictObject({
    get list() {
      return z.array(value);
    },
    ...common,
  })
  .describe('Several values');
const value: z.ZodType<Value> = z
  .union([quantity, sides, range, bounds, unknown, impossible, price, priceBounds, word, block, curve, list])
  .meta({ id: 'Value' });

type Plain = z.infer<
  | typeof quantity
  | typeof sides
  | typeof range
  | typeof bounds
  | typeof unknown
  | typeof impossible
  | typeof price
  | typeof priceBounds
  | typeof word
  | typeof block
  | typeof curve
>;
export type Value = Plain | { list: Value[]; text: string; origin?: Plain['origin'] };

const searched = z.string().describe('Said where it rests on ranges: how many points the worst was searched at');
const worst = z
  .string()
  .describe('Where the ranges are taken at which it is worst: "at ambient 15 °C and mains 253 V"');

const wants = {
  missing: names.describe('What is not given'),
  unreadable: names.optional().describe('What is given, but with a mistake in it'),
  because: z.string().optional().describe('Why something it needs cannot be computed'),
};

const failed = z
  .array(
    z.strictObject({
      of: z.string().optional().describe('The block of which it fails, where the condition is asked of several'),
      condition: z.string().describe('As written'),
      message: z.string().describe('With its numbers'),
      margin: z
        .number()
        .optional()
        .describe('(limit - value) / limit, below zero; left out where nothing is compared by size'),
      marginUnit: z.enum(['1', 'K']).optional().describe('K for points of temperature: there it is a difference'),
      operands: z.array(
        z.strictObject({
          expression: z.string(),
          value: z
            .union([z.number(), z.boolean(), z.string()])
            .nullable()
            .describe('Not rounded; null where it is not one number or word'),
          unit: z.string().optional().describe('A coherent SI unit, or a currency by ISO 4217'),
          shown: z.string().describe('As people read it'),
        }),
      ),
    }),
  )
  .describe(
    'The parts of its condition that fail: what each compares and, after each side, the names it is computed from',
  );

const requirement = z.strictObject({
  text: z.string().describe('As written'),
  path,
  holds: z.boolean().nullable().describe('null where it cannot be decided'),
  margin: amount.describe('(limit - value) / limit, negative where it fails; null where nothing is compared or known'),
  marginUnit: z.enum(['1', 'K']).optional().describe('K for points of temperature: there the margin is a difference'),
  marginText: z.string().optional(),
  value: z.string().optional().describe('What it comes to, as people read it'),
  worst: worst.optional(),
  over: z
    .string()
    .optional()
    .describe('What it comes out alike for, where it lacks values: over all that can be meant at all'),
  searched: searched.optional(),
  failed: failed.optional(),
  proved: z
    .boolean()
    .optional()
    .describe('It rests on ranges, and is certain to be nowhere worse: the sign of every slope is, or nothing changes'),
  missing: wants.missing.optional(),
  unreadable: wants.unreadable,
  because: wants.because,
  known: z.boolean().optional().describe('It fails, and did so before, by the baseline: it does not count'),
  message: z.string().describe('How it stands, with its numbers, or what keeps it from being decided'),
  ...place,
});

const candidate = z.strictObject({ text: z.string().describe('As it would be written'), shown: z.string() });

const severity = z.enum(['error', 'warning', 'advice', 'note']);

const open = z.strictObject({
  path: z.string().describe('The value, or the block whose part is open'),
  answer: z.string().describe('What is proposed, and how far it is to be relied on, in words'),
  proposed: candidate.nullable().describe('null where nothing can be proposed'),
  nearest: candidate
    .nullable()
    .describe('Where nothing passes, what breaks the fewest rules: the findings and values are those with it'),
  mayBeWritten: z.boolean().describe('False where nothing is proposed, or a rule about safety could not be decided'),
  obstacles: z
    .array(
      z.strictObject({ code: z.string().describe('The name of the rule'), candidate: z.string(), message: z.string() }),
    )
    .describe('What ruled out the three nearest to what stands in its place, the nearest last'),
  alike: z.array(z.string()).describe('Where several fit and nothing tells which is better: these; none is proposed'),
  bestFound: z.boolean().describe('Is it not certain that no other combination of choices comes out better?'),
  candidates: z
    .array(
      z.strictObject({
        text: z.string().describe('As it would be written'),
        shown: z.string(),
        failures: z.array(
          z.strictObject({ code: z.string().describe('The name of the rule'), severity, message: z.string() }),
        ),
      }),
    )
    .optional()
    .describe('All that could stand there with what fails with each, while the other choices stand as they are'),
  undecided: z
    .array(
      z.strictObject({ code: z.string().describe('The name of the rule'), ...wants, caution: z.string().optional() }),
    )
    .describe('Rules that depend on it and could not be decided; with a caution where they are about safety'),
  ...place,
});

const undecided = z.strictObject({
  code: z.string().describe('The name of the rule'),
  path,
  ...wants,
  message: z.string().describe('The same in words'),
});

const notSaid = z.strictObject({
  path: z.string().describe('What is missing: a value or a block below its machine'),
  question: z.string().describe('In words, such as "What feeds it?"'),
  waiting: z.int().describe('How many rules wait for it'),
  safety: z.int().describe('How many of them are about the safety of people'),
  taken: z
    .string()
    .optional()
    .describe('What is taken for it until it is said: the rules rest on that, and do not wait'),
  undecided: z
    .array(z.strictObject({ code: z.string().describe('The name of the rule'), path }))
    .describe('Those that are undecided for want of it'),
  ...place,
});

const measurement = z.strictObject({
  path: z.string(),
  measured: z.string(),
  computed: z.string(),
  deviation: amount.describe('(measured - computed) / computed'),
  deviationUnit: z.enum(['1', 'K']).describe('K for points of temperature: there the deviation is a difference'),
  date: z.string(),
  inPlace: z.boolean().describe('Is it used in place of the computed value?'),
  ...place,
});

const check = z.strictObject({
  path: path.describe('The block that is checked, below its machine'),
  check: z.string().describe('Its name, as a record writes it'),
  title: z.string().describe('What is checked, in words'),
  stage: z.string(),
  stageTitle: z.string().describe('When it is made, in words: the list stands in the order in which that is safe'),
  how: z.string(),
  expected: z.string().nullable().describe('What is to be read, such as "at most 0.1 ohm"; null where it is only done'),
  least: z.number().nullable().describe('The least that may be read, in coherent SI units; temperatures in K'),
  most: z.number().nullable(),
  caution: z.string().optional().describe('People can be hurt: what to mind'),
  state: z
    .enum(['open', 'made', 'lapsed', 'outside'])
    .describe(
      'outside: what was read is not what is expected; lapsed: it was made with other values than there are now',
    ),
  record: z
    .strictObject({
      date: z.string(),
      read: z.string().nullable(),
      changed: z.array(z.string()).describe('What is otherwise now, in words'),
      ...place,
    })
    .nullable(),
  ...place,
});

const setting = z.strictObject({
  path: z.string(),
  set: z.string(),
  designed: z.string(),
  agrees: z.boolean().nullable().describe('null where the design tells nothing to compare with'),
  date: z.string(),
  ...place,
});

const accepted = z.strictObject({
  reason: z.string(),
  lapsed: z.string().optional().describe('Why it no longer counts: the value has grown worse than the one accepted'),
  withoutValue: z.boolean().describe('No value was stated, so that it could never lapse'),
  counts: z.boolean().describe('Does the finding still count? It does where it lapsed, and where people can be hurt'),
});

const findingFields = {
  code: z
    .string()
    .describe(
      'What is found, in one word that `gusset explain` knows: the name of a rule, `requirement`, `not_computable`, `nothing_fits`, what is wrong with a record, such as `record_lapsed`, or the code of a mistake in the text',
    ),
  severity,
  message: z.string(),
  machine: z.string().nullable().describe('null for a mistake in the text'),
  path: path.nullable(),
  requirement: z.string().optional().describe('The requirement that is not met, as written'),
  ...place,
  worst: worst.optional(),
  searched: searched.optional(),
  caution: z.string().optional().describe('People can be hurt: what to mind'),
  alsoAt: z.array(z.strictObject(place)).optional().describe('Other places that it is about'),
  waysOut: z.array(z.string()).optional(),
  fix: z
    .strictObject({
      title: z.string().describe('What it does, and to which number'),
      edits: z.array(z.strictObject({ ...place, text: z.string().describe('What is to stand there instead') })),
    })
    .optional()
    .describe(
      'A change of the text that mends it: of a finding the first that was tried on all machines at hand, and is sound',
    ),
  failed: failed.optional(),
  accepted: accepted.optional(),
  weighed: z
    .strictObject({
      severity: severity.describe('What the project has it count as'),
      byRule: severity.describe('What its rule says'),
      because: z.string(),
    })
    .optional()
    .describe(
      'The project file has it count otherwise than its rule. It stays as grave as that where what follows is about safety',
    ),
  baseline: z
    .enum(['new', 'known', 'worse'])
    .optional()
    .describe('Where findings known before were given: is it one of them, and no worse? Then it does not count'),
  alsoIn: names
    .optional()
    .describe('Variants of the machine, in the same file, that have it as well: it is not listed again for them'),
};
const finding: z.ZodType<Finding> = z
  .strictObject({
    ...findingFields,
    get consequences() {
      return z.array(finding).optional().describe('What follows from it, and is not listed by itself');
    },
  })
  .meta({ id: 'Finding' });
export interface Finding extends z.infer<z.ZodObject<typeof findingFields>> {
  consequences?: Finding[];
}

const machine = z
  .strictObject({
    name: z.string(),
    file: z.string(),
    line,
    on: z.string().optional().describe('What it is judged on: another block of its file that has it as it is'),
    values: z.record(z.string(), value).optional().describe('By path below the machine; with --values'),
    requirements: z.array(requirement),
    open: z.array(open),
    decided: z.int().describe('How many times a rule could be decided, for one block each'),
    undecided: z.array(undecided),
    notSaid: z
      .array(notSaid)
      .describe('What is expected, or what rules wait for, and not said yet: what most rules wait for first'),
    proved: z.int().describe('How many rules rest on ranges, and are certain to hold wherever these are taken'),
    searched: z
      .array(
        z.strictObject({
          code: z.string().describe('The name of the rule'),
          path,
          searched,
          everyEnd: z.boolean().describe('Was every combination of the ends of ranges among what was tried?'),
        }),
      )
      .describe('Rules that hold wherever they were tried, which was not everywhere'),
    whatever: z
      .array(z.strictObject({ code: z.string().describe('The name of the rule'), path, over: z.string() }))
      .describe('Rules that lack values, and hold whatever is said for these: over all that can be meant at all'),
    measurements: z.array(measurement),
    settings: z.array(setting).describe('What was set in the controller'),
    commissioning: z
      .array(check)
      .describe('What is to be checked once it is built, in the order in which that is safe'),
  })
  .meta({ id: 'Machine' });

export const reportSchema = z
  .strictObject({ machines: z.array(machine), findings: z.array(finding) })
  .meta({ title: 'What gusset check finds' });

export type Report = z.infer<typeof reportSchema>;
export type MachineReport = z.infer<typeof machine>;
export type Severity = z.infer<typeof severity>;

/** The schema of the report as JSON Schema, draft 2020-12. */
export function reportJsonSchema(): unknown {
  return z.toJSONSchema(reportSchema, { target: 'draft-2020-12' });
}
