// The requirements of the file's machines in the editor's own view of tests: a suite for each machine, run on each change.
import {
  type Disposable,
  Location,
  Position,
  Range,
  type TestItem,
  TestMessage,
  TestRunProfileKind,
  TestRunRequest,
  tests,
  type Uri,
} from 'vscode';
import { type BaseLanguageClient, RequestType } from 'vscode-languageclient';
import type { MachineRequirements } from '../server/features/requirements.ts';
import type { FollowedFile } from './followed-file.ts';

type Requirement = MachineRequirements['requirements'][number];

const request = new RequestType<{ uri: string }, { machines: MachineRequirements[] }, void>('gusset/requirements');

export function registerRequirementTests(
  client: () => BaseLanguageClient | undefined,
  followed: FollowedFile,
): Disposable[] {
  const controller = tests.createTestController('gusset', 'Requirements');
  let shown = '';
  /** Looks how each requirement stands; tells it where that is new, or asked for. */
  const show = async (isAsked: boolean) => {
    const uri = followed.uri;
    const answer = uri && (await client()?.sendRequest(request, { uri: uri.toString() }));
    if (!uri || uri.toString() !== followed.uri?.toString()) return;
    const told = (answer?.machines ?? []).filter(({ requirements }) => requirements.length > 0);
    const standing = JSON.stringify([uri.toString(), told]);
    if (standing === shown && !isAsked) return;
    shown = standing;
    const suites = told.map((machine) => suiteOf(machine, uri));
    controller.items.replace(suites.map(({ suite }) => suite));
    if (suites.length === 0) return;
    const run = controller.createTestRun(
      new TestRunRequest(undefined, undefined, undefined, !isAsked),
      'Requirements',
      false,
    );
    for (const { item, requirement } of suites.flatMap(({ cases }) => cases)) {
      if (requirement.holds === null) {
        run.appendOutput(`${requirement.text}: ${requirement.message}\r\n`, undefined, item);
        run.skipped(item);
      } else if (requirement.holds) run.passed(item);
      else run.failed(item, messageOf(requirement, uri));
    }
    run.end();
  };
  const suiteOf = ({ machine, requirements }: MachineRequirements, uri: Uri) => {
    // No mark stands at the machine's own line: that its requirements hold is not that nothing was found.
    const suite = controller.createTestItem(`${uri} ${machine}`, machine, uri);
    const cases = requirements.map((requirement, i) => {
      const { path, text, message } = requirement;
      const item: TestItem = controller.createTestItem(`${suite.id} ${i} ${path} ${text}`, text, uri);
      item.description = [path, message].filter(Boolean).join(' · ');
      item.range = rangeOf(requirement.range);
      suite.children.add(item);
      return { item, requirement };
    });
    return { suite, cases };
  };
  // They are decided whenever the text changes: to run them is to look anew.
  controller.createRunProfile('Check the Requirements', TestRunProfileKind.Run, () => show(true), true);
  const quietly = () => void show(false).catch(() => undefined);
  quietly();
  return [controller, followed.onDidChange(quietly)];
}

function messageOf({ message, range }: Requirement, uri: Uri): TestMessage {
  const told = new TestMessage(message);
  told.location = new Location(uri, new Position(range.start.line, range.start.character));
  return told;
}

function rangeOf({ start, end }: Requirement['range']): Range {
  return new Range(start.line, start.character, end.line, end.character);
}
