import type { Location, Log, ReportingDescriptor, Result } from 'sarif';
import { listed } from '../../language/mistakes/sentence.ts';
import type { Finding, Report } from './schema.ts';

/** Where a finding or a change of it stands, as the report tells it. */
type Place = Pick<Finding, 'file' | 'line' | 'column' | 'endLine' | 'endColumn'>;

const levels: Readonly<Record<Finding['severity'], Result.level>> = {
  error: 'error',
  warning: 'warning',
  advice: 'note',
  note: 'note',
};

const baselineStates: Readonly<Record<NonNullable<Finding['baseline']>, Result.baselineState>> = {
  new: 'new',
  known: 'unchanged',
  worse: 'updated',
};

/**
 * A report as a log in the Static Analysis Results Interchange Format, for what shows findings beside a change of the text. Consequences
 * stand for themselves and name their cause; what was accepted is suppressed. `meaning` tells of a code what is found under it.
 * Source: OASIS, SARIF version 2.1.0.
 */
export function sarifOf({ findings }: Report, meaning: (code: string) => string | undefined): Log {
  const all = findings.flatMap((finding) => withConsequences(finding));
  const codes = [...new Set(all.map(({ finding }) => finding.code))].sort();
  return {
    $schema: 'https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json',
    version: '2.1.0',
    runs: [
      {
        tool: { driver: { name: 'gusset', rules: codes.map((code) => descriptor(code, meaning(code))) } },
        columnKind: 'utf16CodeUnits',
        results: all.map(({ finding, cause }) => resultOf(finding, codes.indexOf(finding.code), cause)),
      },
    ],
  };
}

function withConsequences(finding: Finding, cause?: Finding): { finding: Finding; cause?: Finding }[] {
  const own = { finding, ...(cause && { cause }) };
  return [own, ...(finding.consequences ?? []).flatMap((each) => withConsequences(each, finding))];
}

function descriptor(code: string, meaning: string | undefined): ReportingDescriptor {
  return {
    id: code,
    shortDescription: { text: code.replaceAll('_', ' ') },
    ...(meaning && { fullDescription: { text: meaning } }),
    help: { text: `gusset explain ${code}` },
  };
}

function resultOf(finding: Finding, ruleIndex: number, cause: Finding | undefined): Result {
  const { code, severity, machine, alsoAt = [], fix, accepted } = finding;
  const related = [
    ...alsoAt.map((place) => locationOf(place)),
    ...(cause ? [{ ...locationOf(cause), message: { text: `It follows from this: ${cause.message}` } }] : []),
  ];
  return {
    ruleId: code,
    ruleIndex,
    level: levels[severity],
    message: { text: messageOf(finding) },
    locations: [
      {
        ...locationOf(finding),
        ...(machine && {
          logicalLocations: [{ fullyQualifiedName: [machine, finding.path].filter(Boolean).join('.') }],
        }),
      },
    ],
    ...(related.length && { relatedLocations: related.map((each, id) => ({ id, ...each })) }),
    ...(fix && { fixes: [changeOf(fix)] }),
    ...(finding.baseline && { baselineState: baselineStates[finding.baseline] }),
    ...(accepted && !accepted.counts && { suppressions: [{ kind: 'inSource', justification: accepted.reason }] }),
  };
}

/** What is found, with what to mind and the ways out: where it is shown there is nothing beside it. */
function messageOf({ message, caution, waysOut = [], alsoIn = [] }: Finding): string {
  return [
    message,
    alsoIn.length ? `Also in ${listed(alsoIn)}.` : '',
    caution ? `Caution: ${caution}` : '',
    ...waysOut.map((way) => `Way out: ${way}.`),
  ]
    .filter(Boolean)
    .join('\n');
}

function locationOf(place: Place): Location {
  return { physicalLocation: { artifactLocation: { uri: uriOf(place.file) }, region: regionOf(place) } };
}

function regionOf({ line, column, endLine, endColumn }: Place) {
  return { startLine: line, startColumn: column, endLine, endColumn };
}

function changeOf({ title, edits }: NonNullable<Finding['fix']>): NonNullable<Result['fixes']>[number] {
  const files = [...new Set(edits.map(({ file }) => file))];
  return {
    description: { text: title },
    artifactChanges: files.map((file) => ({
      artifactLocation: { uri: uriOf(file) },
      replacements: edits
        .filter((edit) => edit.file === file)
        .map((edit) => ({ deletedRegion: regionOf(edit), insertedContent: { text: edit.text } })),
    })),
  };
}

/** A path as a reference that a URI may be: of the library's own files the URI that they have. */
function uriOf(path: string): string {
  return path
    .split('/')
    .map(encodeURIComponent)
    .join('/')
    .replace(/^library%3A/, 'library:');
}
