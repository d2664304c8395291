import { z } from 'zod';

const path = z.string().describe('The path below the machine; empty for the machine itself');
const state = z
  .enum(['fails', 'accepted', 'undecided', 'holds', 'unasked', 'absent'])
  .describe('`unasked` where the rule does not apply, `absent` where there is no such block or requirement');

const edit = z.strictObject({
  is: z.enum(['added', 'removed', 'changed', 'moved']),
  path: z.string().describe('What was changed: a value or a block below the machine, or what is declared'),
  file: z.string(),
  before: z.string().nullable(),
  after: z.string().nullable(),
  text: z.string().describe('The same in words'),
});

const turn = z.strictObject({
  code: z.string().describe('The name of a rule, the text of a requirement, or what is found by no rule'),
  path,
  before: state,
  after: state,
  severity: z.enum(['error', 'warning', 'advice', 'note']),
  message: z.string(),
  caution: z.string().optional().describe('People can be hurt: what to mind'),
  follows: z.boolean().describe('Does it only follow from another that turned the same way?'),
  causes: z
    .array(z.array(z.int()))
    .optional()
    .describe(
      'Of what fails or is undecided now: the smallest sets of edits, by their places in `edits`, each of which brings it about; empty where no edit does',
    ),
});

const margin = z.strictObject({
  code: z.string(),
  path,
  before: z.string(),
  after: z.string(),
  change: z
    .number()
    .describe('As a share of the limit, a kelvin counted as a hundredth; below zero where less is to spare'),
});

const value = z.strictObject({
  path: z.string(),
  before: z.string().nullable(),
  after: z.string().nullable(),
  change: z.number().nullable().describe('As a share of the larger'),
  own: z.boolean().describe('Is it one of the machine itself, and not of a block in it?'),
});

const part = z.strictObject({
  name: z.string(),
  is: z.enum(['comes', 'goes', 'changes']),
  what: z.string().nullable().describe('What differs of it: `quantity 4 → 6`'),
});

const moved = {
  turns: z.array(turn).describe('Rules and requirements that stand otherwise, the gravest first'),
  margins: z.array(margin).describe('Those that moved most first'),
  values: z.array(value),
  parts: z.array(part),
};

const side = z.strictObject({ machine: z.string(), file: z.string(), revision: z.string().nullable() });

const machine = z
  .strictObject({
    before: side,
    after: side,
    edits: z.array(edit),
    renamed: z.array(z.strictObject({ before: z.string(), after: z.string() })),
    mistakes: z.array(z.string()).describe('What is wrong with the text now, and was not'),
    unread: z.int().describe('Places of either text that cannot be read, and are not compared'),
    ...moved,
    byLibrary: z
      .strictObject(moved)
      .nullable()
      .describe('What moved because the library is another one, not the text; null where it is the same'),
  })
  .meta({ id: 'Compared' });

const comparisonSchema = z
  .strictObject({
    machines: z.array(machine),
    come: z.array(z.string()).describe('Machines that only the second has'),
    gone: z.array(z.string()).describe('Machines that only the first has'),
  })
  .meta({ title: 'What gusset compare finds' });

export type ComparedFiles = z.infer<typeof comparisonSchema>;
export type Compared = z.infer<typeof machine>;
export type Turned = z.infer<typeof turn>;

/** The schema of a comparison as JSON Schema, draft 2020-12. */
export function comparisonJsonSchema(): unknown {
  return z.toJSONSchema(comparisonSchema, { target: 'draft-2020-12' });
}
